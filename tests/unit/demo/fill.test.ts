import { beforeAll, describe, expect, test } from 'vitest';
import { demoProtocol } from '../../../server/src/demo/demo-protocol.ts';
import { fillDemo, type DemoFilled } from '../../../server/src/demo/fill.ts';
import type { EvaluationState } from '../../../server/src/evaluation/state.ts';
import { protocolKey, type App } from '../../../server/src/flows/app.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { protocolText } from '../../../server/src/protocol/protocol-text.ts';
import { seededRandom } from '../../../server/src/rehearse/random.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { testApp } from '../../support/test-app.ts';

/** Composite in steps that the invented table gives for each piece: 5 x (1 - index / 100). */
const TABLE = {
  d1: 0.945,
  d2: 1.8,
  d3: 1.735,
  d4: 1.09,
  d5: 1.24,
  d6: 0.885,
  d7: 2.33,
  d8: 1.075,
};

const SEED = 11;
let app: App;
let made: DemoFilled;

const stateOf = async (id: string): Promise<EvaluationState> => {
  const live = await app.logs.evaluation(made.get(id)?.evaluation ?? '');
  if (!live) throw new Error(`${id} was not made`);
  return live.state;
};
/** Steps of reviewers A, B, C … for a task; what is off the scale by its word. */
const answers = ({ seats, ratings }: EvaluationState, task: string): unknown[] =>
  [...seats.values()]
    .filter((s) => s.role === 'reviewer')
    .map((s) => ratings.get(task)?.get(s.seat)?.rating)
    .map((r) => r?.step ?? r?.answer);

beforeAll(async () => {
  const built = testApp();
  app = built.app;
  let now = 0;
  app.timers = { now: () => now, counted: () => now, after: () => () => undefined };
  const [shipped] = [...app.protocols.values()];
  if (!shipped) throw new Error('no protocol is published');
  app.protocols = new Map(
    ['1.0.0', '1.1.0'].map((version) => {
      const protocol = demoProtocol(shipped.protocol, version);
      return [protocolKey(protocol), { protocol, ...protocolText(protocol) }];
    }),
  );
  made = await fillDemo(
    app,
    {
      set: (instant) => {
        now = Date.parse(instant);
      },
      minutes: (n) => {
        now += n * 60_000;
      },
    },
    seededRandom(SEED),
    () => undefined,
  );
}, 120_000);

describe('the demonstration', () => {
  test('holds every piece, locked, over three seasons, under an invented protocol of 29 tasks', async () => {
    expect([...made.keys()]).toEqual([
      'd3',
      'd2',
      'd5',
      'd1',
      'd4',
      'd6',
      'd2b',
      'd7',
      'd8',
      'd7b',
    ]);
    const years = new Set<string>();
    for (const id of made.keys()) {
      const { locked } = await stateOf(id);
      years.add(locked?.at.slice(0, 4) ?? 'not locked');
      expect(locked?.result.tasks).toHaveLength(29);
    }
    expect([...years]).toEqual(['2023', '2024', '2025']);
  });

  test.each(Object.entries(TABLE))(
    '%s: its composite is within 0.1 of the table',
    async (id, steps) => {
      const value = (await stateOf(id)).locked?.result.composite.value;
      if (!value || !('value' in value)) throw new Error('no composite');
      expect(Math.abs(Number(value.value) - steps)).toBeLessThan(0.1);
    },
  );

  test.each([
    ['d4', 'torso-removal', [0, 0, 1, 3, 1], '1'],
    ['d5', 'inline-hold', [1, 1, 'not-observed', 3, 1], '1'],
    ['d7', 'airway-open', [4, 3, 3, 1, 4], '3'],
    ['d8', 'fm-tool-first', [0, 0, 1, 'abstained', 3], '0.5'],
  ] as const)(
    '%s: the dispute about %s is there, with a written end',
    async (id, task, steps, value) => {
      const state = await stateOf(id);
      expect(answers(state, task)).toEqual(steps);
      expect(state.settled.get(task)).toMatchObject({
        how: id === 'd7' ? 'leave-open' : 'decide',
        value,
        reason: expect.stringMatching(/Reviewer/u),
      });
    },
  );

  test('two critical failures are confirmed and one is rejected, each with its reason', async () => {
    expect((await stateOf('d2')).locked?.result.verdict.tasks).toEqual(['fm-tool-first']);
    expect((await stateOf('d7')).locked?.result.verdict.tasks).toEqual(['bvm-ventilation']);
    expect((await stateOf('d3')).gates.get('chest-access')?.confirmed).toBe(false);
    expect((await stateOf('d3')).locked?.result.verdict.tasks).toEqual([]);
  });

  test('the late events are there: a slip corrected, a late rating admitted, a void trial, a reviewer of the second day', async () => {
    const first = await stateOf('d1');
    const [slip] = [...(first.ratings.get('lift-transfer')?.values() ?? [])];
    expect(slip?.corrected).toMatchObject({ old: { step: 4 } });
    expect([...first.late.values()].map((l) => l.decision?.admitted)).toEqual([true]);
    expect((await stateOf('d5')).remarks.map((r) => r.text)).toEqual([
      expect.stringContaining('void'),
    ]);
    const texts = await app.store.events(made.get('d3')?.evaluation ?? '');
    const events = texts.map((t) => JSON.parse(t) as { type: string; at: string });
    const opened = events.find((e) => e.type === 'round-opened')?.at ?? '';
    const joined = events.filter((e) => e.type === 'seat-taken').at(-1)?.at ?? '';
    expect(Date.parse(joined) - Date.parse(opened)).toBeGreaterThan(23 * 3600_000);
  });

  test('the old helmet with new screws takes the place of the one with rusted ones, and is not gated', async () => {
    const [old, again] = [await stateOf('d2'), await stateOf('d2b')];
    expect(old.supersededBy?.evaluation).toBe(again.created?.evaluation);
    expect(again.created?.reevaluates).toBe(old.created?.evaluation);
    expect(again.settled.get('fm-tool-first')?.value).toBe('1');
    expect(again.locked?.result.verdict.tasks).toEqual([]);
  });

  test('everything says that it is invented: titles, makers, people, protocol, bundle; and the bundle verifies', async () => {
    for (const { evaluation } of made.values()) {
      const live = await app.logs.evaluation(evaluation);
      if (!live?.state.created) throw new Error('not made');
      const { title, specimen } = live.state.created;
      expect(title).toContain('(invented)');
      expect(specimen.maker).toContain('(invented)');
      const bundle = await exportBundle(app, live);
      if (!bundle.ok) throw new Error(bundle.rejection.message);
      expect(Buffer.from(bundle.value).toString()).toContain(String.raw`\"invented\":true`);
      expect(verifyBundle(bundle.value).findings).toEqual([]);
    }
    for (const person of app.names.values()) expect(person.name).toContain('(invented)');
  });
});
