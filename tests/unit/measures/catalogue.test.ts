import { describe, expect, test } from 'vitest';
import { CATALOGUE, catalogueMeasureOf } from '../../../server/src/measures/catalogue.ts';
import { shownThreshold } from '../../../server/src/measures/threshold.ts';
import defaultProtocol from '../../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { criterionMeasures, protocolTasks } from '../../../shared-types/src/index.ts';
import { DEFAULT_CRITERIA, protocol } from '../../support/trials.ts';

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
  const tasks = protocolTasks(protocol);

  test('stand only for tasks that can gate, ask for measures of the task, and leave out what nobody measures', () => {
    expect([...DEFAULT_CRITERIA.keys()]).toEqual([
      'inline-hold',
      'pulse-check',
      'chest-access',
      'cpr-compressions',
      'breathing-assess',
      'fm-tool-first',
      'fm-cut-backup',
      'helmet-removal',
      'torso-removal',
      'combined-removal',
      'bvm-ventilation',
      'secure-neutral',
    ]);
    for (const [id, criterion] of DEFAULT_CRITERIA) {
      const task = tasks.find((t) => t.id === id) ?? expect.fail(id);
      expect(task.critical, id).not.toBeNull();
      expect(task.measures, id).toEqual(expect.arrayContaining(criterionMeasures(criterion)));
    }
  });

  test('no text of it shows a tag of our own notes', () => {
    expect(JSON.stringify(defaultProtocol)).not.toMatch(/\[[A-Z]\]/u);
  });
});
