import type { RecordTrial } from '../trials.ts';
import type { Column } from './columns.ts';

/** The columns of `trials.csv`. */
export const TRIAL_COLUMNS: readonly Column<RecordTrial>[] = [
  { name: 'event', type: 'number', meaning: 'Number of its event in the log', of: (t) => t.seq },
  { name: 'at', type: 'time', meaning: 'Server time, ISO 8601 UTC', of: (t) => t.at },
  {
    name: 'entered_at',
    type: 'time',
    meaning:
      'The device’s clock when it was entered, as told: the order of the day follows from it',
    of: (t) => t.entry.at,
  },
  { name: 'task', type: 'id', meaning: 'Task of the protocol', of: (t) => t.task },
  { name: 'state', type: 'id', meaning: 'Equipment state', of: (t) => t.entry.state },
  {
    name: 'condition',
    type: 'id',
    meaning: 'equipment, reference (without it), practice or hidden-fault',
    of: (t) => t.entry.condition,
  },
  { name: 'operator', type: 'text', meaning: 'Code of who performed', of: (t) => t.entry.operator },
  { name: 'done', type: 'yes-no', meaning: 'Done when it was stopped', of: (t) => t.entry.done },
  {
    name: 'seconds',
    type: 'number',
    meaning: 'Seconds to the end; of a trial that was not done, when it was stopped (censored)',
    of: (t) => (t.entry.seconds === null ? null : Number(t.entry.seconds)),
  },
  {
    name: 'splits',
    type: 'text',
    meaning: 'Times taken on the way, label=seconds, in their order',
    of: (t) => t.entry.splits.map((s) => `${s.label}=${s.seconds}`).join('; '),
  },
  {
    name: 'criterion_met',
    type: 'yes-no',
    meaning: 'The criterion of a critical failure was met; empty where nobody judged it',
    of: (t) => t.entry.criterion,
  },
  {
    name: 'measures',
    type: 'text',
    meaning: 'Measured values, id=value in the measure’s unit, with counts of a share',
    of: (t) =>
      t.entry.measures
        .map(({ measure, value, counts }) => {
          const of = counts ? ` (${String(counts.successes)}/${String(counts.of)})` : '';
          return `${measure}=${value}${of}`;
        })
        .join('; '),
  },
  {
    name: 'status',
    type: 'id',
    meaning:
      'counts, corrected (by a later one), void, or model-left (taken out when its model left)',
    of: (t) => t.status,
  },
  {
    name: 'corrects',
    type: 'text',
    meaning:
      'Key of the trial on the board that it corrects, as in events.csv; empty for a new one',
    of: (t) => t.entry.replaces,
  },
  { name: 'void_reason', type: 'text', meaning: 'Why it is void', of: (t) => t.voidReason },
  { name: 'entered_by', type: 'id', meaning: 'Seat that entered it', of: (t) => t.seat },
  { name: 'note', type: 'text', meaning: 'Note', of: (t) => t.entry.note },
  {
    name: 'model',
    type: 'text',
    meaning: 'Code of the living model; empty with a manikin or where none was named',
    of: (t) => t.entry.model ?? null,
  },
  {
    name: 'sources',
    type: 'text',
    meaning:
      'Files that values came from: name, SHA-256, rows, program; the measures; how it was read, as JSON',
    of: ({ entry }) =>
      (entry.sources ?? [])
        .map((s) => {
          const read = `${String(s.rows)} rows, read by ${s.software}`;
          return `${s.file} (sha256 ${s.sha256}, ${read}) gave ${s.measures.join(', ')}; read as ${s.as}`;
        })
        .join('; '),
  },
];
