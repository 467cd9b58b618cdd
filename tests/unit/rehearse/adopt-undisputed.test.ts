import { expect, test } from 'vitest';
import { reject, type CommandAnswer } from '../../../shared-types/src/index.ts';
import { adoptUndisputed } from '../../../server/src/rehearse/adopt-undisputed.ts';
import type { SeatClient } from '../../../server/src/rehearse/seat-client.ts';

const moderator = (answer: CommandAnswer): SeatClient =>
  ({ view: {}, send: () => Promise.resolve(answer) }) as unknown as SeatClient;

test('a panel that disputes every task has nothing to adopt, and goes on; another refusal is told', async () => {
  const none = { ok: false, rejection: reject('nothing-to-decide', 'None is left.') } as const;
  await expect(adoptUndisputed(moderator(none))).resolves.toBeUndefined();
  const sealed = { ok: false, rejection: reject('round-sealed', 'The round is sealed.') } as const;
  await expect(adoptUndisputed(moderator(sealed))).rejects.toThrow('The round is sealed.');
});
