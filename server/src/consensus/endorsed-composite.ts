import type { Composite } from './composite.ts';
import { figure, noFigure, type Figure } from './figure.ts';

/** The points of the scale that the two answers stand for, and the weight beside those of the sections. */
export interface EndorsementWeight {
  weight: number;
  content: number;
  notContent: number;
}

/** Counted statements by answer. */
export interface EndorsementCount {
  content: number;
  notContent: number;
}

export interface EndorsedComposite {
  /** The composite with the statements in it. */
  value: Figure;
  /** Mean of the points that the statements stand for. */
  endorsement: Figure;
  /** Share of the statements in `value`, 0..1. */
  share: number;
  /** Share of each section in `value`, in their order. */
  sections: number[];
}

/**
 * CO-6: where the protocol gives the statements a weight w, they enter the composite as one more section:
 * C' = (sum(w_s m_s) + w e) / (sum(w_s) + w), over sections with a rated task, e the mean of the points that the
 * statements stand for. Without a statement they drop out, as a section does that nobody rated; they never make a
 * composite where no task was rated, nor one less provisional. Weight 0 leaves the composite as it is.
 */
export const endorsedComposite = (
  c: Composite,
  sections: readonly { weight: number }[],
  rule: EndorsementWeight,
  count: EndorsementCount,
): EndorsedComposite => {
  const stated = count.content + count.notContent;
  const points = count.content * rule.content + count.notContent * rule.notContent;
  const endorsement =
    stated > 0 ? figure(points / stated) : noFigure('no counted reviewer has said');
  const rated = c.sections.map((s, i) => (s.value.ok ? (sections[i]?.weight ?? 0) : 0));
  const used = rated.reduce((sum, w) => sum + w, 0);
  if (!c.value.ok || !endorsement.ok || rule.weight === 0) {
    return { value: c.value, endorsement, share: 0, sections: c.sections.map((s) => s.weight) };
  }
  const whole = used + rule.weight;
  const total = c.sections.reduce(
    (sum, s, i) => (s.value.ok ? sum + (rated[i] ?? 0) * s.value.value : sum),
    0,
  );
  return {
    value: figure((total + rule.weight * endorsement.value) / whole),
    endorsement,
    share: rule.weight / whole,
    sections: rated.map((w) => w / whole),
  };
};
