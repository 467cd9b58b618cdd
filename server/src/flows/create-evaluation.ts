import {
  done,
  refused,
  specimenOf,
  type SpecimenPhotoEvent,
  type CommandResult,
  type EvaluationEvent,
  type Outcome,
  type PanelCommand,
  type PanelEvent,
  type RegisterEvent,
} from '@unhindered/shared-types';
import { openingEvents } from '../evaluation/panel-decide.ts';
import { registeredNow } from '../evaluation/register.ts';
import { photosAtStart } from '../evaluation/specimen-photos.ts';
import type { Batch } from '../ports/store.ts';
import { protocolKey, type App, type LivePanel } from './app.ts';
import { briefingOf } from './briefing.ts';
import { learnProtocols } from './published-protocols.ts';
import { registerOf } from './register.ts';

type Command = Extract<PanelCommand, { type: 'create-evaluation' }>;
type Created = Extract<EvaluationEvent, { type: 'evaluation-created' }>['data'];

/** Whether an evaluation of this workspace is locked, whichever panel it was. */
export const isLocked = async (app: App, evaluation: string): Promise<boolean> =>
  (await app.logs.evaluation(evaluation))?.state.locked != null;

/** SP-7: what is judged: a specimen of the register as it is described now, or one described with the command. */
const judgedPiece = async (
  app: App,
  { specimen, registered }: Command,
): Promise<
  Outcome<{
    piece: Pick<Created, 'specimen' | 'registered'>;
    register: string | null;
    photos: SpecimenPhotoEvent[];
  }>
> => {
  if (registered === undefined) {
    return specimen
      ? done({ piece: { specimen }, register: null, photos: [] })
      : refused('bad-input', 'Choose a specimen of the register, or describe one.', {
          place: 'registered',
        });
  }
  const register = await registerOf(app);
  const now = registeredNow(register.state, registered);
  if (!now.ok) return now;
  const piece = { specimen: specimenOf(now.value), registered: now.value };
  const specimens = [registered, ...now.value.parts.map((p) => p.specimen)];
  const photos = specimens.flatMap((s) => photosAtStart(register.state.get(s)?.photos, s));
  return done({ piece, register: register.id, photos });
};

/** A new evaluation: its first events, its line in the panel's log and in the register, and its board. */
export const createEvaluation = async (
  app: App,
  panel: LivePanel,
  command: Command,
): Promise<
  Outcome<{
    events: { log: string; events: readonly (PanelEvent | EvaluationEvent | RegisterEvent)[] }[];
    batch: Batch;
    result: CommandResult;
  }>
> => {
  const key = protocolKey(command.protocol);
  if (!app.protocols.has(key)) await learnProtocols(app);
  const published = app.protocols.get(key);
  if (!published) return refused('unknown-thing', 'There is no such published protocol version.');
  const { title, reevaluates } = command;
  if (reevaluates !== undefined && !(await isLocked(app, reevaluates))) {
    return refused('unknown-thing', 'Choose a locked evaluation to do again.');
  }
  const judged = await judgedPiece(app, command);
  if (!judged.ok) return judged;
  const { piece, register, photos } = judged.value;
  const [evaluation, board] = [app.ids.id('ev'), app.ids.id('dc')];
  const { protocol, hash } = published;
  const { id, lone, split } = protocol.divergence;
  const created: Created = {
    evaluation,
    panel: panel.id,
    title,
    ...piece,
    protocol: { id: protocol.id, version: protocol.version, hash },
    divergence: { id, lone: String(lone), split: split === null ? null : String(split) },
    board,
    transport: app.transport,
    fitCheck: 'required',
    ...(reevaluates === undefined ? {} : { reevaluates }),
  };
  const around = { protocol, briefing: briefingOf(protocol) };
  const used = { specimen: piece.registered?.specimen ?? '', evaluation };
  return done({
    events: [
      { log: panel.id, events: [{ type: 'evaluation-added', data: { evaluation, title } }] },
      { log: evaluation, events: [...openingEvents(panel.state, created, around), ...photos] },
      ...(register === null
        ? []
        : [{ log: register, events: [{ type: 'specimen-used' as const, data: used }] }]),
    ],
    batch: { documents: [{ id: board, log: evaluation, kind: 'board' }] },
    result: { kind: 'evaluation', evaluation },
  });
};
