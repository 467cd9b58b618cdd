import { decimal12, type Protocol, type Result } from '@unhindered/shared-types';
import { composite, type Composite } from '../consensus/composite.ts';
import {
  endorsedComposite,
  type EndorsedComposite,
  type EndorsementCount,
} from '../consensus/endorsed-composite.ts';
import { figureText } from './figure-text.ts';
import type { EvaluationState } from './state.ts';
import { compositeSections } from './table-figures.ts';

/** Counted reviewers without a declared tie. */
const untied = ({ seats }: EvaluationState, counted: readonly string[]): string[] =>
  counted.filter((seat) => seats.get(seat)?.excluded.length === 0);

/**
 * EN-3: a statement counts towards the composite when its reviewer has a counted rating and no declared tie that takes
 * them out of any task; the last one of each stands.
 */
export const countedStatements = (
  state: EvaluationState,
  counted: readonly string[],
): EndorsementCount => {
  const said = untied(state, counted).flatMap((seat) => state.endorsements.get(seat) ?? []);
  const content = said.filter((s) => s.content).length;
  return { content, notContent: said.length - content };
};

/** Counted reviewers whose statement would count and who have made none. */
export const silentReviewers = (state: EvaluationState, counted: readonly string[]): number =>
  untied(state, counted).filter((seat) => !state.endorsements.has(seat)).length;

const endorsementText = (
  without: Composite,
  e: EndorsedComposite,
  count: EndorsementCount,
): Result['composite']['endorsement'] => ({
  value: figureText(e.endorsement),
  weight: decimal12(e.share),
  ...count,
  without: figureText(without.value),
});

/**
 * The composite of the settled values as the record has it; EN-4: the statements are in it only where the protocol
 * gives them a weight, and then the composite without them stands beside it.
 */
export const lockedComposite = (
  state: EvaluationState,
  protocol: Protocol,
  counted: readonly string[],
  settled: ReadonlyMap<string, number | undefined>,
): Result['composite'] => {
  const sections = compositeSections(protocol);
  const c = composite(sections, (task) => settled.get(task));
  const rule = protocol.endorsement;
  const count = countedStatements(state, counted);
  const endorsed = rule && endorsedComposite(c, sections, rule, count);
  return {
    value: figureText(endorsed?.value ?? c.value),
    ...(endorsed ? { endorsement: endorsementText(c, endorsed, count) } : {}),
    weightUsed: decimal12(c.weightUsed),
    provisional: c.provisional,
    sections: c.sections.map((s, i) => ({
      section: s.id,
      value: figureText(s.value),
      weight: decimal12(endorsed?.sections[i] ?? s.weight),
      rated: s.rated,
      of: s.of,
    })),
  };
};
