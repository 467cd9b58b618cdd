import { protocolTasks, ROLES, type RecordBlock, type Tie } from '@unhindered/shared-types';
import type { SeatState } from '../../evaluation/state.ts';
import type { RecordSource } from '../record-source.ts';
import { observedBlocks, observedWords } from './observed.ts';
import {
  capital,
  figureWords,
  OFF_SCALE_WORDS,
  plain,
  plural,
  seatWords,
  stepsText,
  taskTitle,
} from '../words.ts';

const FAMILIARITY = {
  none: 'did not know it',
  seen: 'had seen it',
  handled: 'had handled it',
  daily: 'works with it daily',
} as const;

const ratedBy = (source: RecordSource, seat: string): { steps: number; counted: number } => {
  const own = source.standings.flatMap((t) => t.ratings.filter((r) => r.seat === seat));
  const steps = own.filter((r) => r.rating.step !== null);
  return { steps: steps.length, counted: steps.filter((r) => r.counted).length };
};

const rolesLine = (source: RecordSource): string => {
  const seats = [...source.state.seats.values()];
  const counts = ROLES.flatMap((role) => {
    const n = seats.filter((s) => s.role === role).length;
    return n === 0 ? [] : [plural(n, role, role === 'wall' ? 'walls' : `${role}s`)];
  });
  return `${capital(counts.join(', '))}.`;
};

const onPaper = ({ state }: RecordSource, seat: string): boolean =>
  state.paper?.seats.some((s) => s.seat === seat && s.how === 'paper') ?? false;

const seatRow = (source: RecordSource, s: SeatState): string[][] => {
  const { steps, counted } = ratedBy(source, s.seat);
  const rates = s.role === 'reviewer';
  return [
    [capital(seatWords(source, s.seat)), ...(s.revoked ? ['seat ended before the lock'] : [])],
    [
      s.declaration === null
        ? onPaper(source, s.seat)
          ? 'on paper, not declared here'
          : 'not declared'
        : FAMILIARITY[s.declaration.familiarity],
    ],
    rates ? observedWords(source, s.seat) : [''],
    [rates ? `${String(steps)} on the scale, ${String(counted)} counted` : 'does not rate'],
  ];
};

/** Answers given, by kind. */
export const answerCounts = (source: RecordSource) => {
  const all = source.standings.flatMap((t) => t.ratings);
  const of = (answer: string): number => all.filter((r) => r.rating.answer === answer).length;
  return {
    step: of('step'),
    counted: all.filter((r) => r.counted && r.rating.step !== null).length,
    notApplicable: of('not-applicable'),
    notObserved: of('not-observed'),
    abstained: of('abstained'),
    reviewers: source.result.counted.length,
    tasks: source.standings.length,
  };
};

/** Who judged, by role and letter, and how many answers they gave. */
export const panelBlocks = (source: RecordSource): RecordBlock[] => {
  const seats = [...source.state.seats.values()].filter((s) => s.role !== 'wall');
  const n = answerCounts(source);
  const few =
    n.reviewers < 3
      ? [plain('Fewer than three counted reviewers: each could infer what the other rated.')]
      : [];
  return [
    plain(rolesLine(source)),
    ...few,
    {
      kind: 'table',
      caption: 'The panel',
      head: ['Seat', 'Knew the piece', 'Saw the work', 'Ratings'],
      widths: [0.28, 0.22, 0.22, 0.28],
      rows: seats.map((s) => seatRow(source, s)),
    },
    {
      kind: 'facts',
      rows: [
        {
          term: 'Tasks opened',
          text: `${String(n.tasks)} of ${String(protocolTasks(source.protocol).length)}`,
        },
        {
          term: 'Ratings on the scale',
          text: `${String(n.step)}, of which ${String(n.counted)} counted`,
        },
        { term: capital(OFF_SCALE_WORDS['not-applicable']), text: String(n.notApplicable) },
        { term: capital(OFF_SCALE_WORDS['not-observed']), text: String(n.notObserved) },
        { term: capital(OFF_SCALE_WORDS.abstained), text: String(n.abstained) },
      ],
    },
    ...observedBlocks(source),
    plain(
      source.state.paper
        ? 'Reviewers are named by letter. They rated on paper; whether they saw each other’s ratings is not on record here.'
        : 'Reviewers are named by letter. Within the panel they knew each other; their ratings were hidden from everybody until the round was opened.',
    ),
  ];
};

const tieWords = (source: RecordSource, tie: Tie): string => {
  switch (tie.to) {
    case 'maker':
      return `tie to the maker: ${tie.detail}`;
    case 'rival':
      return `tie to a rival maker: ${tie.detail}`;
    case 'tool':
      return `tie to a tool (${source.protocol.tools.find((t) => t.id === tie.tool)?.title ?? tie.tool}): ${tie.detail}`;
    case 'task':
      return `designed the item “${taskTitle(source, tie.task)}”: ${tie.detail}`;
  }
};

const doneAbout = (s: SeatState): string => {
  if (s.excluded.length === 0) return 'Shown; takes nobody out.';
  const tasks = plural(s.excluded.length, 'task', 'tasks');
  return s.role === 'reviewer'
    ? `Ratings shown and left out of the consensus in ${tasks}.`
    : `May not settle or gate ${tasks} alone.`;
};

/** Declared ties, what was done about each, and the result with and without. */
export const interestBlocks = (source: RecordSource): RecordBlock[] => {
  const seats = [...source.state.seats.values()];
  const tied = seats.filter((s) => (s.declaration?.ties.length ?? 0) > 0);
  const rates = seats.filter((s) => ['reviewer', 'moderator'].includes(s.role));
  const declared = rates.filter((s) => s.declaration !== null).length;
  const { means, meansWithInterests } = source.result;
  const both = plain(
    `Composite of the mean ratings without the ratings that a declared interest takes out: ${figureWords(means.value, 2)}. With them: ${figureWords(meansWithInterests.value, 2)}.`,
  );
  const asked = plain(
    `${String(declared)} of ${String(rates.length)} moderators and reviewers declared before they rated or settled; nobody rates without.`,
  );
  if (tied.length === 0) return [asked, plain('Nobody declared a tie.'), both];
  return [
    asked,
    {
      kind: 'table',
      caption: 'Declared ties',
      head: ['Seat', 'Tie', 'What was done'],
      widths: [0.24, 0.46, 0.3],
      rows: tied.map((s) => [
        [capital(seatWords(source, s.seat))],
        (s.declaration?.ties ?? []).map((t) => capital(tieWords(source, t))),
        [doneAbout(s)],
      ]),
    },
    both,
  ];
};

/** A distance in steps, as a sentence uses it. */
export const distanceWords = (steps: number): string =>
  `${stepsText(steps)} ${steps === 1 ? 'step' : 'steps'}`;
