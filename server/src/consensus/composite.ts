import { figure, noFigure, type Figure } from './figure.ts';

/** Sections with their weights, and the tasks in them; task weights count within the section. */
export interface CompositeSection {
  id: string;
  weight: number;
  tasks: readonly { id: string; weight: number }[];
}

export interface Composite {
  value: Figure;
  /** Share of the section weights that rests on a rated task, 0..1. */
  weightUsed: number;
  /** Below 60 % of the weight. */
  provisional: boolean;
  sections: {
    id: string;
    value: Figure;
    /** Share of this section in the composite, after renormalising. */
    weight: number;
    rated: number;
    of: number;
  }[];
}

/** Least share of the weight for a composite that is not provisional (our rule). */
export const PROVISIONAL_BELOW = 0.6;

/**
 * CO-2: C = sum(w m) / sum(w) over sections with at least one rated task, m the weighted mean of the section's
 * rated tasks. A task without a value never counts as 0: its section is averaged over the others, and a section
 * without any drops out. Unrounded.
 */
export const composite = (
  sections: readonly CompositeSection[],
  valueOf: (task: string) => number | undefined,
): Composite => {
  const rows = sections.map((s) => {
    let [rated, weight, total] = [0, 0, 0];
    for (const t of s.tasks) {
      const value = valueOf(t.id);
      if (value === undefined || t.weight === 0) continue;
      rated += 1;
      weight += t.weight;
      total += t.weight * value;
    }
    return { section: s, mean: weight > 0 ? total / weight : undefined, rated };
  });
  const counted = rows.filter((r) => r.mean !== undefined);
  const all = sections.reduce((sum, s) => sum + s.weight, 0);
  const used = counted.reduce((sum, r) => sum + r.section.weight, 0);
  const total = counted.reduce((sum, r) => sum + r.section.weight * (r.mean ?? 0), 0);
  const weightUsed = all > 0 ? used / all : 0;
  return {
    value: used > 0 ? figure(total / used) : noFigure('no rated task carries weight'),
    weightUsed,
    provisional: weightUsed < PROVISIONAL_BELOW,
    sections: rows.map((r) => ({
      id: r.section.id,
      value: r.mean === undefined ? noFigure('no rated task') : figure(r.mean),
      weight: r.mean === undefined || used === 0 ? 0 : r.section.weight / used,
      rated: r.rated,
      of: r.section.tasks.length,
    })),
  };
};
