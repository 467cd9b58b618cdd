import { crossoverOf, type Crossover } from './crossover.ts';
import type { RecordSource } from './record-source.ts';
import { absent, partly, present, type Answer, type Rule } from './reporting-rule.ts';

const NONE: Answer = {
  status: 'not-applicable',
  place: 'evidence',
  remark: 'no trials were recorded',
};
/** Items about trials do not apply without any. */
const ofTrials =
  (answer: (c: Crossover, s: RecordSource) => Answer) =>
  (s: RecordSource): Answer =>
    s.trials.length === 0 ? NONE : answer(crossoverOf(s), s);

/** Items about two conditions: without the same task in both there is nothing to tell. */
const ofBoth = (answer: (c: Crossover) => Answer) =>
  ofTrials((c) =>
    c.compared.length === 0
      ? absent('trials are on record; no task was tried with and without the equipment')
      : answer(c),
  );

const bothOf = (c: Crossover): number => c.began.equipment + c.began.reference;

const design = ofBoth((c) =>
  bothOf(c) === 0
    ? partly('evidence', 'conditions; no operator worked in both, so it is no crossover')
    : present('evidence', 'conditions, and the order of each operator'),
);

const rest = ofBoth((c) => {
  const told = c.rest ? 'rest between trials that tire' : 'no operator had two trials that tire';
  return partly('evidence', `${told}, and the balance of the order; no carry-over was estimated`);
});

const reference = ofBoth((c) => {
  const both = c.orders.filter((o) => new Set(o.order).size === 2);
  const alone = c.orders.length - both.length;
  const apart = both.filter(
    ({ days }) => new Set([...days.equipment, ...days.reference]).size > 1,
  ).length;
  if (alone === 0 && apart === 0) return present('evidence', 'the same operators, on the same day');
  const odd = [
    ...(alone > 0 ? [`${String(alone)} worked in one condition only`] : []),
    ...(apart > 0 ? [`${String(apart)} on more than one day`] : []),
  ];
  return partly('evidence', `of ${String(c.orders.length)} operators ${odd.join(', ')}`);
});

const differences = ofBoth((c) => {
  const kinds = c.compared.map((t) => t.comparison.kind);
  const paired = kinds.filter((k) => k === 'paired').length;
  if (paired === kinds.length) return present('evidence', 'with 95 % limits');
  const some = kinds.some((k) => k !== 'none');
  return some
    ? partly(
        'evidence',
        `${String(paired)} of ${String(kinds.length)} tasks paired; the record says why`,
      )
    : absent('too few trials in both conditions for an interval');
});

const caps = ofTrials((_, { protocol, trials }) => {
  const tried = new Set(trials.map((t) => t.task));
  const capped = protocol.ladders
    .flatMap((l) => l.rungs)
    .some((r) => r.capSeconds !== null && tried.has(r.task));
  const what = capped ? 'caps, and trials not done' : 'trials not done; no cap of these tasks';
  return partly('evidence', `${what}; when a clock starts and stops stands in the protocol`);
});

const tools = ofTrials((_, { protocol, trials }) => {
  const tried = new Set(trials.map((t) => t.task));
  const named = protocol.sections
    .flatMap((s) => s.tasks)
    .some((t) => tried.has(t.id) && t.tools.length > 0);
  return named
    ? partly('evidence', 'names; state, battery and how often a back-up was used are not on record')
    : absent('the protocol names no tool for these tasks');
});

const hidden = ofTrials(({ hiddenFaults: found }) => {
  if (found.length === 0) {
    return { ...NONE, remark: 'no trial with a hidden fault is on record' };
  }
  return found.every((t) => t.entry.note !== null)
    ? partly('evidence', 'which, as noted; who else knew is not on record')
    : partly('evidence', 'how many; the fault of each is not described, nor who else knew');
});

/** What of the models is on record: their code and consent, and the size noted at the fit check. */
export const modelItem = (s: RecordSource): Answer => {
  if (s.trials.length === 0) return NONE;
  const sized = [...s.state.fitChecks.values()].some((f) => f.check.model.size !== '');
  const known = s.state.safety.models.size > 0 || s.trials.some((t) => t.entry.model !== undefined);
  if (!sized && !known) return absent('nothing of the models is on record');
  const what = [
    ...(known ? ['codes and consent'] : []),
    ...(sized ? ['size at the fit check'] : []),
  ];
  return {
    status: 'partly',
    place: known ? 'safety' : 'specimen',
    remark: `${what.join(', ')}; mass, hair and neck are not asked for`,
  };
};

/** R16 to R25, after the extension of CONSORT for crossover trials (Dwan 2019); wording is ours. */
export const CROSSOVER: readonly Rule[] = [
  ['R16', 'design: crossover, conditions, sequences, periods', 'CONSORT crossover', design],
  [
    'R17',
    'how sequences were made and kept, seed',
    'CONSORT crossover',
    ofBoth(() =>
      partly('evidence', 'the order that was run; how it was drawn, and its seed, are not kept'),
    ),
  ],
  ['R18', 'rest between periods, carry-over', 'CONSORT crossover', rest],
  ['R19', 'reference condition: what exactly, same team, same day', 'CONSORT crossover', reference],
  [
    'R20',
    'flow: trials planned, run, void, analysed',
    'CONSORT crossover',
    ofTrials(() =>
      partly('evidence', 'run, void with reason, taken out, standing; not how many were planned'),
    ),
  ],
  ['R21', 'paired differences with intervals', 'CONSORT crossover', differences],
  ['R22', 'harms or stops during testing', 'CONSORT', () => present('safety')],
  ['R23', 'time cap, start and stop events, censored counts', 'trade', caps],
  ['R24', 'tools: name, state, battery, back-up used', 'trade', tools],
  ['R25', 'hidden faults: which, who knew', 'trade', hidden],
];
