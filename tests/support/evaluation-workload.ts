import type { Protocol, Rating } from '@unhindered/shared-types';
import protocolFile from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import type { Stamped } from '../../server/src/evaluation/fold.ts';
import { figureWorkload } from './figure-workload.ts';

const AT = '2026-03-02T09:00:00.000Z';
const SECTIONS = 6;
const DIGEST = '0'.repeat(64);

/** The shipped protocol with `tasks` tasks in six sections, all like its first one. */
export const wideProtocol = (tasks: number): Protocol => {
  const base = protocolFile as unknown as Protocol;
  const [section] = base.sections;
  const model = section?.tasks[0];
  if (!section || !model) throw new Error('the shipped protocol has no task');
  const sections = Array.from({ length: SECTIONS }, (_, s) => ({
    ...section,
    id: `s${String(s)}`,
    weight: s + 1,
    tasks: Array.from({ length: tasks }, (_t, i) => i)
      .filter((i) => i % SECTIONS === s)
      .map((i) => ({ ...model, id: `t${String(i)}` })),
  }));
  return { ...base, sections };
};

const ratingOf = (step: number): Rating => ({
  answer: 'step',
  step,
  easier: false,
  reason: null,
  critical: null,
  note: null,
  at: AT,
});

/** The log of an invented evaluation up to its opening: the ratings of `figureWorkload`, one sheet a reviewer. */
export const openedEvents = (tasks: number, reviewers: number): Stamped[] => {
  const { table } = figureWorkload(tasks, reviewers);
  const by = { at: AT, actor: { seat: 'st_moderator' } } as unknown as Pick<
    Stamped,
    'at' | 'actor'
  >;
  const seats = [...table.reviewers];
  const event = (type: string, data: unknown): Stamped =>
    ({ type, data, ...by }) as unknown as Stamped;
  return [
    event('evaluation-created', {
      evaluation: 'ev_bench',
      panel: 'pn_bench',
      title: 'Invented',
      specimen: {},
      protocol: { id: 'emergency-access', version: '1.0.0' },
      board: 'bd_bench',
    }),
    ...['st_moderator', ...seats].map((seat, i) =>
      event('seat-taken', {
        seat,
        role: i === 0 ? 'moderator' : 'reviewer',
        letter: String(i),
        nameHash: DIGEST,
      }),
    ),
    event('round-started', {
      round: 1,
      tasks: [...table.tasks],
      sheets: seats.map((seat) => ({ seat, document: `sh_${seat}` })),
    }),
    ...seats.map((seat, j) =>
      event('sheet-recorded', {
        seat,
        round: 1,
        digest: DIGEST,
        remarks: [],
        ratings: table.tasks.flatMap((task, i) => {
          const step = table.cells[i]?.[j];
          return step === undefined ? [] : [{ task, rating: ratingOf(step), changed: false }];
        }),
      }),
    ),
    event('round-opened', { round: 1 }),
  ];
};
