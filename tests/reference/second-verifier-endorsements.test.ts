import { describe, expect, test } from 'vitest';
import type { EndorsementRule } from '../../shared-types/src/index.ts';
import { endorsedDay, type Saying } from '../support/endorsed-bundle.ts';
import {
  closed,
  indexOf,
  noPython,
  opened,
  resigned,
  sameVerdict,
  verdicts,
  withEvent,
} from '../support/two-verifiers.ts';

const rule: EndorsementRule = { weight: 6, content: 0, notContent: 5 };
const day: Saying[] = [
  { content: true, step: 2 },
  { content: true, step: 2 },
  { content: true, step: 2 },
  { content: false, step: 2 },
];
const days: [string, EndorsementRule | undefined, Saying[]][] = [
  ['with a weight', rule, day],
  ['without a rule', undefined, day],
  ['with the weight 0', { ...rule, weight: 0 }, day],
  [
    'of which one has a tie and one rated nothing',
    rule,
    [
      { content: false, step: 2, tied: true },
      { content: false, step: null },
      { content: true, step: 1 },
      { content: null, step: 3 },
    ],
  ],
  ['that nobody stated', rule, day.map((s) => ({ ...s, content: null }))],
  ['with points between the ends', { weight: 33.5, content: 1, notContent: 2.5 }, day],
];

describe.skipIf(noPython)(
  'EN-3 EN-4 AU-9: both verifiers, of endorsements',
  { timeout: 120_000 },
  () => {
    test.each(days)('%s: every figure alike', async (_, own, sayings) => {
      const locked = await (await endorsedDay(own, sayings)).lock();
      const [pair] = verdicts(locked, [locked.bytes]);
      expect(pair?.first.findings).toEqual([]);
      expect(pair?.second.ok).toBe(true);
      expect(pair?.second.result).toEqual(pair?.first.facts?.result);
      const composite = pair?.first.facts?.result.composite;
      expect(composite?.endorsement === undefined).toBe(own === undefined);
    });

    test('by hand, and a statement that was turned round afterwards is noticed by both', async () => {
      const locked = await (await endorsedDay(rule, day)).lock();
      const [pair] = verdicts(locked, [locked.bytes]);
      // pulse-check 2 in C (weight 20), airway-open 1 in D (14); 3 of 4 content: 1.25 with weight 6. 61.5 / 40.
      expect(pair?.first.facts?.result.composite).toMatchObject({
        value: { value: '1.5375' },
        endorsement: {
          value: { value: '1.25' },
          weight: '0.15',
          content: 3,
          notContent: 1,
          without: { value: '1.58823529412' },
        },
        weightUsed: '0.34',
      });
      const bundle = opened(locked);
      withEvent(bundle, indexOf(bundle, 'endorsement-stated'), (e) => (e.data['content'] = false));
      const changed = closed(resigned(locked, bundle));
      const after = verdicts(locked, [changed]);
      expect(sameVerdict(after, ['turned round']).held).toBe(0);
      expect(after[0]?.first.findings[0]?.step).toBe('figures');
    });
  },
);
