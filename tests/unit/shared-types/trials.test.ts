import { describe, expect, test } from 'vitest';
import * as v from 'valibot';
import {
  boardEntry,
  isStanding,
  placeTrial,
  timeMeasure,
  trialEntry,
  trialFault,
  type PostedTrial,
  type TrialEntry,
  type TrialList,
} from '../../../shared-types/src/index.ts';
import { entryKey, failed, protocol, seatOf, trial } from '../../support/trials.ts';

const [ANN, BEN, MOD] = [seatOf('a'), seatOf('b'), seatOf('m')];
const AT = '2026-03-02T09:00:01.000Z';
const listOf = (...posted: PostedTrial[]): TrialList =>
  posted.reduce<TrialList>((list, p) => placeTrial(list, p, (s) => s === MOD), new Map());
const post = (seat: string, entry: PostedTrial['entry'], key = entryKey(seat)): PostedTrial => ({
  key,
  seat,
  entry,
  keptAt: AT,
});
const voiding = (seat: string, of: string, reason = 'The tool was dropped.'): PostedTrial =>
  post(seat, { kind: 'trial-void', task: 'fm-tool-first', trial: of, reason, at: AT });
const standing = (list: TrialList): string[] =>
  [...list.values()].filter(isStanding).map((t) => t.entry.seconds ?? 'untimed');

describe('the shape of a trial', () => {
  test.each([
    ['a name for the operator', { operator: 'Ann Lee' }],
    ['a number that is no decimal text', { seconds: '1e3' }],
    ['a trailing zero', { seconds: '60.50' }],
    ['four decimals', { seconds: '60.1234' }],
    ['more than a day', { seconds: '86401' }],
    ['a negative time', { seconds: '-1' }],
    [
      'splits out of order',
      {
        splits: [
          { label: '', seconds: '9' },
          { label: '', seconds: '8' },
        ],
      },
    ],
    ['a split after the end', { splits: [{ label: '', seconds: '61' }] }],
    [
      'a measure twice',
      { measures: ['1', '2'].map((x) => ({ measure: 'rpe', value: x, counts: null })) },
    ],
    [
      'more successes than attempts',
      { measures: [{ measure: 's_fm', value: '150', counts: { successes: 3, of: 2 } }] },
    ],
    ['minus zero', { measures: [{ measure: 'rpe', value: '-0', counts: null }] }],
    ['another condition', { condition: 'warm-up' as TrialEntry['condition'] }],
  ])('refuses %s', (_what, more) => {
    expect(v.is(trialEntry, { ...trial(), ...more })).toBe(false);
  });

  test('takes a whole one, and it is a board entry', () => {
    const whole = trial({
      splits: [{ label: 'second screw', seconds: '31.4' }],
      measures: [{ measure: 's_fm', value: '72.9166666667', counts: { successes: 35, of: 48 } }],
      note: 'One screw spun.',
    });
    expect(v.parse(boardEntry, whole)).toEqual(whole);
  });
});

describe('TR-1: a trial stands under the protocol and within its reject limits', () => {
  const measured = (measure: string, value: string) =>
    trial({ measures: [{ measure, value, counts: null }] });
  test.each([
    ['unknown task', trial({ task: 'tie-shoes' }), /no task/u],
    ['unknown state', trial({ state: 'on-fire' }), /no equipment state/u],
    ['unknown measure', measured('t_shoe', '1'), /no measure/u],
    ['above the reject limit', measured('rpe', '10.1'), /cannot be/u],
    ['below the reject limit', measured('rpe', '-0.1'), /cannot be/u],
    ['a broken count', measured('team_size', '2.5'), /whole number/u],
    [
      'counts that give another share',
      {
        ...trial(),
        measures: [{ measure: 's_fm', value: '70', counts: { successes: 35, of: 48 } }],
      },
      /not the share/u,
    ],
    ['a criterion where none is', trial({ task: 'wear-comfort' }), /no criterion/u],
    ['done after the cap', trial({ seconds: '180.1' }), /enter it as not done/u],
  ])('%s', (_what, entry, fault) => {
    expect(trialFault(entry, protocol)).toMatch(fault);
  });

  // Check C26: attached at 180.0 s is a failure, censored; off at 180.0 s counts as done.
  test.each([
    ['a value at its limit', measured('rpe', '10')],
    ['done at the cap to the tenth', trial({ seconds: '180' })],
    ['not done at the cap', failed()],
    ['not done and stopped after the cap', failed({ seconds: '184.2' })],
  ])('%s stands', (_what, entry) => {
    expect(trialFault(entry, protocol)).toBeUndefined();
  });

  test('a trial’s own time is the only measure of its task in seconds', () => {
    expect(timeMeasure(protocol, 'fm-tool-first')?.id).toBe('t_fm');
    expect(timeMeasure(protocol, 'aed-pads')).toBeUndefined();
    expect(timeMeasure(protocol, 'inline-hold')).toBeUndefined();
  });
});

describe('TR-2: nothing entered is lost', () => {
  const first = post(ANN, trial({ seconds: '61' }));

  test('a correction takes the place of its author’s own trial; the old value stays', () => {
    const better = post(ANN, trial({ seconds: '62', replaces: first.key }));
    const list = listOf(first, better);
    expect(standing(list)).toEqual(['62']);
    expect(list.get(first.key)).toMatchObject({ entry: { seconds: '61' }, replacedBy: better.key });
  });

  test('two corrections of one trial, made apart, leave one', () => {
    const list = listOf(
      first,
      post(ANN, trial({ seconds: '62', replaces: first.key })),
      post(ANN, trial({ seconds: '63', replaces: first.key })),
    );
    expect(standing(list)).toEqual(['63']);
    expect(list.size).toBe(3);
  });

  test('a correction by somebody else, or of nothing, is a trial of its own', () => {
    const list = listOf(
      first,
      post(BEN, trial({ seconds: '5', replaces: first.key })),
      post(ANN, trial({ seconds: '6', replaces: entryKey(ANN) })),
    );
    expect(standing(list)).toEqual(['61', '5', '6']);
  });

  test('its author and a moderator void a trial, with all its corrections; nobody else does', () => {
    const better = post(ANN, trial({ seconds: '62', replaces: first.key }));
    expect(standing(listOf(first, voiding(ANN, first.key)))).toEqual([]);
    expect(standing(listOf(first, voiding(BEN, first.key)))).toEqual(['61']);
    const late = post(ANN, trial({ seconds: '64', replaces: better.key }));
    const list = listOf(
      first,
      better,
      voiding(MOD, first.key),
      voiding(ANN, first.key, 'again'),
      late,
    );
    expect(standing(list)).toEqual([]);
    expect(list.get(better.key)?.voided).toMatchObject({
      by: MOD,
      reason: 'The tool was dropped.',
    });
    expect(list.get(late.key)?.voided).toMatchObject({ by: MOD });
  });

  test('what was read before does not change', () => {
    const before = listOf(first);
    placeTrial(before, voiding(ANN, first.key), () => false);
    expect(before.get(first.key)?.voided).toBeNull();
  });
});
