import {
  checkEntry,
  cleanText,
  decimal12,
  parseEntry,
  protocolTasks,
  roundHalfUp,
  seenLength,
  timeMeasure,
  trialEntry,
  trialFault,
  TRIAL_SECONDS_MAX,
  type Protocol,
  type ProtocolMeasure,
  type TrialCondition,
  type TrialEntry,
} from '@unhindered/shared-types';
import * as v from 'valibot';

/** What is settled before a trial begins. */
export interface TrialSetup {
  task: string;
  state: string;
  condition: TrialCondition;
  operator: string;
  /** The living model who wears it; absent with a manikin. */
  model?: string | undefined;
}

/** A trial as it is being typed: texts as they stand in the fields. */
export interface TrialDraft {
  outcome: 'done' | 'not-done' | null;
  time: string;
  measures: Record<string, string>;
  /** Fields whose unusual value the person says is meant. */
  confirmed: string[];
  criterion: 'yes' | 'no' | 'unknown' | null;
  note: string;
}

/** What is wrong by field (`outcome`, `time`, `operator`, `criterion` or a measure's id), and the entry when nothing is. */
export interface DraftCheck {
  faults: Record<string, string>;
  /** Unusual values that wait for a confirmation. */
  doubts: Record<string, string>;
  entry: TrialEntry | null;
}

export const emptyDraft = (): TrialDraft => ({
  outcome: null,
  time: '',
  measures: {},
  confirmed: [],
  criterion: null,
  note: '',
});

const ANY_TIME: ProtocolMeasure = {
  id: 'seconds',
  name: 'Time',
  symbol: '',
  unit: 's',
  decimals: 1,
  rejectMin: 0,
  rejectMax: TRIAL_SECONDS_MAX,
  warnMin: null,
  warnMax: null,
  better: 'lower',
  threshold: null,
  source: null,
};

/** Measures that are asked for beside the time. */
export const askedMeasures = (protocol: Protocol, task: string): ProtocolMeasure[] => {
  const used = protocolTasks(protocol).find((t) => t.id === task)?.measures ?? [];
  const timed = timeMeasure(protocol, task);
  return protocol.measures.filter((m) => used.includes(m.id) && m.id !== timed?.id);
};

/** Whether this trial is asked for the criterion of a critical failure. */
export const asksCriterion = (protocol: Protocol, setup: TrialSetup): boolean =>
  setup.condition === 'equipment' &&
  protocolTasks(protocol).find((t) => t.id === setup.task)?.critical != null;

/** A draft that says what an earlier trial says, to correct it. */
export const draftOf = (trial: TrialEntry, protocol: Protocol): TrialDraft => {
  const asked = new Set(askedMeasures(protocol, trial.task).map((m) => m.id));
  const text = ({ value, counts }: TrialEntry['measures'][number]): string =>
    counts ? `${String(counts.successes)}/${String(counts.of)}` : value;
  return {
    outcome: trial.done ? 'done' : 'not-done',
    time: trial.seconds ?? '',
    measures: Object.fromEntries(
      trial.measures.filter((m) => asked.has(m.measure)).map((m) => [m.measure, text(m)]),
    ),
    confirmed: [],
    criterion: trial.criterion === null ? 'unknown' : trial.criterion ? 'yes' : 'no',
    note: trial.note ?? '',
  };
};

type Notes = Pick<DraftCheck, 'faults' | 'doubts'>;

/** Reads the time: null where none was typed; a fault is noted under `time`. */
const readTime = (
  draft: TrialDraft,
  timed: ProtocolMeasure | undefined,
  notes: Notes,
): string | null => {
  if (draft.time.trim() === '') return null;
  const parsed = parseEntry(draft.time, { ...ANY_TIME, name: timed?.name ?? ANY_TIME.name });
  if (!parsed.ok) {
    notes.faults['time'] = `${parsed.fault.fault}. ${parsed.fault.remedy}`;
    return null;
  }
  const { value, censored } = parsed.entry;
  if (censored && draft.outcome === 'done') {
    notes.faults['time'] =
      'This is a time at which it was not done. Choose “not done”, or type the time it took.';
    return null;
  }
  if (timed && draft.outcome === 'done') {
    const { verdict, faults } = checkEntry(timed, parsed.entry);
    if (verdict === 'confirm' && !draft.confirmed.includes('time')) {
      notes.doubts['time'] = faults.map((f) => f.fault).join('; ');
    }
  }
  return decimal12(Number(roundHalfUp(value, 3)));
};

const readMeasures = (
  draft: TrialDraft,
  asked: readonly ProtocolMeasure[],
  notes: Notes,
): TrialEntry['measures'] =>
  asked.flatMap((measure) => {
    const { id } = measure;
    const typed = draft.measures[id]?.trim() ?? '';
    if (typed === '') return [];
    const parsed = parseEntry(typed, measure);
    if (!parsed.ok) {
      notes.faults[id] = `${parsed.fault.fault}. ${parsed.fault.remedy}`;
      return [];
    }
    const { entry } = parsed;
    if (entry.censored) {
      notes.faults[id] = 'Leave it empty where it did not come about, and say so in the note.';
      return [];
    }
    const { verdict, faults } = checkEntry(measure, entry);
    const said = faults.map((f) => `${f.fault}. ${f.remedy}`).join(' ');
    if (verdict === 'refuse') notes.faults[id] = said;
    else if (verdict === 'confirm' && !draft.confirmed.includes(id)) notes.doubts[id] = said;
    return [{ measure: id, value: decimal12(entry.value), counts: entry.counts ?? null }];
  });

/** Holds a draft against the protocol. `splits` in seconds; `at` the device's clock; `replaces` a corrected trial. */
export const checkDraft = (
  draft: TrialDraft,
  setup: TrialSetup,
  protocol: Protocol,
  more: { splits: TrialEntry['splits']; at: string; replaces: string | null },
): DraftCheck => {
  const notes: Notes = { faults: {}, doubts: {} };
  if (draft.outcome === null) notes.faults['outcome'] = 'Say how it ended.';
  const criterion = asksCriterion(protocol, setup);
  if (criterion && draft.criterion === null) notes.faults['criterion'] = 'Answer this.';
  const timed = timeMeasure(protocol, setup.task);
  const seconds = readTime(draft, timed, notes);
  const done = draft.outcome === 'done';
  const own: TrialEntry['measures'] =
    timed && done && seconds !== null ? [{ measure: timed.id, value: seconds, counts: null }] : [];
  const parsed = v.safeParse(trialEntry, {
    kind: 'trial',
    ...setup,
    done,
    seconds,
    splits: seconds === null ? [] : more.splits.filter((s) => Number(s.seconds) <= Number(seconds)),
    measures: [...own, ...readMeasures(draft, askedMeasures(protocol, setup.task), notes)],
    criterion: criterion && draft.criterion !== 'unknown' ? draft.criterion === 'yes' : null,
    note: seenLength(cleanText(draft.note)) === 0 ? null : cleanText(draft.note),
    at: more.at,
    replaces: more.replaces,
  } satisfies TrialEntry);
  if (!parsed.success) {
    const key = parsed.issues[0].path?.[0]?.key;
    const field = typeof key === 'string' ? key : 'outcome';
    notes.faults[field === 'seconds' ? 'time' : field] ??= parsed.issues[0].message;
    return { ...notes, entry: null };
  }
  const fault =
    Object.keys(notes.faults).length > 0 ? undefined : trialFault(parsed.output, protocol);
  if (fault !== undefined) notes.faults['time'] = fault;
  const open = Object.keys(notes.faults).length + Object.keys(notes.doubts).length > 0;
  return { ...notes, entry: open ? null : parsed.output };
};

/** A run that went wrong, with the time it had: it goes on record void. */
export const spoiltRun = (
  setup: TrialSetup,
  more: Pick<TrialEntry, 'seconds' | 'splits' | 'at'>,
): TrialEntry => ({
  kind: 'trial',
  ...setup,
  done: false,
  measures: [],
  criterion: null,
  note: null,
  replaces: null,
  ...more,
});
