import {
  entryOf,
  place,
  eventOf,
  onTrial,
  onVoid,
  onGate,
  onModel,
  onResult,
  onEvidence,
  flip,
  silence,
  under,
  seatOfRole,
  type Entry,
  type TrialEdit,
} from './edit-trials.ts';
import { withEvent } from './two-verifiers.ts';

const refused = (rows: [string, TrialEdit['change']][]): TrialEdit[] =>
  rows.map(([name, change]) => ({ name, change, holds: false }));
const held = (rows: [string, TrialEdit['change']][]): TrialEdit[] =>
  rows.map(([name, change]) => ({ name, change, holds: true }));

const shape = (name: string, value: unknown): [string, TrialEdit['change']] => [
  `a trial with "${name}" ${JSON.stringify(value)}`,
  onTrial((t) => (t[name] = value)),
];

/** A measured value of the trial in other words. */
const measured = (value: Entry): [string, TrialEdit['change']] => [
  `a value ${JSON.stringify(value)}`,
  onTrial((t) => (t['measures'] = [{ measure: 's_fm', value: '75', counts: null, ...value }])),
];

const label = (text: string, seconds: string) => ({ label: text, seconds });

/** A trial that measured this depth of compressions. */
const onDepth = (depth: string, change: (entry: Entry) => void): TrialEdit['change'] =>
  onTrial(change, { task: 'cpr-compressions' }, (t) =>
    JSON.stringify(t).includes(`"value":"${depth}"`),
  );

const onSource = (change: Entry): [string, TrialEdit['change']] => [
  `a source ${JSON.stringify(change).slice(0, 60)}`,
  onDepth('38', (t) => Object.assign((t['sources'] as Entry[])[0] ?? {}, change)),
];

const reading =
  (value: string, counts: Entry | null = null) =>
  (t: Entry) => {
    const [first] = t['measures'] as Entry[];
    Object.assign(first ?? {}, { value, counts });
  };

/** Trials that are not of the shape, or not of the protocol. */
export const BAD_SHAPES: TrialEdit[] = refused([
  shape('kind', 'trial-seen'),
  shape('condition', 'training'),
  shape('operator', 'Kim'),
  shape('operator', '-4'),
  shape('operator', 'K234567890123'),
  shape('done', null),
  shape('seconds', '044.4'),
  shape('seconds', '44.40'),
  shape('seconds', '44.4001'),
  shape('seconds', '-1'),
  shape('seconds', '86400.001'),
  shape('seconds', 44.4),
  shape('criterion', 'no'),
  shape('note', ''),
  shape('note', '\u200b'),
  shape('note', 'a\u0085b'),
  shape('note', 'n'.repeat(1001)),
  shape('at', '2026-03-02'),
  shape('splits', [label('a', '10'), label('b', '9.9')]),
  shape('splits', [label('a', '44.401')]),
  shape('splits', [label('two  spaces', '4')]),
  shape(
    'splits',
    Array.from({ length: 21 }, () => label('', '1')),
  ),
  shape('replaces', 'the one before'),
  shape(
    'measures',
    [0, 1].map(() => ({ measure: 'rpe', value: '3', counts: null })),
  ),
  shape('measures', [{ measure: 'joy', value: '3', counts: null }]),
  shape('task', 'no-such-task'),
  shape('state', 'no-such-state'),
  measured({ value: '-0' }),
  measured({ value: '75.0' }),
  measured({ value: '7.5e1' }),
  measured({ value: `0.${'1'.repeat(23)}` }),
  measured({ measure: 'S_fm' }),
  measured({ counts: { successes: 5, of: 4 } }),
  measured({ counts: { successes: 0, of: 0 } }),
  measured({ counts: { successes: 1.5, of: 4 } }),
  measured({ counts: { successes: 3, of: 100_001 } }),
  ...[
    { rows: 0 },
    { measures: [] },
    { measures: ['cc_depth_mm', 'cc_depth_mm'] },
    { measures: ['rpe'] },
    { as: 'é' },
    { as: `{${'x'.repeat(2999)}}` },
    { file: '' },
    { sha256: 'C0FFEE' },
    { read: 'well' },
  ].map(onSource),
  ['a trial with no source in its sources', onDepth('38', (t) => (t['sources'] = []))],
  ['a model with a name', onTrial((t) => (t['model'] = 'ANNA'))],
  ['a trial with one name more', onTrial((t) => (t['mood'] = 'good'))],
  ['a void with a reason of two letters', onVoid((e) => (entryOf(e)['reason'] = 'no'))],
  [
    'a void with a reason nobody sees',
    onVoid((e) => (entryOf(e)['reason'] = '\u2800\u200b\u3164')),
  ],
]);

/** What nobody may do, and decisions that the trials do not bear out. */
export const BAD_ORDER: TrialEdit[] = refused([
  [
    'a correction of somebody else’s trial',
    onTrial((t) => (t['replaces'] = `st_${'B'.repeat(22)}/${'0'.repeat(22)}`)),
  ],
  [
    'a void by another',
    onVoid((e, b) => {
      const seat = seatOfRole(b, 'reviewer');
      under(e, seat);
      Object.assign(e, { actor: seat, role: 'reviewer' });
    }),
  ],
  ['a void in the name of the moderator', onVoid((e, b) => (e.actor = seatOfRole(b, 'operator')))],
  ['an entry under another seat', onVoid((e, b) => under(e, seatOfRole(b, 'recorder')))],
  [
    'an entry under another’s key',
    onVoid(
      (e, b) =>
        (e.data['key'] = String(e.data['key']).replace(/^st_[^/]*/u, seatOfRole(b, 'recorder'))),
    ),
  ],
  [
    'an entry twice',
    (b) => {
      const first = place(b, 'entry-posted');
      withEvent(b, first + 1, (e) => (e.data['key'] = eventOf(b, first).data['key']));
    },
  ],
  ['an entry by an observer', onVoid((e) => (e.role = 'observer'))],
  [
    'a trial of a seat without a role',
    (b) =>
      withEvent(
        b,
        place(b, 'seat-taken', (e) => e.data['role'] === 'operator'),
        (e) => (e.data['role'] = 'observer'),
      ),
  ],
  ['backed by trials that do not', onGate('helmet-removal', (d) => (d['backedByTrials'] = true))],
  ['not backed by trials that do', onGate('fm-tool-first', (d) => (d['backedByTrials'] = false))],
  [
    'rejected, and not backed by trials that do',
    onGate('chest-access', (d) => (d['backedByTrials'] = false)),
  ],
  ['backed too early', onGate('fm-cut-backup', (d) => (d['backedByTrials'] = true), false)],
  ['confirmed, and decided again', onGate('fm-cut-backup', (d) => (d['confirmed'] = true), false)],
  [
    'a second decision that is not backed',
    onGate('fm-cut-backup', (d) => (d['backedByTrials'] = false), true),
  ],
  ['a gate of no task', onGate('helmet-removal', (d) => (d['task'] = 'no-such-task'))],
  [
    'no second decision',
    (b) =>
      withEvent(
        b,
        place(
          b,
          'gate-decided',
          (e) => e.data['task'] === 'fm-cut-backup' && e.data['confirmed'] === true,
        ),
        silence,
      ),
  ],
  [
    'no decision at all',
    (b) =>
      withEvent(
        b,
        place(b, 'gate-decided', (e) => e.data['task'] === 'chest-access'),
        silence,
      ),
  ],
]);

/** Figures that do not follow from the trials, and trials that do not give the figures. */
export const BAD_FIGURES: TrialEdit[] = refused([
  ['another number of trials', onEvidence('fm-tool-first', (x) => (x.valid += 1))],
  ['another number done', onEvidence('fm-tool-first', (x) => (x.done += 1))],
  ['another share', onEvidence('fm-tool-first', (x) => (x.share = '0.61'))],
  ['another lower limit', onEvidence('fm-tool-first', (x) => (x.lower = '0.1'))],
  ['another upper limit', onEvidence('fm-cut-backup', (x) => (x.upper = '0.657619772494'))],
  [
    'a lower limit of a hair above none',
    onEvidence('fm-cut-backup', (x) => (x.lower = '0.000000000001')),
  ],
  ['another median', onEvidence('helmet-removal', (x) => (x.medianSeconds = { value: '38' }))],
  [
    'a median where there is none',
    onEvidence('fm-cut-backup', (x) => (x.medianSeconds = { value: '180' })),
  ],
  ['another criterion', onEvidence('chest-access', (x) => (x.criterion = 'not-met'))],
  [
    'a criterion where the task cannot gate',
    onEvidence('wear-comfort', (x) => (x.criterion = 'not-enough-trials')),
  ],
  ['a task left out of the evidence', onResult((r) => r.evidence?.pop())],
  ['the evidence in another order', onResult((r) => r.evidence?.reverse())],
  ['no evidence', onResult((r) => delete r.evidence)],
  ...[
    'fm-tool-first',
    'wear-comfort',
    'helmet-removal',
    'chest-access',
    'fm-cut-backup',
    'pulse-check',
  ].map((task): [string, TrialEdit['change']] => [`divergent turned over: ${task}`, flip(task)]),
  ['a trial that was not done', onTrial((t) => (t['done'] = false))],
  [
    'another time of a trial',
    onTrial((t) => (t['seconds'] = '45.5'), { task: 'helmet-removal', seconds: '31' }),
  ],
  [
    'a trial of practice made one that counts',
    onTrial((t) => (t['condition'] = 'equipment'), { condition: 'practice' }),
  ],
  ['a trial that counts made one of practice', onTrial((t) => (t['condition'] = 'practice'))],
  ['another state of the piece', onTrial((t) => (t['state'] = 'all-removed'))],
  ['another task', onTrial((t) => (t['task'] = 'torso-removal'))],
  [
    'a correction made a trial of its own',
    onTrial((t) => (t['replaces'] = null), { seconds: '88.25' }),
  ],
  ['a depth without a reference', onDepth('38', (t) => (t['operator'] = 'K9'))],
  ['a depth above the limit', onDepth('38', reading('40'))],
  [
    'a neck further from zero',
    onTrial(reading('-5.1'), { task: 'combined-removal', criterion: true }),
  ],
  [
    'more breaths that succeeded',
    onTrial(reading('75', { successes: 14, of: 16 }), { task: 'bvm-ventilation' }),
  ],
  ['fewer breaths', onTrial(reading('25', { successes: 0, of: 1 }), { task: 'bvm-ventilation' })],
  ['a trial without its model', onTrial((t) => delete t['model'], { model: 'M1' })],
  ['trials of a model who left, counted', onModel('M1', true)],
  ['trials of a model who left, not counted', onModel('M-2', false)],
  ['a void taken back', onVoid((e) => silence(e))],
]);

/** Changes that no figure and no rule rests on. */
export const STILL_HOLDS: TrialEdit[] = held([
  [
    'another time of a practice trial',
    onTrial((t) => (t['seconds'] = '13'), { condition: 'practice' }),
  ],
  [
    'another time of a trial that was not done',
    onTrial((t) => (t['seconds'] = null), { condition: 'hidden-fault' }),
  ],
  [
    'another time of a trial that was corrected',
    onTrial((t) => (t['seconds'] = '10'), { seconds: '9' }),
  ],
  [
    'a split on the end, in half a line',
    onTrial((t) => (t['splits'] = [label('é', '44.4'), label('', '44.4')])),
  ],
  [
    'a share without its counts',
    onTrial((t) => (t['measures'] = [{ measure: 's_fm', value: '-75.5', counts: null }])),
  ],
  ['another depth of a reference', onDepth('52', reading('51'))],
  ['a mark against the values', onDepth('39.9', (t) => (t['criterion'] = false))],
  [
    'a mark where a value tells',
    onTrial((t) => (t['criterion'] = null), { task: 'combined-removal', criterion: true }),
  ],
  ['another model', onTrial((t) => (t['model'] = 'M9'), { model: 'M-2' })],
  ['a source of more rows than anybody counts', onSource({ rows: 1e300 })[1]],
  ['a note that somebody can see', onTrial((t) => (t['note'] = '\u200ba\u200b'))],

  ['a reason for a void', onVoid((e) => (entryOf(e)['reason'] = 'The clamp slipped.'))],
]);
