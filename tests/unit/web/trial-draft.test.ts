import { describe, expect, test } from 'vitest';
import type { SeatSlice, TrialSlice } from '../../../shared-types/src/index.ts';
import { keepSetup, readSetup, setupFor } from '../../../web/src/state/bench-setup.ts';
import {
  checkDraft,
  draftOf,
  emptyDraft,
  type TrialDraft,
  type TrialSetup,
} from '../../../web/src/state/trial-draft.ts';
import { trialRows } from '../../../web/src/state/trial-rows.ts';
import { durationText } from '../../../web/src/format/duration.ts';
import { entryKey, FACE_MASK, protocol, seatOf, trial } from '../../support/trials.ts';

const AT = '2026-03-02T09:00:00.000Z';
const setup: TrialSetup = {
  task: FACE_MASK,
  state: 'as-worn',
  condition: 'equipment',
  operator: 'K1',
};
const check = (draft: Partial<TrialDraft>, more: Partial<TrialSetup> = {}, splits: string[] = []) =>
  checkDraft(
    { ...emptyDraft(), outcome: 'done', criterion: 'no', ...draft },
    { ...setup, ...more },
    protocol,
    {
      splits: splits.map((seconds) => ({ label: '', seconds })),
      at: AT,
      replaces: null,
    },
  );

describe('a typed trial', () => {
  test.each([
    ['65,5', '65.5'],
    ['1:05.5', '65.5'],
    ['1 min 5 s', '65'],
    ['180', '180'],
    [' 44.25 ', '44.25'],
  ])('reads %s as %s seconds, which is the task’s own measure too', (typed, seconds) => {
    const { entry, faults } = check({ time: typed, confirmed: ['time'] });
    expect(faults).toEqual({});
    expect(entry).toMatchObject({
      seconds,
      done: true,
      measures: [{ measure: 't_fm', value: seconds, counts: null }],
    });
  });

  test('asks for what is missing, by field', () => {
    const found = check({ outcome: null, criterion: null });
    expect(Object.keys(found.faults).toSorted()).toEqual(['criterion', 'outcome']);
    expect(found.entry).toBeNull();
    expect(check({}, { operator: '' }).faults).toHaveProperty('operator');
    expect(check({ criterion: null }, { condition: 'reference' }).entry?.criterion).toBeNull();
    expect(check({ criterion: 'unknown' }).entry?.criterion).toBeNull();
  });

  test('beyond the cap is not done; not done has no limit but keeps its time', () => {
    expect(check({ time: '180,1', confirmed: ['time'] }).faults['time']).toMatch(/as not done/u);
    expect(check({ time: '3:10', outcome: 'not-done' }).entry).toMatchObject({
      done: false,
      seconds: '190',
      measures: [],
    });
    expect(check({ time: '>180' }).faults['time']).toMatch(/not done/u);
  });

  test('an unusual value waits for a confirmation', () => {
    const found = check({ time: '2' });
    expect(found.entry).toBeNull();
    expect(found.doubts['time']).toMatch(/below 5 s/u);
    expect(check({ time: '2', confirmed: ['time'] }).entry).not.toBeNull();
  });

  test('measures are read in their units, refused beyond their limits, and shares keep their counts', () => {
    const measures = { rpe: '2,5', s_fm: '35/48', theta_max: '' };
    expect(check({ time: '60', measures }).entry?.measures).toEqual([
      { measure: 't_fm', value: '60', counts: null },
      { measure: 's_fm', value: '72.9166666667', counts: { successes: 35, of: 48 } },
      { measure: 'rpe', value: '2.5', counts: null },
    ]);
    expect(check({ time: '60', measures: { rpe: '11' } }).faults['rpe']).toMatch(/cannot be/u);
    expect(check({ time: '60', measures: { rpe: 'x' } }).faults['rpe']).toMatch(/not understood/u);
  });

  test('splits after the end of a typed time are left out', () => {
    expect(check({ time: '60' }, {}, ['10', '61']).entry?.splits).toEqual([
      { label: '', seconds: '10' },
    ]);
  });

  test('a correction starts from what was entered', () => {
    const old = trial({
      seconds: '65.5',
      measures: [
        { measure: 't_fm', value: '65.5', counts: null },
        { measure: 's_fm', value: '72.9166666667', counts: { successes: 35, of: 48 } },
      ],
      note: 'One screw spun.',
    });
    const draft = draftOf(old, protocol);
    expect(draft).toMatchObject({ outcome: 'done', time: '65.5', measures: { s_fm: '35/48' } });
    const again = checkDraft(draft, setup, protocol, { splits: [], at: old.at, replaces: null });
    expect(again.entry).toEqual(old);
  });
});

describe('the list of trials', () => {
  const me = seatOf('a');
  const seats = [{ seat: seatOf('m'), role: 'moderator' }] as SeatSlice[];
  const slice = (seconds: string, key = entryKey(me)): TrialSlice => ({
    key,
    seat: me,
    entry: trial({ seconds }),
    keptAt: AT,
    replacedBy: null,
    voided: null,
  });

  test('shows at once what this device holds beyond the record, and does not count it twice', () => {
    const first = slice('61');
    const held = new Map([
      [first.key, first.entry],
      [entryKey(me), trial({ seconds: '62', replaces: first.key, at: '2026-03-02T09:01:00.000Z' })],
    ]);
    const rows = trialRows({ [FACE_MASK]: [first] }, held, seats);
    expect(rows.map((r) => [r.entry.seconds, r.recorded, r.replacedBy !== null])).toEqual([
      ['61', true, true],
      ['62', false, false],
    ]);
  });

  test('shows a void that waits, by its author or the moderator only', () => {
    const first = slice('61');
    const voiding = (who: string) =>
      new Map([
        [
          entryKey(who),
          { kind: 'trial-void', task: FACE_MASK, trial: first.key, reason: 'It fell.', at: AT },
        ] as const,
      ]);
    const voided = (who: string) =>
      trialRows({ [FACE_MASK]: [first] }, voiding(who), seats)[0]?.voided?.reason;
    expect(voided(me)).toBe('It fell.');
    expect(voided(seatOf('m'))).toBe('It fell.');
    expect(voided(seatOf('b'))).toBeUndefined();
  });
});

test.each([
  [0, '0.0 s'],
  [59.94, '59.9 s'],
  [59.95, '1:00.0'],
  [65.25, '1:05.3'],
  [3600, '60:00.0'],
])('%d seconds print as %s', (seconds, text) => {
  expect(durationText(seconds)).toBe(text);
});

test('what was being tried comes back after a reload, unless the protocol does not know it', () => {
  const kept = new Map<string, string>();
  const store = {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
  } as unknown as Storage;
  expect(readSetup('ev', protocol, store)).toEqual(setupFor(protocol, null));
  keepSetup('ev', setup, store);
  expect(readSetup('ev', protocol, store)).toEqual(setup);
  expect(readSetup('other', protocol, store).operator).toBe('');
  keepSetup('ev', { ...setup, task: 'gone' }, store);
  expect(readSetup('ev', protocol, store)).toEqual(setupFor(protocol, null));
  kept.set('bench:ev', '{broken');
  expect(readSetup('ev', protocol, store)).toEqual(setupFor(protocol, null));
});
