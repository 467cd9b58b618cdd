import { protocolTasks } from '../../../shared-types/src/index.ts';
import { expect, test } from 'vitest';
import { insight, type InsightQuestion } from '../../../server/src/evaluation/insight.ts';
import { evaluationSlices } from '../../../server/src/flows/look.ts';
import { Insights } from '../../../server/src/flows/insights.ts';
import { protocolOf } from '../../../server/src/flows/app.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const question = (...rows: number[][]): InsightQuestion => ({
  table: {
    scale: { min: 0, max: 5, better: 'lower' },
    tasks: rows.map((_, i) => `t${String(i)}`),
    reviewers: (rows[0] ?? []).map((_, j) => `R${String(j)}`),
    cells: rows,
  },
  sections: [
    { id: 's', weight: 1, tasks: rows.map((_, i) => ({ id: `t${String(i)}`, weight: 1 })) },
  ],
  rule: { id: 'D1', lone: 2.5, split: 1 },
});

/** Answers when told to. */
const byHand = () => {
  const asked: { question: InsightQuestion; answer: () => void; fail: () => void }[] = [];
  const errors: string[] = [];
  const insights = new Insights(
    {
      ask: (q) =>
        new Promise((resolve, reject) => {
          asked.push({
            question: q,
            answer: () => resolve(insight(q)),
            fail: () => reject(new Error('out of memory')),
          });
        }),
      close: () => Promise.resolve(),
    },
    { info: () => undefined, error: (message) => errors.push(message) },
  );
  const ready: string[] = [];
  insights.ready = (id) => ready.push(id);
  return { insights, asked, errors, ready };
};
const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

test('the same ratings are asked about once; the answer is told and kept', async () => {
  const { insights, asked, ready } = byHand();
  const q = question([0, 1, 1], [3, 4, 4], [2, 2, 5]);
  expect(insights.of('ev_1', q)).toBeNull();
  expect(insights.of('ev_1', structuredClone(q))).toBeNull();
  expect(asked).toHaveLength(1);
  asked[0]?.answer();
  await turn();
  expect(ready).toEqual(['ev_1']);
  expect(insights.of('ev_1', q)).toEqual(insight(q));
  expect(asked).toHaveLength(1);
});

test('an answer to ratings that have changed since is dropped', async () => {
  const { insights, asked, ready } = byHand();
  const before = question([0, 1, 1], [3, 4, 4]);
  const after = question([0, 1, 2], [3, 4, 4]);
  insights.of('ev_1', before);
  insights.of('ev_1', after);
  asked[0]?.answer();
  await turn();
  expect([ready, insights.of('ev_1', after)]).toEqual([[], null]);
  asked[1]?.answer();
  await turn();
  expect(insights.of('ev_1', after)).toEqual(insight(after));
});

test('the figures are asked when everybody has been told', async () => {
  const asked: string[] = [];
  let told: () => void = () => undefined;
  const figures = {
    ask: () => {
      asked.push('asked');
      return Promise.reject(new Error('not wanted here'));
    },
    close: () => Promise.resolve(),
  };
  const insights = new Insights(figures, { info: () => undefined, error: () => undefined });
  insights.after = (evaluation) =>
    new Promise((resolve) => {
      asked.push(evaluation);
      told = resolve;
    });
  expect(insights.of('ev_1', {} as InsightQuestion)).toBeNull();
  await new Promise((resolve) => setImmediate(resolve));
  expect(asked).toEqual(['ev_1']);
  told();
  await new Promise((resolve) => setImmediate(resolve));
  expect(asked).toEqual(['ev_1', 'asked']);
});

test('a computation that fails is logged and not tried at every event', async () => {
  const { insights, asked, errors, ready } = byHand();
  const q = question([0, 1], [3, 4]);
  insights.of('ev_1', q);
  asked[0]?.fail();
  await turn();
  expect(insights.of('ev_1', q)).toBeNull();
  expect([asked.length, errors, ready]).toEqual([
    1,
    ['the insight of ev_1 could not be computed'],
    [],
  ]);
});

test('SE-11: habits and absences are shown to the moderator alone, and only after the opening', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app);
  const none = (): boolean => false;
  const seen = async (audience: 'moderator' | 'reviewer' | 'wall' | 'onlooker') => {
    await evaluationSlices(app, await panel.live(), audience, none);
    await turn();
    return (await evaluationSlices(app, await panel.live(), audience, none))['insight'];
  };
  expect(await seen('moderator')).toBeNull();
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  const tasks = protocolTasks(protocolOf(app, (await panel.live()).state).protocol).slice(0, 3);
  for (const [j, who] of panel.reviewers.entries()) {
    await panel.rate(who, Object.fromEntries(tasks.map((t, i) => [t.id, (i + j) % 4])));
  }
  expect(await seen('moderator')).toBeNull();
  accepted(await panel.act(panel.moderator, { type: 'open-round', withMissing: true }));
  for (const audience of ['reviewer', 'wall', 'onlooker'] as const) {
    expect(await seen(audience)).toBeNull();
  }
  expect(await seen('moderator')).toMatchObject({
    reviewers: panel.reviewers.map((r) => ({ seat: r.seat, n: 3 })),
  });
});
