import { brennanPrediger } from '../../server/src/consensus/brennan-prediger.ts';
import type { Figure } from '../../server/src/consensus/figure.ts';
import { fleiss } from '../../server/src/consensus/fleiss.ts';
import { gwet } from '../../server/src/consensus/gwet.ts';
import { icc, type IccForm } from '../../server/src/consensus/icc.ts';
import { kendallW } from '../../server/src/consensus/kendall-w.ts';
import { krippendorffAlpha } from '../../server/src/consensus/krippendorff-alpha.ts';
import { pairAgreement } from '../../server/src/consensus/pair-agreement.ts';
import { scalePoints } from '../../server/src/consensus/table.ts';
import type { ScaledCells } from './rating-tables.ts';

const FORMS: readonly IccForm[] = ['1,1', '2,1', '3,1', '1,k', '2,k', '3,k'];

const part = <T>(f: Figure<T>, pick: (value: T) => number): Figure =>
  f.ok ? { ok: true, value: pick(f.value) } : f;

/** Every agreement coefficient of a table by name, but for the ratio metric, which a shift changes. */
export const allCoefficients = ({ scale, cells }: ScaledCells): Record<string, Figure> => {
  const points = scalePoints(scale);
  const table = icc(cells);
  const found: Record<string, Figure> = {
    'alpha nominal': krippendorffAlpha(cells, 'nominal'),
    'alpha ordinal': krippendorffAlpha(cells, 'ordinal'),
    'alpha interval': krippendorffAlpha(cells, 'interval'),
    AC1: part(gwet(cells, points, 'identity'), (g) => g.estimate),
    AC2: part(gwet(cells, points, 'quadratic'), (g) => g.estimate),
    Fleiss: part(fleiss(cells, points, 'identity'), (f) => f.estimate),
    BP: part(brennanPrediger(cells, points, 'linear'), (b) => b.estimate),
    pooled: part(pairAgreement(cells, 1), (p) => p.pooled),
    'mean over tasks': part(pairAgreement(cells, 1), (p) => p.meanOverTasks),
    W: part(kendallW(cells), (k) => k.w),
  };
  for (const form of FORMS) {
    found[`ICC ${form}`] = table.ok ? part(table.value.forms[form], (f) => f.estimate) : table;
  }
  return found;
};

/** What differs between two sets of coefficients, beyond `tolerance`; empty when nothing does. */
export const differences = (
  a: Record<string, Figure>,
  b: Record<string, Figure>,
  tolerance = 1e-9,
): string[] =>
  Object.entries(a).flatMap(([name, x]) => {
    const y = b[name];
    if (!x.ok && y && !y.ok) return [];
    if (x.ok && y?.ok) {
      const scale = Math.max(1, Math.abs(x.value));
      if (Math.abs(x.value - y.value) <= tolerance * scale) return [];
    }
    return [`${name}: ${JSON.stringify(x)} and ${JSON.stringify(y)}`];
  });
