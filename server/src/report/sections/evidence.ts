import {
  motionCaveats,
  type CriterionStatus,
  type MotionCaveat,
  type RecordBlock,
} from '@unhindered/shared-types';
import { taskEvidence } from '../../evaluation/evidence.ts';
import { accessBlocks } from './access.ts';
import { crossoverBlocks } from './crossover.ts';
import type { RecordSource } from '../record-source.ts';
import { figureWords, listWords, percentWords, plain, plural, taskTitle } from '../words.ts';

const CRITERION: Record<CriterionStatus, string> = {
  met: 'met',
  'not-met': 'not met',
  'not-enough-trials': 'not enough trials',
};

const secondsWords = (of: string): string => `${of} s`;

const counting = (source: RecordSource): RecordBlock[] => {
  const evidence = source.result.evidence ?? [];
  if (evidence.length === 0) return [plain('None of the trials counts as evidence on the piece.')];
  const rows = evidence.map((e) => [
    [taskTitle(source, e.task)],
    [
      `${String(e.done)} of ${String(e.valid)}`,
      `95 % limits ${percentWords(Number(e.lower))} to ${percentWords(Number(e.upper))}`,
    ],
    [
      'value' in e.medianSeconds
        ? secondsWords(figureWords(e.medianSeconds, 1))
        : figureWords(e.medianSeconds, 1),
    ],
    [e.criterion === null ? 'none' : CRITERION[e.criterion]],
  ]);
  return [
    {
      kind: 'table',
      caption: 'Trials with the equipment, in the state each task is rated in',
      head: ['Task', 'Done', 'Middle time', 'Criterion of a critical failure'],
      widths: [0.4, 0.25, 0.15, 0.2],
      rows,
    },
    plain(
      'A trial that was not done counts as longer than any time, and no mean is taken over it. Limits are Wilson’s.',
    ),
  ];
};

/** Which criteria measured values decided, and where a recorder's mark says the other thing. */
const measuredCriteria = (source: RecordSource): RecordBlock[] => {
  const found = (source.result.evidence ?? []).flatMap(({ task }) => {
    const { criterion } = taskEvidence(source.state.trials, source.protocol, task) ?? {};
    return criterion?.measured === undefined ? [] : [{ task, ...criterion }];
  });
  if (found.length === 0) return [];
  const items = found.flatMap(({ task, measured = 0, differs = 0, pooled }) => {
    const title = taskTitle(source, task);
    if (pooled !== undefined) return [`${title}. ${pooled}`];
    const aside =
      differs > 0
        ? ` In ${plural(differs, 'trial', 'trials')} the recorder marked the other thing; the measured value counts.`
        : '';
    return [
      `${title}: ${plural(measured, 'trial was', 'trials were')} judged by measured values.${aside}`,
    ];
  });
  return [
    plain(
      'For these tasks the protocol says what measured values decide of the criterion; the recorder’s mark counts where nothing was measured.',
    ),
    { kind: 'list', items },
  ];
};

/** Trials that are on record and do not count, and why. */
const setAside = (source: RecordSource): RecordBlock[] => {
  const of = (status: string): number => source.trials.filter((t) => t.status === status).length;
  const voided = source.trials.filter((t) => t.status === 'void');
  const others = source.trials.filter(
    (t) => t.status === 'counts' && t.entry.condition !== 'equipment',
  ).length;
  const items = [
    ...(others > 0
      ? [
          `${plural(others, 'trial', 'trials')} without the equipment, for practice or with a hidden fault.`,
        ]
      : []),
    ...(of('corrected') > 0
      ? [
          `${plural(of('corrected'), 'value', 'values')} corrected later; the old ones stand in the log.`,
        ]
      : []),
    ...(of('model-left') > 0
      ? [
          `${plural(of('model-left'), 'trial', 'trials')} taken out because the model left; see “Safety of the day”.`,
        ]
      : []),
    ...voided.map((t) => `Void, ${taskTitle(source, t.task)}: ${t.voidReason ?? ''}`),
  ];
  return items.length === 0 ? [] : [{ kind: 'list', items }];
};

const CAVEATS: Record<MotionCaveat, string> = {
  helmet: 'The marker sat on the helmet: this is helmet motion; the head can move inside it.',
  room: 'The torso was not tracked: this is motion in the room, not of the head on the torso.',
};

/** SR-9: the caveats of values of a file. */
const caveatWords = (as: string): string =>
  motionCaveats(as)
    .map((caveat) => ` ${CAVEATS[caveat]}`)
    .join('');

/** SR-5: files that values of standing trials came from, by name and hash; the conventions stand in the open data. */
const files = (source: RecordSource): RecordBlock[] => {
  const items = source.trials
    .filter((t) => t.status === 'counts')
    .flatMap(({ task, entry }) =>
      (entry.sources ?? []).map((s) => {
        const names = s.measures.map(
          (id) => source.protocol.measures.find((m) => m.id === id)?.name ?? id,
        );
        const read = `${plural(s.rows, 'row', 'rows')}, read by ${s.software}, SHA-256 ${s.sha256}`;
        return `${taskTitle(source, task)}, operator ${entry.operator}: ${listWords(names)} from ${s.file} (${read}).${caveatWords(s.as)}`;
      }),
    );
  if (items.length === 0) return [];
  const lead =
    'Values worked out from files. The files are not kept here; how each was read stands with its trial in the log and the open data.';
  return [plain(lead), { kind: 'list', items }];
};

/** What was measured. The one place for trials: the rest of the record reads `source.trials`. */
export const evidenceBlocks = (source: RecordSource): RecordBlock[] => {
  const { trials, protocol } = source;
  if (trials.length === 0) {
    return [
      plain(
        'No trials were recorded. The ratings rest on what the reviewers saw and handled; no time, angle or count in this record was measured.',
      ),
    ];
  }
  return [
    plain(
      `${plural(trials.length, 'trial', 'trials')} on record, with those that were corrected or are void.`,
    ),
    ...counting(source),
    ...measuredCriteria(source),
    ...setAside(source),
    ...files(source),
    ...crossoverBlocks(source),
    ...accessBlocks(source),
    plain(protocol.cautions.thresholds),
  ];
};
