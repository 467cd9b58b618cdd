import type { RecordBlock } from '@unhindered/shared-types';
import { flagSentence } from '../../consensus/flag-sentence.ts';
import { settledValue } from '../../evaluation/settled-value.ts';
import type { StandingRating, TaskStanding } from '../../evaluation/standing.ts';
import type { RecordSource } from '../record-source.ts';
import {
  answerWords,
  capital,
  instantWords,
  letterOf,
  plain,
  plural,
  reviewersWords,
  seatWords,
  stepsText,
  strong,
  taskTitle,
} from '../words.ts';

/** A counted rating this share of the scale's width away from the settled value is a minority opinion (our rule). */
const MINORITY_SHARE = 0.3;

/** Counted ratings far from the settled value: three tenths of the scale's width or more. */
export const minority = (source: RecordSource, standing: TaskStanding): StandingRating[] => {
  const settled = settledValue(source.state, standing);
  const { min, max } = source.protocol.scale;
  if (settled === undefined) return [];
  return standing.ratings.filter(
    (r) =>
      r.counted &&
      r.rating.step !== null &&
      Math.abs(r.rating.step - settled) >= MINORITY_SHARE * (max - min) - 1e-9,
  );
};

const HOW = {
  adopt: 'The median was adopted',
  decide: 'Decided',
  'leave-open': 'Left open',
} as const;

const settledLine = (source: RecordSource, standing: TaskStanding): string => {
  const settled = source.state.settled.get(standing.task);
  if (!settled) return 'Not settled: no counted rating stands on the scale.';
  const value = settledValue(source.state, standing);
  const at = value === undefined ? '' : ` at ${stepsText(value)}`;
  const median = standing.median === undefined ? '' : `, median ${stepsText(standing.median)}`;
  return `${HOW[settled.how]}${at}${median}, by ${seatWords(source, settled.by)}, ${instantWords(settled.at)}. ${settled.reason ?? ''}`.trim();
};

const opinion = (source: RecordSource, r: StandingRating): string => {
  const note = r.rating.note === null ? '' : `. In their words: ${r.rating.note}`;
  return `${capital(seatWords(source, r.seat))}: ${answerWords(r.rating, source.protocol.scale)}${note}`;
};

const isTold = (source: RecordSource, standing: TaskStanding): boolean => {
  const settled = source.state.settled.get(standing.task);
  return (
    standing.flags.length > 0 ||
    settled?.how === 'decide' ||
    settled?.how === 'leave-open' ||
    settled?.reason != null ||
    minority(source, standing).length > 0
  );
};

const remarksOn = (source: RecordSource, task: string): string[] => {
  const n = source.state.remarks.filter((r) => r.task === task).length;
  return n === 0 ? [] : [`${plural(n, 'remark', 'remarks')} in the bundle.`];
};

/** Each task that was talked through: why it diverged, how it ended, and who stands apart from it. */
export const settlementBlocks = (source: RecordSource): RecordBlock[] => {
  const told = source.standings.filter((t) => isTold(source, t));
  const undisputed = source.standings.filter((t) => !told.includes(t));
  const adopted = undisputed.filter((t) => source.state.settled.has(t.task)).length;
  const rest = plain(
    `${plural(adopted, 'other task was', 'other tasks were')} undisputed, and the median was adopted.`,
  );
  if (told.length === 0)
    return [plain('No task diverged and none was decided or left open.'), rest];
  const rows = told.map((t) => {
    const apart = minority(source, t).map((r) => opinion(source, r));
    const why = t.flags.map((f) => flagSentence(f, (seat) => `Reviewer ${letterOf(source, seat)}`));
    return [
      [taskTitle(source, t.task)],
      [
        ...(why.length === 0 ? ['It did not diverge.'] : why),
        settledLine(source, t),
        ...remarksOn(source, t.task),
      ],
      apart.length === 0 ? ['none'] : apart,
    ];
  });
  return [
    {
      kind: 'table',
      caption: 'Tasks that were talked through',
      head: ['Task', 'Why, and how it was settled', 'Minority opinion'],
      widths: [0.22, 0.46, 0.32],
      rows,
    },
    plain(
      'A minority opinion is a counted rating three tenths of the scale’s width or more from the settled value (our rule).',
    ),
    rest,
  ];
};

const gateRow = (source: RecordSource, standing: TaskStanding): string[][] => {
  const gate = source.state.gates.get(standing.task);
  const proposed = standing.proposed.map(
    (p) => `Proposed by ${seatWords(source, p.seat)}: ${p.reason}`,
  );
  const worst =
    standing.atWorst.length === 0
      ? []
      : [`Rated as the worst point by ${reviewersWords(source, standing.atWorst)}.`];
  const backing = gate?.backedByTrials ? 'Backed by trials.' : 'Not backed by trials.';
  return [
    [taskTitle(source, standing.task)],
    [...proposed, ...worst],
    gate
      ? [
          gate.confirmed ? 'Confirmed: care was blocked.' : 'Rejected.',
          ...(gate.confirmed ? [backing] : []),
          gate.reason,
          `By ${seatWords(source, gate.by)}, ${instantWords(gate.at)}.`,
        ]
      : ['not decided'],
  ];
};

/** Critical failures: proposed, confirmed, rejected, with the evidence for each. */
export const gateBlocks = (source: RecordSource): RecordBlock[] => {
  const touched = source.standings.filter(
    (t) => t.proposed.length > 0 || t.atWorst.length > 0 || source.state.gates.has(t.task),
  );
  const caution = plain(source.protocol.cautions.gate);
  if (touched.length === 0) {
    return [
      plain(
        'Nobody proposed a critical failure, and no counted rating stood at the worst point of a task that can gate.',
      ),
      caution,
    ];
  }
  const confirmed = source.result.verdict.tasks.length;
  return [
    strong(
      `${plural(touched.length, 'task was', 'tasks were')} looked at, ${String(confirmed)} confirmed.`,
    ),
    {
      kind: 'table',
      caption: 'Critical failures',
      head: ['Task', 'Proposal and ratings', 'Decision'],
      widths: [0.22, 0.4, 0.38],
      rows: touched.map((t) => gateRow(source, t)),
    },
    caution,
  ];
};
