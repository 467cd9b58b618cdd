import {
  protocolTasks,
  type SeriesQuestion,
  type TrialEntry,
  type TrialSource,
} from '../../shared-types/src/index.ts';
import type { RecordTrial } from '../../server/src/report/trials.ts';
import { checkProtocol } from '../../server/src/protocol/check-protocol.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };

const checked = checkProtocol(JSON.stringify(defaultProtocol));
if (!checked.ok) throw new Error('the shipped protocol is faulty');
/** The shipped protocol. */
export const { protocol } = checked;

/** What measured values decide of its trial criteria, by task. */
export const DEFAULT_CRITERIA = new Map(
  protocolTasks(protocol).flatMap((t) => (t.criterion ? [[t.id, t.criterion] as const] : [])),
);

/** A task with one timed measure, a cap of 180 s and a trial criterion. */
export const FACE_MASK = 'fm-tool-first';

export const seatOf = (letter: string): string => `st_${letter.repeat(22)}`;
let keys = 0;
/** A fresh key of a seat's entry. */
export const entryKey = (seat: string): string => `${seat}/${String(++keys).padStart(22, '0')}`;

/** A trial with the equipment, done in 60 s, criterion not met; change what matters. */
export const trial = (more: Partial<TrialEntry> = {}): TrialEntry => ({
  kind: 'trial',
  task: FACE_MASK,
  state: 'as-worn',
  condition: 'equipment',
  operator: 'K1',
  done: true,
  seconds: '60',
  splits: [],
  measures: [],
  criterion: false,
  note: null,
  at: '2026-03-02T09:00:00.000Z',
  replaces: null,
  ...more,
});

/** A trial that was still not done at the cap, and met the criterion. */
export const failed = (more: Partial<TrialEntry> = {}): TrialEntry =>
  trial({ done: false, seconds: '180', criterion: true, ...more });

/** A file that values of a trial came from. */
export const trialSource = (...measures: string[]): TrialSource => ({
  file: 'press.csv',
  sha256: 'ab'.repeat(32),
  rows: 62,
  as: JSON.stringify({
    kind: 'manikin',
    mapping: {
      delimiter: ';',
      decimal: ',',
      time: { column: 't', unit: 's' },
      depth: { column: 'd', unit: 'mm' },
      released: null,
      hand: null,
      volume: null,
      success: null,
      inspiration: null,
    },
    span: {},
  } satisfies SeriesQuestion),
  software: 'unhindered 0.1.0',
  measures,
});

/** A trial as a record holds it. */
export const recordTrial = (entry: TrialEntry, more: Partial<RecordTrial> = {}): RecordTrial => ({
  seq: 9,
  key: entryKey(seatOf('a')),
  at: entry.at,
  task: entry.task,
  entry,
  seat: seatOf('a'),
  status: 'counts',
  voidReason: null,
  ...more,
});
