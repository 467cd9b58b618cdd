import {
  BOARD_ENTRY_MAX,
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
  type EntryFault,
  type Protocol,
  type ProtocolMeasure,
  type TrialCondition,
  type TrialEntry,
  type TrialSource,
} from '@unhindered/shared-types';
import * as v from 'valibot';
import { entryText } from '../words/en/entry-sentences.ts';
import { trialFaults } from '../words/en/trial-faults.ts';

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
  /** Files that values of `measures` came from. */
  sources: readonly TrialSource[];
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
  sources: [],
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

/** Sources without some of their measures; one that gives nothing any more goes. */
const withoutMeasures = (
  sources: readonly TrialSource[],
  gone: (measure: string) => boolean,
): TrialSource[] =>
  sources
    .map((s) => ({ ...s, measures: s.measures.filter((m) => !gone(m)) }))
    .filter((s) => s.measures.length > 0);

/** SR-6: a value that is typed over comes from its file no more; the others still do. */
export const typedOver = (
  draft: TrialDraft,
  measure: string,
  text: string,
): Pick<TrialDraft, 'measures' | 'confirmed' | 'sources'> => ({
  measures: { ...draft.measures, [measure]: text },
  confirmed: draft.confirmed.filter((c) => c !== measure),
  sources: withoutMeasures(draft.sources, (m) => m === measure),
});

/** SR-6: values of a file put into a draft; they take the place of what stood there, typed or from another file. */
export const withSource = (
  draft: TrialDraft,
  source: Omit<TrialSource, 'measures'>,
  values: Readonly<Record<string, string>>,
): TrialDraft => {
  const measures = Object.keys(values);
  const rest = withoutMeasures(draft.sources, (m) => measures.includes(m));
  return {
    ...draft,
    measures: { ...draft.measures, ...values },
    confirmed: draft.confirmed.filter((c) => !measures.includes(c)),
    sources: measures.length === 0 ? rest : [...rest, { ...source, measures }],
  };
};

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
    sources: withoutMeasures(trial.sources ?? [], (measure) => !asked.has(measure)),
  };
};

/** A fault and the way out of it, in the reader's language. */
const told = ({ fault, remedy }: EntryFault): string => `${entryText(fault)}. ${entryText(remedy)}`;

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
    notes.faults['time'] = told(parsed.fault);
    return null;
  }
  const { value, censored } = parsed.entry;
  if (censored && draft.outcome === 'done') {
    notes.faults['time'] = trialFaults.notDoneThen;
    return null;
  }
  if (timed && draft.outcome === 'done') {
    const { verdict, faults } = checkEntry(timed, parsed.entry);
    if (verdict === 'confirm' && !draft.confirmed.includes('time')) {
      notes.doubts['time'] = faults.map((f) => entryText(f.fault)).join('; ');
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
      notes.faults[id] = told(parsed.fault);
      return [];
    }
    const { entry } = parsed;
    if (entry.censored) {
      notes.faults[id] = trialFaults.empty;
      return [];
    }
    // A file counts what can be counted; what it gives without counts is a share of time.
    const counted = !draft.sources.some((s) => s.measures.includes(id));
    const { verdict, faults } = checkEntry(measure, entry, counted);
    const said = faults.map(told).join(' ');
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
  if (draft.outcome === null) notes.faults['outcome'] = trialFaults.outcome;
  const criterion = asksCriterion(protocol, setup);
  if (criterion && draft.criterion === null) notes.faults['criterion'] = trialFaults.criterion;
  const timed = timeMeasure(protocol, setup.task);
  const seconds = readTime(draft, timed, notes);
  const done = draft.outcome === 'done';
  const own: TrialEntry['measures'] =
    timed && done && seconds !== null ? [{ measure: timed.id, value: seconds, counts: null }] : [];
  const measures = [...own, ...readMeasures(draft, askedMeasures(protocol, setup.task), notes)];
  const sources = withoutMeasures(draft.sources, (of) => !measures.some((m) => m.measure === of));
  const parsed = v.safeParse(trialEntry, {
    kind: 'trial',
    ...setup,
    done,
    seconds,
    splits: seconds === null ? [] : more.splits.filter((s) => Number(s.seconds) <= Number(seconds)),
    measures,
    criterion: criterion && draft.criterion !== 'unknown' ? draft.criterion === 'yes' : null,
    note: seenLength(cleanText(draft.note)) === 0 ? null : cleanText(draft.note),
    at: more.at,
    replaces: more.replaces,
    ...(sources.length === 0 ? {} : { sources }),
  } satisfies TrialEntry);
  if (!parsed.success) {
    const key = parsed.issues[0].path?.[0]?.key;
    const field = typeof key === 'string' ? key : 'outcome';
    notes.faults[field === 'seconds' ? 'time' : field] ??= entryText(parsed.issues[0].message);
    return { ...notes, entry: null };
  }
  const fault =
    Object.keys(notes.faults).length > 0 ? undefined : trialFault(parsed.output, protocol);
  if (fault !== undefined) notes.faults['time'] = entryText(fault);
  if (JSON.stringify(parsed.output).length > BOARD_ENTRY_MAX) {
    notes.faults['note'] = trialFaults.tooMuch;
  }
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
