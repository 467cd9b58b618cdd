import type { CommandAnswer, CommandMessage, Provenance } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';
import { sha256Hex } from '../audit/sha256.ts';
import type { KeptAnswer } from '../ports/store.ts';
import type { App, Identity } from './app.ts';

/** Whose command it is and when it was made: what all its events say. `role` is that of the seat it is sent from. */
export const provenanceOf = (
  { seat, device }: Identity,
  { id, clientAt }: Pick<CommandMessage, 'id' | 'clientAt'>,
  role: string | undefined,
): Omit<Provenance, 'at'> => ({
  clientAt,
  actor: seat,
  role: role ?? 'nobody',
  device,
  cmd: id,
});

/** Names what a command asks: a resend of the same id must ask the same. */
export const askedHash = (message: CommandMessage): string =>
  sha256Hex(canonicalText(JSON.parse(JSON.stringify(message)) as unknown));

/**
 * EV-7: a command has one effect however often it is sent: the same id gets the stored answer, and the same id
 * with other content is refused.
 */
export const earlierAnswer = async (
  app: App,
  actor: string,
  message: CommandMessage,
): Promise<CommandAnswer | undefined> => {
  const kept = await app.store.answer(actor, message.id);
  if (!kept) return undefined;
  if (kept.asked === askedHash(message)) return JSON.parse(kept.answer) as CommandAnswer;
  const rejection = {
    code: 'duplicate-command' as const,
    message: 'This command id was used for something else. Make a new one.',
  };
  return { ok: false, rejection };
};

/** The row that remembers an answer. Secrets are given once and not remembered. */
export const keptAnswer = (
  actor: string,
  message: CommandMessage,
  answer: CommandAnswer,
): KeptAnswer => {
  const secret =
    answer.ok && (answer.result?.kind === 'invitation' || answer.result?.kind === 'link');
  const plain: CommandAnswer = secret ? { ok: true, seq: answer.seq } : answer;
  return {
    actor,
    command: message.id,
    asked: askedHash(message),
    answer: JSON.stringify(plain),
  };
};
