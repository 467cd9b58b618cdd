import type { SeatClient } from './seat-client.ts';

/** Adopts the medians that nobody disputes. A panel may dispute every task: then there are none, and that is no fault. */
export const adoptUndisputed = async (moderator: SeatClient): Promise<void> => {
  const evaluation = moderator.view.head?.evaluation ?? '';
  const command = { type: 'adopt-undisputed' } as const;
  const answer = await moderator.send({ on: 'evaluation', evaluation, command });
  if (answer.ok || answer.rejection.code === 'nothing-to-decide') return;
  throw new Error(`adopt-undisputed: ${answer.rejection.message}`);
};
