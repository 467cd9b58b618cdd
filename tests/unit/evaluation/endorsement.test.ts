import { describe, expect, test } from 'vitest';
import { lockConditions } from '../../../server/src/evaluation/lock-conditions.ts';
import { catalogueEntry } from '../../../server/src/evaluation/catalogue-entry.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { endorsedDay, type Saying } from '../../support/endorsed-bundle.ts';
import { opened } from '../../support/two-verifiers.ts';

const rule = { weight: 6, content: 0, notContent: 5 };
const day: Saying[] = [
  { content: true, step: 2 },
  { content: false, step: 2, tied: true },
  { content: null, step: 2 },
  { content: false, step: 2 },
];

describe('EN-3 EN-4: endorsements with a weight', () => {
  test('before the lock only how many are silent is told, and the composite stays without them (EN-2)', async () => {
    const { panel, protocol } = await endorsedDay(rule, day);
    const { state } = await panel.live();
    const silent = lockConditions(state, protocol).find((c) => c.id === 'endorsements');
    expect(silent).toEqual({ id: 'endorsements', count: 1, first: null, caveat: true });
    const apart = await endorsedDay(undefined, day);
    const other = await apart.panel.live();
    const ids = lockConditions(other.state, apart.protocol).map((c) => c.id);
    expect(ids).not.toContain('endorsements');
  });

  test('the record says what share they have, and gives the composite without them', async () => {
    const locked = await (await endorsedDay(rule, day)).lock();
    const record = buildRecord(locked.bytes);
    const text = (id: string): string =>
      JSON.stringify(record.sections.find((s) => s.id === id)?.blocks);
    // One of two counted statements content: 2.5 with weight 6 of 40.
    expect(text('verdict')).toContain('of which endorsement 15 %, at 2.50');
    expect(text('verdict')).toContain('The same without endorsements');
    expect(text('sensitivity')).toContain('Without endorsements');
    expect(text('panel')).toContain('1 content, 1 not content) make up 15 % of the composite');
    expect(text('panel')).not.toContain('no figure of this record rests on it');
    expect(text('method')).toContain('of weight 6 beside 100 of all sections');
    const figures = new Map(record.figures.map((f) => [f.id, f.value]));
    expect(figures.get('composite')).toEqual({ value: '1.725' });
    expect(figures.get('composite-without-endorsements')).toEqual({ value: '1.58823529412' });
  });

  test('without a rule the record is counted apart as ever', async () => {
    const day0 = await endorsedDay(undefined, day);
    const locked = await day0.lock();
    const record = JSON.stringify(buildRecord(locked.bytes));
    expect(record).toContain('no figure of this record rests on it');
    expect(record).not.toContain('of which endorsement');
    expect(JSON.stringify(opened(locked)['result'])).not.toContain('endorsement');
  });

  test('the catalogue keeps both, so that a comparison can say so', async () => {
    const made = await endorsedDay(rule, day);
    await made.lock();
    const { state } = await made.panel.live();
    expect(catalogueEntry(state, made.protocol)).toMatchObject({
      composite: { value: '1.725' },
      endorsement: { weight: '0.15', without: { value: '1.58823529412' } },
    });
  });
});
