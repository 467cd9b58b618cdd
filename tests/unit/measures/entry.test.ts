import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CATALOGUE, catalogueMeasureOf } from '../../../server/src/measures/catalogue.ts';
import { checkEntry, parseEntry } from '../../../shared-types/src/index.ts';

const measure = (id: string) => catalogueMeasureOf(id) ?? expect.fail(id);
const read = (typed: string, id: string) => parseEntry(typed, measure(id));
const value = (typed: string, id: string): number => {
  const parsed = read(typed, id);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.fault));
  return parsed.entry.value;
};

describe('an entry as typed', () => {
  test.each<[string, string, number]>([
    ['12.5', 't_fm', 12.5],
    ['12,5', 't_fm', 12.5],
    [',5', 't_fm', 0.5],
    [' 12,5 s ', 't_fm', 12.5],
    ['12 sec', 't_fm', 12],
    ['1:05', 't_fm', 65],
    ['1:05,5', 't_fm', 65.5],
    ['1:00:05', 't_obs', 3605],
    ['75:30', 't_obs', 4530],
    ['1 min 5 s', 't_fm', 65],
    ['2 min', 't_fm', 120],
    ['1:30', 't_clean_min', 1.5],
    ['90 s', 't_clean_min', 1.5],
    ['5,2 cm', 'cc_depth_mm', 52],
    ['2 in', 'cc_depth_mm', 50.8],
    ['0.5 L', 'vt_ml', 500],
    ['550ml', 'vt_ml', 550],
    ['1 650 g'.replace(' ', ''), 'mass_kg', 1.65],
    ['\u22125', 'ambient_C', -5],
    ['\uFF11\uFF12', 't_fm', 12],
    ['23 °C', 'ambient_C', 23],
    ['3.5 m/s²', 'a_peak', 3.5],
    ['110 /min', 'cc_rate', 110],
    ['12°', 'theta_max', 12],
    ['48 %', 'ccf', 48],
    ['yes', 'rolloff', 1],
    ['No', 'rolloff', 0],
    ['Ja', 'rolloff', 1],
    ['nein', 'rolloff', 0],
    ['-0', 'delta_fe_end', 0],
  ])('%s for %s is %f', (typed, id, expected) => {
    expect(value(typed, id)).toBeCloseTo(expected, 10);
    expect(Object.is(value(typed, id), -0)).toBe(false);
  });

  test.each<[string, string, RegExp, RegExp]>([
    ['', 't_fm', /nothing is typed/u, /void or not done/u],
    ['twelve', 't_fm', /"twelve" is not understood/u, /65\.5 or 1:05\.5, in s/u],
    ['1.234,5', 't_fm', /not understood/u, /in s/u],
    ['1e3', 't_fm', /no unit|not understood/u, /./u],
    ['1:75', 't_fm', /no time of a clock/u, /below 60/u],
    ['1:5', 't_fm', /no time of a clock/u, /two digits/u],
    ['1:75:00', 't_obs', /no time of a clock/u, /below 60/u],
    ['1:05', 'rom_fe', /is a time/u, /number in deg/u],
    ['12 kg', 't_fm', /"kg" is no unit/u, /s, sec/u],
    ['12 constructor', 't_fm', /no unit/u, /sec/u],
    ['35/30', 's_fm', /more than all/u, /35\/48/u],
    ['0/0', 's_fm', /share of none/u, /no data/u],
    ['maybe', 'rolloff', /neither yes nor no/u, /yes or no/u],
    ['1,200', 'vt_ml', /two numbers/u, /1\.2 or 1200/u],
    ['1.200', 't_secure', /two numbers/u, /1\.2 or 1200/u],
    ['12 13', 't_fm', /not understood/u, /in s/u],
  ])('"%s" for %s is refused with its place and remedy', (typed, id, fault, remedy) => {
    const parsed = read(typed, id);
    expect(parsed.ok).toBe(false);
    if (parsed.ok) return;
    expect(parsed.fault.place).toBe(measure(id).name);
    expect(parsed.fault.fault).toMatch(fault);
    expect(parsed.fault.remedy).toMatch(remedy);
  });

  test('three decimals are no doubt where a thousand could not be', () => {
    expect(value('1,234', 't_pulse')).toBe(1.234);
    expect(value('0.125', 'vt_ml')).toBe(0.125);
  });

  test('ME-2: a time that ran out is marked as censored, whatever way it is typed', () => {
    for (const typed of ['>180', '> 3:00', '180+', '180 s +', '3:00+']) {
      expect(read(typed, 't_fm'), typed).toEqual({
        ok: true,
        entry: { value: 180, censored: true, counts: undefined },
      });
    }
    expect(read('>5', 'rpe').ok).toBe(false);
  });

  test('a share keeps its counts', () => {
    expect(read('35 of 48', 's_fm')).toEqual({
      ok: true,
      entry: { value: (100 * 35) / 48, censored: false, counts: { successes: 35, of: 48 } },
    });
  });

  test('whatever is typed is read or refused, never thrown or NaN', () => {
    const typed = fc.oneof(
      fc.string({
        unit: fc.constantFrom(...'12.,:-+>/% smin\u2212\uFF11\u00BD\u00E9\u0000'),
        maxLength: 12,
      }),
      fc.string({ maxLength: 20 }),
      fc.stringMatching(/^[0-9:.,+>/ smin%-]{0,12}$/u),
    );
    fc.assert(
      fc.property(typed, fc.constantFrom(...CATALOGUE), (text, m) => {
        const parsed = parseEntry(text, m);
        if (parsed.ok) expect(parsed.entry.value).not.toBeNaN();
        else expect(parsed.fault.remedy).not.toBe('');
      }),
      { numRuns: 1000, seed: 50 },
    );
  });

  test('a number is read back as it is written, with point and with comma', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 17_999 }), (tenths) => {
        const text = (tenths / 100).toFixed(2);
        expect(value(text, 't_fm')).toBe(tenths / 100);
        expect(value(text.replace('.', ','), 't_fm')).toBe(tenths / 100);
      }),
      { seed: 50 },
    );
  });
});

describe('an entry against its limits', () => {
  const check = (typed: string, id: string) => {
    const parsed = read(typed, id);
    if (!parsed.ok) throw new Error(parsed.fault.fault);
    return checkEntry(measure(id), parsed.entry);
  };

  test('a value equal to a limit is within it', () => {
    expect(check('180', 't_fm').verdict).toBe('confirm');
    expect(check('180.1', 't_fm').verdict).toBe('refuse');
    expect(check('150', 't_fm').verdict).toBe('accept');
    expect(check('150.1', 't_fm').verdict).toBe('confirm');
    expect(check('5', 't_fm').verdict).toBe('accept');
    expect(check('4.9', 't_fm').verdict).toBe('confirm');
    expect(check('-90', 'delta_fe_end').verdict).toBe('confirm');
    expect(check('-90.1', 'delta_fe_end').verdict).toBe('refuse');
  });

  test('a refusal says where, which limit and what to do', () => {
    expect(check('200', 't_fm').faults).toEqual([
      {
        place: measure('t_fm').name,
        fault: '200 s is above 180 s, which cannot be',
        remedy: 'Look at the unit (s) and type it again, or mark the trial void with the reason.',
      },
    ]);
    expect(check('7', 'comfort_nrs').verdict).toBe('accept');
    expect(check('2.5', 'team_size').faults[0]?.fault).toMatch(/no whole number/u);
    expect(checkEntry(measure('t_fm'), { value: NaN, censored: false, counts: undefined })).toEqual(
      { verdict: 'refuse', faults: [expect.objectContaining({ fault: 'not a number' })] },
    );
  });

  test('a share without counts asks for a confirmation', () => {
    expect(check('72.9', 's_fm')).toMatchObject({ verdict: 'confirm' });
    expect(check('35/48', 's_fm')).toEqual({ verdict: 'accept', faults: [] });
  });

  test('every measure accepts the middle of its limits, or asks for counts only', () => {
    for (const m of CATALOGUE) {
      const middle = Math.round(
        ((m.warnMin ?? m.rejectMin ?? 0) + (m.warnMax ?? m.rejectMax ?? 0)) / 2,
      );
      const checked = checkEntry(m, { value: middle, censored: false, counts: undefined });
      expect(checked.verdict, m.id).toBe(m.unit === '%' ? 'confirm' : 'accept');
    }
  });
});
