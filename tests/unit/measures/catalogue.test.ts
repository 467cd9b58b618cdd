import { describe, expect, test } from 'vitest';
import { CATALOGUE, catalogueMeasureOf } from '../../../server/src/measures/catalogue.ts';
import { DEFAULT_CRITERIA } from '../../../server/src/measures/default-criteria.ts';
import { shownThreshold } from '../../../server/src/measures/threshold.ts';
import type { TrialCriterion } from '../../../server/src/measures/trial-criterion.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };

describe('the catalogue of measures', () => {
  test('holds 61 measures, each once, with limits that contain one another', () => {
    expect(new Set(CATALOGUE.map((m) => m.id)).size).toBe(61);
    expect(CATALOGUE).toHaveLength(61);
    for (const m of CATALOGUE) {
      const ends = [m.rejectMin, m.warnMin, m.warnMax, m.rejectMax].filter((x) => x !== null);
      expect(
        ends.toSorted((a, b) => a - b),
        m.id,
      ).toEqual(ends);
    }
  });

  test('the default protocol carries the same units and limits', () => {
    for (const { name, unit, decimals, rejectMin, rejectMax, warnMin, warnMax, better, id } of [
      ...defaultProtocol.measures,
    ]) {
      const limits = { name, unit, decimals, rejectMin, rejectMax, warnMin, warnMax, better };
      expect(catalogueMeasureOf(id), id).toMatchObject(limits);
    }
    expect(defaultProtocol.measures).toHaveLength(61);
    expect(catalogueMeasureOf('made-up')).toBeUndefined();
  });

  test('ME-1: what is from memory, practice or the house is never shown as published', () => {
    const of = (id: string) => shownThreshold(catalogueMeasureOf(id) ?? expect.fail(id));
    expect(of('ccf')).toMatchObject({ published: false, label: expect.stringMatching(/memory/u) });
    expect(of('vt_ml')?.label).toMatch(/^from memory, not checked/u);
    expect(of('t_device')).toMatchObject({ published: false, label: 'common practice, no source' });
    expect(of('theta_max')).toMatchObject({ published: false, label: 'house value' });
    expect(of('cc_rate')).toEqual({
      published: true,
      text: '100 to 120',
      label: 'published: AHA BLS table',
    });
    expect(of('interface_pressure_mmHg')?.label).toMatch(/only as quoted elsewhere/u);
    expect(of('t_collar')).toBeUndefined();
    const memory = CATALOGUE.filter((m) => m.basis === 'memory').map((m) => m.id);
    expect(memory).toEqual(['ccf', 'preshock_pause', 'vt_ml', 'vent_rate']);
    expect(
      shownThreshold({ threshold: '5 or less', basis: null, source: 'somebody' }),
      'no basis is no publication',
    ).toEqual({ published: false, text: '5 or less', label: 'house value' });
  });
});

describe('the trial criteria of the default protocol', () => {
  const tasks = defaultProtocol.sections.flatMap((s) => s.tasks);
  const measuresOf = (c: TrialCriterion): string[] =>
    c.kind === 'any' ? c.of.flatMap(measuresOf) : 'measure' in c ? [c.measure] : [];

  test('stand for exactly the tasks that can gate, and ask for measures of the task', () => {
    const gating = tasks.filter((t) => t.critical !== null);
    expect(Object.keys(DEFAULT_CRITERIA).toSorted()).toEqual(gating.map((t) => t.id).toSorted());
    for (const t of gating) {
      const criterion = DEFAULT_CRITERIA[t.id] ?? expect.fail(t.id);
      const asked = criterion.kind === 'pooled-share' ? [criterion.measure] : measuresOf(criterion);
      expect(t.measures, t.id).toEqual(expect.arrayContaining(asked));
    }
  });
});
