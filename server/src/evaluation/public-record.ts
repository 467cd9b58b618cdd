import { protocolTasks, type Protocol, type PublicRecord } from '@unhindered/shared-types';
import { published, type SuccessorShown } from './published.ts';
import type { EvaluationState, SeatState } from './state.ts';

/** What a public record needs beside the state. `name` is null for everybody unless the panel chose names. */
export interface PublicSurroundings {
  protocol: Protocol;
  successor: SuccessorShown;
  name: (seat: string) => string | null;
  head: { root: string; size: number };
}

const letterOf = (state: EvaluationState, seat: string): string =>
  state.seats.get(seat)?.letter ?? '?';

const taskRows = (state: EvaluationState, protocol: Protocol): PublicRecord['tasks'] => {
  const titles = new Map(protocolTasks(protocol).map((t) => [t.id, t.title]));
  return (state.locked?.result.tasks ?? []).map(({ task, settled, how, median, divergent }) => {
    const gate = state.gates.get(task);
    return {
      task,
      settled,
      how,
      median,
      divergent,
      title: titles.get(task) ?? task,
      reason: state.settled.get(task)?.reason ?? null,
      gate: gate
        ? { confirmed: gate.confirmed, backedByTrials: gate.backedByTrials, reason: gate.reason }
        : null,
      ratings: [...(state.ratings.get(task) ?? [])].map(([seat, { rating }]) => ({
        letter: letterOf(state, seat),
        answer: rating.answer,
        step: rating.step,
        counted: !(state.seats.get(seat)?.excluded.includes(task) ?? false),
      })),
    };
  });
};

const personOf = (seat: SeatState, name: string | null): PublicRecord['panel'][number] => ({
  role: seat.role,
  letter: seat.letter,
  name,
  ties: (seat.declaration?.ties ?? []).map(({ to, detail }) => ({
    to,
    detail: name === null ? null : detail,
  })),
});

/**
 * PU-2: a record for people outside the panel: reviewers by letter; names, and what a tie is exactly, only where the
 * panel chose so. Remarks and notes stay with the panel. Undefined before the lock.
 */
export const publicRecord = (
  state: EvaluationState,
  { protocol, successor, name, head }: PublicSurroundings,
): PublicRecord | undefined => {
  const common = published(state, protocol, successor);
  const { locked } = state;
  if (!common || !locked) return undefined;
  const { verdict, composite, alphaOrdinal, means, meansWithInterests } = locked.result;
  const { title, min, max, better, datum, points } = protocol.scale;
  const seated = [...state.seats.values()].filter(
    (s) => s.role === 'moderator' || s.role === 'reviewer',
  );
  return {
    kind: 'record',
    ...common,
    scale: { title, min, max, better, datum, points },
    meaning: locked.meaning,
    software: locked.software,
    result: {
      verdict,
      composite,
      alphaOrdinal,
      means: { value: means.value, interval: means.interval },
      withInterests: meansWithInterests.value,
    },
    sections: protocol.sections.map((s) => ({ section: s.id, letter: s.letter, title: s.title })),
    tasks: taskRows(state, protocol),
    panel: seated.map((s) => personOf(s, name(s.seat))),
    endorsements: [...state.endorsements].map(([seat, { content, reason }]) => ({
      letter: letterOf(state, seat),
      content,
      reason,
      tied: (state.seats.get(seat)?.excluded.length ?? 0) > 0,
    })),
    head,
  };
};
