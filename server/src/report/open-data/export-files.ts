import { decimal12, protocolTasks } from '@unhindered/shared-types';
import { canonicalText } from '../../audit/canonical-json.ts';
import type { LoggedEvent, RecordSource } from '../record-source.ts';
import { FROM_PAPER } from '../sections/paper.ts';
import { dataFile, type Column, type DataFile } from './columns.ts';
import { counted, ratingColumns } from './rating-columns.ts';
import { ratingRows, type RatingRow } from './rating-rows.ts';
import { sectionOf } from './section-of.ts';
import { taskColumns } from './task-columns.ts';
import { TRIAL_COLUMNS } from './trial-columns.ts';

const EVENTS: readonly Column<LoggedEvent>[] = [
  { name: 'event', type: 'number', meaning: 'Number in the log, from 0', of: (e) => e.seq },
  { name: 'at', type: 'time', meaning: 'Server time, ISO 8601 UTC', of: (e) => e.at },
  {
    name: 'client_at',
    type: 'time',
    meaning: 'The device’s clock, as told; empty for the server’s own events',
    of: (e) => e.clientAt,
  },
  { name: 'type', type: 'id', meaning: 'What happened', of: (e) => e.type },
  { name: 'actor', type: 'id', meaning: 'Seat that caused it', of: (e) => e.actor },
  { name: 'role', type: 'id', meaning: 'Its role', of: (e) => e.role },
  { name: 'device', type: 'id', meaning: 'Its device', of: (e) => e.device },
  { name: 'command', type: 'id', meaning: 'Command that it followed from', of: (e) => e.cmd },
  {
    name: 'data',
    type: 'text',
    meaning: 'The event’s content as canonical JSON (RFC 8785)',
    of: (e) => canonicalText(e.data),
  },
];

/** The part of its section's weight that falls to a task: over the tasks of the section that have a counted rating. */
const sharedWeight = (source: RecordSource, task: string): number | null => {
  const section = sectionOf(source, task);
  const rated = (id: string): boolean =>
    (source.result.tasks.find((t) => t.task === id)?.n ?? 0) > 0;
  const own = section?.tasks.find((t) => t.id === task)?.weight ?? 0;
  const all = section?.tasks.reduce((sum, t) => sum + (rated(t.id) ? t.weight : 0), 0) ?? 0;
  return section && all > 0 ? Number(decimal12((section.weight * own) / all)) : null;
};

const analysed = (source: RecordSource): Column<RatingRow>[] => [
  { name: 'task', type: 'id', meaning: 'Task of the protocol', of: (r) => r.task },
  {
    name: 'reviewer',
    type: 'text',
    meaning: 'Letter of the reviewer',
    of: (r) => source.state.seats.get(r.seat)?.letter ?? null,
  },
  { name: 'rating', type: 'number', meaning: 'Point of the scale', of: (r) => r.rating.step },
  {
    name: 'section',
    type: 'id',
    meaning: 'Section of the protocol',
    of: (r) => sectionOf(source, r.task)?.id ?? null,
  },
  {
    name: 'weight',
    type: 'number',
    meaning:
      'The section’s weight in the protocol, shared out over its tasks with a counted rating by their own weights; so the command analyse weighs as the protocol does',
    of: (r) => sharedWeight(source, r.task),
  },
];

type DictionaryRow = { file: string; column: string; type: string; meaning: string };

const DICTIONARY: readonly Column<DictionaryRow>[] = [
  { name: 'file', type: 'text', meaning: 'File', of: (d) => d.file },
  {
    name: 'column',
    type: 'text',
    meaning: 'Column; empty where the file as a whole is described',
    of: (d) => d.column,
  },
  { name: 'type', type: 'id', meaning: 'text, number, yes-no, time or id', of: (d) => d.type },
  { name: 'meaning', type: 'text', meaning: 'What stands in it', of: (d) => d.meaning },
];

const ABOUT =
  'UTF-8, comma, one head line, empty cell for nothing. Text that a spreadsheet would take for a formula (it begins with an equals, plus, minus or at sign, a tab or a line end) has one apostrophe in front; take it away to get what was written.';

const dictionary = (source: RecordSource, files: readonly DataFile[]): DataFile => {
  const whole = { column: '', type: '' };
  const rows = files.flatMap((f) => [
    { file: f.name, ...whole, meaning: f.meaning },
    ...f.columns.map((c) => ({ file: f.name, column: c.name, type: c.type, meaning: c.meaning })),
  ]);
  const from = `From the bundle of ${source.bundle.log}, log head ${source.head.root}.`;
  const invented = source.protocol.invented ? ' Invented demonstration material.' : '';
  const paper = source.state.paper ? ` ${FROM_PAPER}` : '';
  return dataFile('dictionary.csv', 'This dictionary', DICTIONARY, [
    { file: '*', ...whole, meaning: `${ABOUT} ${from}${invented}${paper}` },
    ...rows,
  ]);
};

/** RE-9: rows of invented material say so, file by file, since files part from their dictionary. */
const mark = (source: RecordSource): Column<unknown>[] =>
  source.protocol.invented
    ? [
        {
          name: 'invented',
          type: 'yes-no',
          meaning: 'Invented demonstration material: no such piece, person or rating exists',
          of: () => true,
        },
      ]
    : [];

/**
 * The open data of a locked evaluation: one row for each rating, task, event and trial, and a dictionary made from
 * the very columns of the files. `counted.csv` is what `analyse` takes as it stands.
 */
export const exportFiles = (source: RecordSource): DataFile[] => {
  const rows = ratingRows(source);
  const also = mark(source);
  const files = [
    dataFile(
      'ratings.csv',
      'One row for each rating on record',
      [...ratingColumns(source), ...also],
      rows,
    ),
    dataFile(
      'tasks.csv',
      'One row for each task of the protocol',
      [...taskColumns(source), ...also],
      protocolTasks(source.protocol),
    ),
    dataFile(
      'events.csv',
      'One row for each event of the log',
      [...EVENTS, ...also],
      source.events,
    ),
    ...(source.trials.length === 0
      ? []
      : [
          dataFile(
            'trials.csv',
            'One row for each trial',
            [...TRIAL_COLUMNS, ...also],
            source.trials,
          ),
        ]),
    dataFile(
      'counted.csv',
      'The counted ratings on the scale, for the command analyse',
      [...analysed(source), ...also],
      rows.filter((r) => counted(source, r) && r.rating.step !== null),
    ),
  ];
  return [...files, dictionary(source, files)];
};
