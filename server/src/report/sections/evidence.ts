import type { RecordBlock } from '@unhindered/shared-types';
import type { RecordSource } from '../record-source.ts';
import { instantWords, plain, plural, taskTitle } from '../words.ts';

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
  const tasks = [...new Set(trials.map((t) => t.task))];
  return [
    {
      kind: 'table',
      caption: 'Trials by task',
      head: ['Task', 'Trials', 'First and last'],
      widths: [0.4, 0.2, 0.4],
      rows: tasks.map((task) => {
        const own = trials.filter((t) => t.task === task);
        const [first, last] = [own[0], own.at(-1)];
        return [
          [taskTitle(source, task)],
          [plural(own.length, 'trial', 'trials')],
          [`${instantWords(first?.at ?? '')} to ${instantWords(last?.at ?? '')}`],
        ];
      }),
    },
    plain(protocol.cautions.thresholds),
  ];
};
