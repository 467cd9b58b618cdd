import { describe, expect, test } from 'vitest';
import { appropriateness, thirdsDisagreement } from '../../server/src/consensus/appropriateness.ts';
import { composite } from '../../server/src/consensus/composite.ts';
import { withinCertificateLimit } from '../../server/src/measures/certificate.ts';
import { DEFAULT_CRITERIA, protocol } from '../support/trials.ts';
import { protocolTasks } from '../../shared-types/src/index.ts';
import { gateProposal } from '../../server/src/measures/gate-proposal.ts';
import { piecesForCorrelation } from '../../server/src/measures/study-size.ts';
import { williamsSquare } from '../../server/src/measures/williams.ts';
import defaultProtocol from '../../server/src/protocol/default-protocol.json' with { type: 'json' };
import { printed } from '../support/check-list.ts';
import { must } from '../support/expect-figure.ts';

/** Values for checking panels, designs and the default protocol, by our own ids; each title names the source. */
const nine = { min: 1, max: 9, better: 'higher' } as const;
const votes = (...counts: [vote: number, times: number][]): number[] =>
  counts.flatMap(([vote, times]) => Array.from({ length: times }, () => vote));

describe('trial criteria', () => {
  const outcome = (task: string, value: number, censored = false): string => {
    const measure = task === 'pulse-check' ? 't_pulse' : 't_fm';
    const trial = {
      id: 't',
      operator: 'a',
      condition: 'equipment' as const,
      criterionSeen: null,
      values: new Map([[measure, { value, censored, counts: undefined }]]),
    };
    const criterion = DEFAULT_CRITERIA.get(task) ?? expect.fail(task);
    return gateProposal(criterion, [trial, trial], defaultProtocol.gate).outcome;
  };
  test('C03 a pulse decision at 10.0 s is in time, at 10.1 s it is not (AHA adult BLS)', () => {
    expect([outcome('pulse-check', 10), outcome('pulse-check', 10.1)]).toEqual(['not-met', 'met']);
  });
  test('C26 face-mask attached at 180.0 s; off at 179.9 s; off at 180.0 s (cap: Swartz 2010, edge: house rule)', () => {
    expect([
      outcome('fm-tool-first', 180, true),
      outcome('fm-tool-first', 179.9),
      outcome('fm-tool-first', 180),
    ]).toEqual(['met', 'not-met', 'not-met']);
  });
  test('C30 side vision 105 and 104 degrees; elongation 30.0 and 30.1 mm (16 CFR 1203.12)', () => {
    const within = (measure: string, value: number): boolean =>
      must(withinCertificateLimit(measure, value)).within;
    expect([within('field_of_view_deg', 105), within('field_of_view_deg', 104)]).toEqual([
      true,
      false,
    ]);
    expect([
      within('retention_elongation_mm', 30),
      within('retention_elongation_mm', 30.1),
      within('rolloff', 1),
    ]).toEqual([true, false, false]);
    expect(withinCertificateLimit('t_fm', 1).ok).toBe(false);
  });
});

describe('panels', () => {
  test('C22 IPRAS of fifteen votes on nine points (BMJ Open 2012;2:e001431; base from memory)', () => {
    const found = must(
      appropriateness(votes([5, 1], [6, 1], [7, 5], [8, 5], [9, 3]), nine, {
        range: 2.35,
        factor: 1.5,
      }),
    );
    printed(found.p30, 7, 9, '30th percentile');
    printed(found.p70, 8, 9, '70th percentile');
    printed(found.centre, 7.5, 9, 'centre');
    printed(found.asymmetry, 2.5, 9, 'asymmetry');
    printed(found.ipras, 6.1, 9, 'IPRAS');
    expect(found.disagreement).toBe(false);
  });
  test('C23 disagreement of nine and of twelve: three and four in each end third (BMC MIDM 2012 table)', () => {
    const split = (n: number, each: number) =>
      must(thirdsDisagreement(votes([2, each], [5, n - 2 * each], [8, each]), nine));
    expect([split(9, 3), split(9, 2), split(12, 4), split(12, 3)]).toEqual([
      true,
      false,
      true,
      false,
    ]);
  });
});

describe('designs', () => {
  test.each([
    [2, 55],
    [5, 29],
  ])('C24 Bonett 2002 as a calculator shows it: r 0.8, width 0.2, %i raters', (k, pieces) => {
    expect(piecesForCorrelation(0.8, k, 0.2)).toBe(pieces);
  });
  test('C25 Williams squares of four and three conditions (computed)', () => {
    const neighbours = (k: number): Map<string, number> => {
      const counts = new Map<string, number>();
      for (const row of williamsSquare(k)) {
        row.slice(1).forEach((c, i) => {
          const pair = `${String(row[i])} ${String(c)}`;
          counts.set(pair, (counts.get(pair) ?? 0) + 1);
        });
      }
      return counts;
    };
    expect(williamsSquare(4)).toHaveLength(4);
    expect([...neighbours(4).values()]).toEqual(Array.from({ length: 12 }, () => 1));
    expect(williamsSquare(3)).toHaveLength(6);
    expect([...neighbours(3).values()]).toEqual(Array.from({ length: 6 }, () => 2));
  });
});

describe('the default protocol', () => {
  // Ease of each section, invented for demonstration: 5 is no hindrance; a gap is a section not rated.
  const gap = Number.NaN;
  const pieces: [string, number[], number][] = [
    ['d1', [4.3, 4.0, 4.6, 4.0, 4.2, 3.5, 3.7, 3.6, 4.0, 4.6], 81.1],
    ['d2', [3.9, 3.6, 4.4, 3.4, 1.3, 2.9, 2.8, 3.4, 3.3, 1.2], 64.0],
    ['d3', [3.8, 3.5, 2.3, 4.4, gap, 2.4, 3.9, 2.9, 3.6, 3.9], 65.3],
    ['d4', [3.7, 3.6, 3.9, 4.4, gap, 4.2, 3.9, 3.3, 4.0, 3.4], 78.2],
    ['d5', [3.6, 3.7, 4.7, 3.7, 3.6, 3.4, 3.3, 3.3, 3.7, 3.2], 75.2],
    ['d6', [4.2, 4.1, 3.6, 4.7, gap, 4.0, 4.4, 4.0, 4.3, 4.1], 82.3],
    ['d7', [3.2, 3.1, 4.2, 1.8, 2.2, 2.6, 1.1, 2.4, 3.0, 2.9], 53.4],
    ['d8', [3.9, 3.6, 3.8, 4.1, 4.4, 3.9, 3.9, 3.6, 4.1, 3.8], 78.5],
  ];
  test.each(pieces)('C31 composite of the invented piece %s (computed)', (_, ease, index) => {
    const sections = defaultProtocol.sections.map((s) => ({
      id: s.id,
      weight: s.weight,
      tasks: [{ id: s.id, weight: 1 }],
    }));
    const hindrance = new Map(sections.map((s, i) => [s.id, 5 - (ease[i] ?? gap)]));
    const value = must(
      composite(sections, (id) => {
        const steps = hindrance.get(id) ?? gap;
        return Number.isNaN(steps) ? undefined : steps;
      }).value,
    );
    printed(100 * (1 - value / 5), index, 1, 'as an index of ease');
  });
  test('C32 thirty tasks, ten sections, weights of 100, nineteen that can gate, six anchors each', () => {
    const tasks = protocolTasks(protocol);
    expect(tasks).toHaveLength(30);
    expect(defaultProtocol.sections).toHaveLength(10);
    expect(defaultProtocol.sections.reduce((sum, s) => sum + s.weight, 0)).toBe(100);
    expect(tasks.filter((t) => t.critical !== null)).toHaveLength(19);
    expect(tasks.every((t) => t.anchors.length === 6)).toBe(true);
  });
});
