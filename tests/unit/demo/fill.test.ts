import { beforeAll, describe, expect, test } from 'vitest';
import type { DemoFilled } from '../../../server/src/demo/fill.ts';
import { taskEvidence } from '../../../server/src/evaluation/evidence.ts';
import type { EvaluationState } from '../../../server/src/evaluation/state.ts';
import { protocolOf, type App } from '../../../server/src/flows/app.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { demoWorkspace, type DemoWorkspace } from '../../support/demo-workspace.ts';
import type { EvidenceSlice } from '../../../shared-types/src/index.ts';

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

let workspace: DemoWorkspace;
let app: App;
let made: DemoFilled;

const stateOf = async (id: string): Promise<EvaluationState> => {
  const live = await app.logs.evaluation(made.get(id)?.evaluation ?? '');
  if (!live) throw new Error(`${id} was not made`);
  return live.state;
};
/** What the trials of a piece say of a task. */
const evidenceOf = async (id: string, task: string): Promise<EvidenceSlice> => {
  const state = await stateOf(id);
  const found = taskEvidence(state.trials, protocolOf(app, state).protocol, task);
  if (!found) throw new Error(`${id} has no trial of ${task}`);
  return found;
};
/** Steps of reviewers A, B, C … for a task; what is off the scale by its word. */
const answers = ({ seats, ratings }: EvaluationState, task: string): unknown[] =>
  [...seats.values()]
    .filter((s) => s.role === 'reviewer')
    .map((s) => ratings.get(task)?.get(s.seat)?.rating)
    .map((r) => r?.step ?? r?.answer);

beforeAll(async () => {
  workspace = await demoWorkspace();
  ({ app, made } = workspace);
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

  test('every piece was tried on the same athlete without it, by the same three people on the same day', async () => {
    for (const id of made.keys()) {
      const record = buildRecord(await workspace.bundle(id));
      const answers = record.checklist.filter((i) => ['R16', 'R19', 'R21'].includes(i.id));
      expect(
        answers.map((i) => i.status),
        id,
      ).not.toContain('absent');
      expect(answers[1], id).toMatchObject({ status: 'present' });
      for (const task of ['pulse-check', 'lift-transfer']) {
        const { comparison } = await evidenceOf(id, task);
        expect(comparison, `${id} ${task}`).toMatchObject({
          kind: 'paired',
          n: { equipment: 3 },
          operatorRatio: { value: expect.any(Number) as number },
        });
      }
    }
  });

  test.each(['d1', 'd2', 'd2b', 'd5', 'd7', 'd7b', 'd8'])(
    '%s has a mask: its record draws the time to access',
    async (id) => {
      const { sections } = buildRecord(await workspace.bundle(id));
      const curves = sections.flatMap((s) => s.blocks).filter((b) => b.kind === 'curve');
      expect(curves).toHaveLength(1);
    },
  );

  test('the attempts that the gates speak of are on record', async () => {
    // Two of three still attached at 180 s; 14 of 48 breaths; one of three past the cap.
    expect(await evidenceOf('d2', 'fm-tool-first')).toMatchObject({
      valid: 9,
      done: 3,
      criterion: { status: 'met' },
    });
    const breaths = (await evidenceOf('d7', 'bvm-ventilation')).criterion;
    expect(breaths).toMatchObject({ status: 'met', met: 34, judged: 48 });
    expect(await evidenceOf('d3', 'chest-access')).toMatchObject({
      valid: 3,
      done: 2,
      criterion: { status: 'not-met', met: 1 },
    });
    for (const [id, task] of [
      ['d2', 'fm-tool-first'],
      ['d7', 'bvm-ventilation'],
    ] as const) {
      expect((await stateOf(id)).gates.get(task)).toMatchObject({
        confirmed: true,
        backedByTrials: true,
      });
    }
    expect((await evidenceOf('d2b', 'fm-tool-first')).criterion?.status).toBe('not-met');
  });

  test('one trial is void because the tool was dropped, and was done again', async () => {
    const { voided, otherState } = (await evidenceOf('d5', 'fm-cut-backup')).beside;
    expect({ voided, otherState }).toEqual({ voided: 1, otherState: 0 });
    expect((await evidenceOf('d5', 'fm-cut-backup')).valid).toBe(9);
    const said = [...(await stateOf('d5')).trials.values()].flatMap((t) => t.voided?.reason ?? []);
    expect(said).toEqual(['The tool was dropped.']);
  });

  test('the reviewer far away says so, and cannot feel some tasks', async () => {
    const { rounds, seats, ratings } = await stateOf('d5');
    const far = [...seats.values()].find((s) => s.letter === 'C')?.seat ?? '';
    expect(rounds[0]?.observed.get(far)).toBe('live-elsewhere');
    const unseen = [...ratings.values()].filter(
      (t) => t.get(far)?.rating.answer === 'not-observed',
    );
    expect(unseen.length).toBeGreaterThanOrEqual(2);
    expect(unseen.length).toBeLessThanOrEqual(4);
  });

  test('everything says that it is invented: titles, makers, people, protocol, bundle; and the bundle verifies', async () => {
    for (const id of made.keys()) {
      const { created } = await stateOf(id);
      expect(created?.title).toContain('(invented)');
      expect(created?.specimen.maker).toContain('(invented)');
      const bundle = await workspace.bundle(id);
      expect(Buffer.from(bundle).toString()).toContain(String.raw`\"invented\":true`);
      expect(verifyBundle(bundle).findings).toEqual([]);
    }
    for (const person of app.names.values()) expect(person.name).toContain('(invented)');
  });
});
