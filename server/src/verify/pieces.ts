import type { EvaluationEvent, Registered } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';

/** The registered pieces of an evaluation, each with the canonical text of its description as it stands. */
export interface PieceReplay {
  pieces: Map<string, string>;
}

export const piecesOf = (registered: Registered | undefined): Map<string, string> =>
  new Map(
    registered
      ? [registered, ...registered.parts].map((p) => [p.specimen, canonicalText(p.details)])
      : [],
  );

/** SP-8: a correction is of a piece of this evaluation, and starts from what stood there. */
export const takeCorrection = (
  { pieces }: PieceReplay,
  { specimen, old, new: now }: Extract<EvaluationEvent, { type: 'specimen-corrected' }>['data'],
): string | undefined => {
  const stands = pieces.get(specimen);
  if (stands === undefined) return 'the specimen is no piece of this evaluation';
  if (stands !== canonicalText(old)) return 'the correction does not start from what stood there';
  pieces.set(specimen, canonicalText(now));
  return undefined;
};
