import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { SafetySlice } from '../../shared-types/src/index.ts';
import { sha256Hex } from '../../server/src/audit/sha256.ts';
import { holdOf, textHash } from '../../web/src/state/bench-guard.ts';
import { emptyIncident, localMoment, readIncident } from '../../web/src/state/incident-draft.ts';
import { KnownStops } from '../../web/src/state/known-stops.ts';
import { haltStored, Stopwatch } from '../../web/src/state/stopwatch.svelte.ts';
import { TrialWork } from '../../web/src/state/trial-work.svelte.ts';
import { protocol } from '../support/trials.ts';

const AT = '2026-03-02T09:00:00.000Z';
let now = 0;
beforeEach(() => {
  vi.useFakeTimers();
  localStorage.clear();
  now = 1_000_000;
  vi.setSystemTime(now);
});
afterEach(() => vi.useRealTimers());

describe('SD-2: a run that everyone stop ends', () => {
  test('is stopped where it stands, marked over a reload, and started anew it is not', () => {
    const watch = new Stopwatch('ev', localStorage, () => now);
    watch.start();
    now += 5000;
    watch.halt();
    now += 5000;
    watch.halt();
    watch.destroy();
    const again = new Stopwatch('ev', localStorage, () => now);
    expect([again.stopped, again.halted, again.elapsed]).toEqual([true, true, 5000]);
    again.clear();
    again.start();
    expect(again.halted).toBe(false);
    again.stop();
    expect(again.halted).toBe(false);
    again.destroy();
  });

  test('also when its screen is not shown; runs of other panels and runs that are over stay', () => {
    for (const id of ['here', 'over', 'elsewhere']) {
      const watch = new Stopwatch(id, localStorage, () => now);
      watch.start();
      now += 1000;
      if (id === 'over') watch.stop();
      watch.destroy();
    }
    haltStored(['here', 'over', 'never-run'], localStorage, () => now);
    const seen = ['here', 'over', 'elsewhere'].map((id) => {
      const watch = new Stopwatch(id, localStorage, () => now);
      const { running, halted, elapsed } = watch;
      watch.destroy();
      return { running, halted, elapsed };
    });
    expect(seen).toEqual([
      { running: false, halted: true, elapsed: 3000 },
      { running: false, halted: false, elapsed: 1000 },
      { running: true, halted: false, elapsed: 1000 },
    ]);
  });

  test('waits for a word: void, or entered by hand with a note that says what happened', () => {
    const work = new TrialWork('ev');
    work.open(protocol);
    work.change({ operator: 'K1', model: 'M1' });
    work.watch.start();
    vi.advanceTimersByTime(4200);
    work.halt();
    expect([work.halted, work.formOpen]).toEqual([true, false]);
    work.enterHalted();
    expect([work.halted, work.formOpen]).toEqual([false, true]);
    // Nothing is taken for done: the outcome is still to be said.
    expect(work.draft).toMatchObject({ outcome: null, time: '4.2' });
    expect(work.draft.note).toContain('everyone stop');
    work.destroy();
    const reloaded = new TrialWork('ev');
    expect(reloaded.halted).toBe(true);
    reloaded.destroy();

    const voided: unknown[] = [];
    const bench = { enterVoid: (...said: unknown[]) => voided.push(said) } as never;
    work.voiding = 'run';
    work.spoil(bench, 'Stopped by everyone stop: pain.');
    expect(voided).toEqual([
      [
        expect.objectContaining({ done: false, operator: 'K1', model: 'M1', seconds: '4.2' }),
        'Stopped by everyone stop: pain.',
      ],
    ]);
    expect(work.watch.stopped).toBe(false);
  });
});

test('SD-2: a stop is new to a device once, over a reload too, and the next one is new again', () => {
  const first = new KnownStops(localStorage);
  const secondTab = new KnownStops(localStorage);
  expect(secondTab.isNew('pn_1', 'earlier')).toBe(true);
  expect(first.isNew('pn_1', 'now')).toBe(true);
  expect(first.isNew('pn_1', 'now')).toBe(false);
  // Another tab has heard of it by itself: its own stopwatch must end as well.
  expect(secondTab.isNew('pn_1', 'now')).toBe(true);
  expect(new KnownStops(localStorage).isNew('pn_1', 'now')).toBe(false);
  expect(first.isNew('pn_2', 'now')).toBe(true);
});

test('SD-4: what holds the start of a trial back, the gravest first', () => {
  const safety: SafetySlice = {
    stops: [],
    briefing: { text: 'x', acknowledged: [{ seat: 'a', at: AT }], owed: ['b'] },
    models: [
      { model: 'M1', consent: { at: AT, seat: 'a' }, withdrawn: null, trials: null },
      {
        model: 'M2',
        consent: { at: AT, seat: 'a' },
        withdrawn: { at: AT, seat: 'b' },
        trials: null,
      },
    ],
    incidents: [],
  };
  const stop = { at: AT, seat: 'a', reason: null, calls: [], resumed: null };
  expect(holdOf(safety, false, 'a', undefined)).toBeNull();
  expect(holdOf(safety, false, 'a', 'M1')).toBeNull();
  expect(holdOf(safety, false, 'a', 'M2')).toBe('left');
  expect(holdOf(safety, false, 'a', 'M3')).toBe('no-consent');
  expect(holdOf(safety, false, 'b', 'M2')).toBe('briefing');
  expect(holdOf(safety, true, 'b', 'M2')).toBe('stopped');
  expect(holdOf({ ...safety, stops: [stop] }, false, 'a', undefined)).toBe('stopped');
  // Without word from the server nothing is held against anybody.
  expect(holdOf(undefined, false, 'b', 'M9')).toBeNull();
});

test('SD-3: the device names the very words it shows', () => {
  const { session } = protocol.cautions;
  expect(textHash(session)).toBe(sha256Hex(session));
  expect(textHash('Größe')).toBe(sha256Hex('Größe'));
});

test('SD-8: a note names the first part that is missing, and lies not ahead', () => {
  const at = new Date(2026, 2, 2, 9, 30);
  const draft = { ...emptyIncident(at), what: ' A bit slipped. ', done: 'Changed.' };
  expect(draft.when).toBe(localMoment(at));
  expect(readIncident(draft, at)).toEqual({ fault: 'direction' });
  expect(readIncident({ ...draft, what: ' ab ' }, at)).toEqual({ fault: 'what' });
  const whole = { ...draft, direction: 'informed' as const };
  const base = { what: 'A bit slipped.', done: 'Changed.', direction: 'informed' };
  const happenedAt = at.toISOString();
  expect(readIncident(whole, at)).toEqual({
    note: { ...base, happenedAt, task: null, trial: null },
  });
  expect(readIncident({ ...whole, about: 'trial:st/x' }, at)).toMatchObject({
    note: { task: null, trial: 'st/x' },
  });
  expect(readIncident({ ...whole, about: 'aed-pads' }, at)).toMatchObject({
    note: { task: 'aed-pads', trial: null },
  });
  const ahead = localMoment(new Date(at.getTime() + 3_600_000));
  expect(readIncident({ ...whole, when: ahead }, at)).toEqual({ fault: 'when' });
  expect(readIncident({ ...whole, when: '' }, at)).toEqual({ fault: 'when' });
  expect(readIncident({ ...whole, done: '  ' }, at)).toEqual({ fault: 'done' });
});
