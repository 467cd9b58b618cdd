import { beforeAll, describe, expect, test } from 'vitest';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { recordOf } from '../../../server/src/report/build-record.ts';
import { crossoverOf } from '../../../server/src/report/crossover.ts';
import { readSource, type RecordSource } from '../../../server/src/report/record-source.ts';
import type { BoardEntry, TrialEntry } from '../../../shared-types/src/index.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { enterOn } from '../../support/trial-record.ts';
import { failed, FACE_MASK, trial } from '../../support/trials.ts';

const at = (time: string): string => `2026-03-02T${time}:00.000Z`;
const bare = (more: Partial<TrialEntry>): TrialEntry => trial({ condition: 'reference', ...more });

/** K1 and K3 begin with the equipment, K2 and K4 without; K5 is tried with it alone, and not done. */
const DAY: TrialEntry[] = [
  trial({ operator: 'K1', seconds: '60', at: at('09:00') }),
  bare({ operator: 'K1', seconds: '20', at: at('09:10') }),
  bare({ operator: 'K2', seconds: '25', at: at('09:20') }),
  trial({ operator: 'K2', seconds: '55', at: at('09:30') }),
  trial({ operator: 'K3', seconds: '70', at: at('09:40') }),
  bare({ operator: 'K3', seconds: '30', at: at('09:50') }),
  bare({ operator: 'K4', seconds: '25', at: at('10:00') }),
  trial({ operator: 'K4', seconds: '65', at: at('10:10') }),
  failed({ operator: 'K5', at: at('10:20') }),
  trial({ operator: 'K6', condition: 'hidden-fault', note: 'A screw was glued.', at: at('10:30') }),
];

/** The record of a day with these trials; the first one is void afterwards when `voided`. */
const dayOf = async (trials: readonly TrialEntry[], voided = false): Promise<RecordSource> => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 3);
  const { moderator, reviewers, act } = panel;
  const enter = await enterOn(app, panel);
  const [key = ''] = await enter(moderator, ...trials);
  const unmake: BoardEntry = {
    kind: 'trial-void',
    task: FACE_MASK,
    trial: key,
    reason: 'The helper slipped.',
    at: at('11:00'),
  };
  if (voided) await enter(moderator, unmake);
  accepted(await act(moderator, { type: 'start-round' }));
  for (const who of reviewers) await panel.rate(who, { [FACE_MASK]: 2 });
  accepted(await act(moderator, { type: 'open-round', withMissing: true }));
  accepted(await act(moderator, { type: 'adopt-undisputed' }));
  accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error(bundle.rejection.message);
  return readSource(bundle.value);
};

const item = (s: RecordSource, id: string) => recordOf(s).checklist.find((i) => i.id === id);

describe('RE-7: conditions, order, flow and differences', () => {
  let source: RecordSource;
  beforeAll(async () => {
    source = await dayOf(DAY);
  });

  test('who worked in which order, on which day, and who began how', () => {
    const { orders, began } = crossoverOf(source);
    expect(orders.map((o) => `${o.operator} ${o.order.join(' ')}`)).toEqual([
      'K1 equipment reference',
      'K2 reference equipment',
      'K3 equipment reference',
      'K4 reference equipment',
      'K5 equipment',
    ]);
    expect(orders[0]?.days).toEqual({ equipment: ['2026-03-02'], reference: ['2026-03-02'] });
    expect(began).toEqual({ equipment: 2, reference: 2 });
  });

  test('the flow by condition', () => {
    expect(crossoverOf(source).flow).toEqual([
      { condition: 'equipment', recorded: 5, void: 0, takenOut: 0, standing: 5, notDone: 1 },
      { condition: 'reference', recorded: 4, void: 0, takenOut: 0, standing: 4, notDone: 0 },
      { condition: 'hidden-fault', recorded: 1, void: 0, takenOut: 0, standing: 1, notDone: 0 },
    ]);
  });

  test('the paired difference by hand, and the operator who was not done left out of it', () => {
    const [compared] = crossoverOf(source).compared;
    // 60 - 20, 55 - 25, 70 - 30, 65 - 25: 40, 30, 40, 40. Mean 37.5, sd 5, t(3) 3.18245: 37.5 +- 7.956.
    expect(compared?.comparison).toMatchObject({ kind: 'paired', n: { equipment: 4 } });
    if (compared?.comparison.kind !== 'paired') throw new Error('not paired');
    const { difference } = compared.comparison;
    expect(difference.value).toBe(37.5);
    expect(difference.lower).toBeCloseTo(37.5 - (3.182446305 * 5) / 2, 8);
    expect(difference.upper).toBeCloseTo(37.5 + (3.182446305 * 5) / 2, 8);
    const text = JSON.stringify(recordOf(source).sections.find((s) => s.id === 'evidence'));
    expect(text).toContain('+37.5 s');
    expect(text).toContain('2 began with the equipment and 2 without it. The order is balanced');
    expect(text).toContain('A screw was glued.');
  });

  test('RE-4: R16 to R25 are answered from them, each with its place', () => {
    const told = recordOf(source).checklist.filter((i) => /^R(1[6-9]|2[0-5])$/u.test(i.id));
    expect(told.map((i) => `${i.id} ${i.status} ${i.place ?? ''}`)).toEqual([
      'R16 present evidence',
      'R17 partly evidence',
      'R18 partly evidence',
      'R19 partly evidence',
      'R20 partly evidence',
      'R21 present evidence',
      'R22 present safety',
      'R23 partly evidence',
      'R24 partly evidence',
      'R25 partly evidence',
    ]);
    expect(item(source, 'R19')?.remark).toBe('of 5 operators 1 worked in one condition only');
  });
});

describe('RE-4: what is not there is not called present', () => {
  test('trials with the equipment alone: nothing of a crossover', async () => {
    const source = await dayOf(DAY.filter((t) => t.condition === 'equipment'));
    for (const id of ['R16', 'R17', 'R18', 'R19', 'R21']) {
      expect(item(source, id), id).toMatchObject({ status: 'absent', place: null });
    }
    expect(item(source, 'R20')?.status).toBe('partly');
    expect(item(source, 'R25')?.status).toBe('not-applicable');
  });

  test('other people without the equipment than with it: no crossover, and the difference is not paired', async () => {
    const source = await dayOf(
      DAY.filter((t) =>
        t.condition === 'equipment' ? /K[13]/u.test(t.operator) : /K[24]/u.test(t.operator),
      ),
    );
    expect(item(source, 'R16')?.status).toBe('partly');
    expect(item(source, 'R21')).toMatchObject({ status: 'partly' });
    expect(JSON.stringify(recordOf(source))).toContain('No operator worked in both conditions');
  });

  test('a void trial is in the flow with its reason and in no order or difference', async () => {
    const source = await dayOf(DAY, true);
    const { flow, began, compared } = crossoverOf(source);
    expect(flow[0]).toMatchObject({ recorded: 5, void: 1, standing: 4 });
    expect(began).toEqual({ equipment: 1, reference: 2 });
    expect(compared[0]?.comparison).toMatchObject({ kind: 'paired', n: { equipment: 3 } });
    expect(JSON.stringify(recordOf(source))).toContain('The helper slipped.');
  });

  test('an order that is not balanced, another day, and a rest that was too short are said', async () => {
    const cpr = { task: 'compressions', state: 'as-worn' } as const;
    const tasks = (s: RecordSource) => s.protocol.sections.flatMap((x) => x.tasks);
    const probe = await dayOf(DAY.slice(0, 4).filter((t) => t.operator === 'K1'));
    const tiring = tasks(probe).find((t) => t.measures.includes('cc_rate'));
    if (!tiring) throw new Error('no task takes compressions');
    const own = { ...cpr, task: tiring.id, state: tiring.state };
    const source = await dayOf([
      trial({ ...own, operator: 'K1', criterion: null, at: at('09:00') }),
      bare({ ...own, operator: 'K1', criterion: null, at: at('09:02') }),
      trial({ ...own, operator: 'K2', criterion: null, at: at('09:00') }),
      bare({ ...own, operator: 'K2', criterion: null, at: '2026-03-03T09:00:00.000Z' }),
    ]);
    const text = JSON.stringify(recordOf(source));
    expect(crossoverOf(source).rest).toEqual({ shortest: 2, asked: 3, tooShort: 1, pauses: 2 });
    expect(text).toContain('The order is not balanced');
    expect(text).toContain('1 was shorter than the 3 min of the rule');
    expect(item(source, 'R19')?.remark).toBe('of 2 operators 1 on more than one day');
  });
});
