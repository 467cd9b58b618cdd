import type { RecordBlock } from '@unhindered/shared-types';
import type { LoggedEvent, RecordSource } from '../record-source.ts';
import {
  answerWords,
  capital,
  instantWords,
  plain,
  plural,
  seatWords,
  taskTitle,
} from '../words.ts';

type Of<T extends LoggedEvent['type']> = Extract<LoggedEvent, { type: T }>;

/** Events of one type, oldest first. */
export const eventsOf = <T extends LoggedEvent['type']>(source: RecordSource, type: T): Of<T>[] =>
  source.events.filter((e): e is Of<T> => e.type === type);

const roundRow = (source: RecordSource, started: Of<'round-started'>): string[][] => {
  const { round, tasks, reason, sheets } = started.data;
  const opened = eventsOf(source, 'round-opened').find((e) => e.data.round === round);
  const recorded = eventsOf(source, 'sheet-recorded').filter((e) => e.data.round === round);
  return [
    [String(round)],
    [
      `${plural(tasks.length, 'task', 'tasks')}, ${plural(sheets.length, 'sheet', 'sheets')}`,
      ...(reason === null ? [] : [`Called because: ${reason}`]),
    ],
    [instantWords(started.at)],
    opened
      ? [
          instantWords(opened.at),
          `by ${seatWords(source, opened.actor)}, ${plural(recorded.length, 'sheet', 'sheets')} recorded`,
        ]
      : ['not opened'],
  ];
};

const lateTable = (source: RecordSource): RecordBlock[] => {
  const { scale } = source.protocol;
  const late = [...source.state.late.values()];
  if (late.length === 0) return [plain('No rating arrived after an opening.')];
  return [
    {
      kind: 'table',
      caption: 'Late ratings: made before the opening by the device’s clock, arrived after it',
      head: ['Task', 'Rating', 'Decision'],
      widths: [0.26, 0.4, 0.34],
      rows: late.map((l) => [
        [taskTitle(source, l.task)],
        [
          `${capital(seatWords(source, l.seat))}: ${answerWords(l.rating, scale)}`,
          `Until then: ${answerWords(l.recorded, scale)}`,
          `Arrived ${instantWords(l.offeredAt)}`,
        ],
        l.decision
          ? [l.decision.admitted ? 'Admitted.' : 'Left out.', l.decision.reason]
          : ['not decided'],
      ]),
    },
  ];
};

const correctionTable = (source: RecordSource): RecordBlock[] => {
  const corrected = eventsOf(source, 'rating-corrected');
  if (corrected.length === 0) return [plain('No rating was changed after an opening.')];
  const { scale } = source.protocol;
  return [
    {
      kind: 'table',
      caption: 'Ratings that their owners corrected after the opening',
      head: ['Task', 'From and to', 'Reason'],
      widths: [0.26, 0.4, 0.34],
      rows: corrected.map(({ data, at }) => [
        [taskTitle(source, data.task)],
        [
          `${capital(seatWords(source, data.seat))}: ${answerWords(data.old, scale)} became ${answerWords(data.new, scale)}`,
          instantWords(at),
        ],
        [data.reason],
      ]),
    },
  ];
};

/** Rounds that were sealed here, and what was hidden from whom. */
const sealedCourse = (source: RecordSource): RecordBlock[] => [
  {
    kind: 'table',
    caption: 'Rounds',
    head: ['Round', 'What', 'Sealed', 'Opened'],
    widths: [0.1, 0.32, 0.24, 0.34],
    rows: eventsOf(source, 'round-started').map((e) => roundRow(source, e)),
  },
  plain(
    'Ratings were given independently and hidden from everybody, the moderator included, until the whole round was opened. At the opening the sheets were frozen, read once and put into the signed log. From then on the whole panel saw every rating by letter, the median, the spread and which tasks diverged; that is the feedback between rounds.',
  ),
];

/** The course of the evaluation: rounds, what was hidden from whom, late and corrected ratings. */
export const courseBlocks = (source: RecordSource): RecordBlock[] => [
  ...(source.state.paper ? [] : sealedCourse(source)),
  ...lateTable(source),
  ...correctionTable(source),
];
