import type { FigureText, Scale, Specimen } from '@unhindered/shared-types';

/**
 * An evaluation as comparing sees it. `value` of a task is its settled value; `byReviewer` the composites of the
 * counted reviewers' own ratings.
 */
export interface Piece {
  evaluation: string;
  specimen: Pick<Specimen, 'kind' | 'sport' | 'maker' | 'model'>;
  protocol: { id: string; version: string };
  protocolHash: string;
  lockedAt: string;
  state: { kind: 'current' | 'superseded' | 'withdrawn' };
  scale: Pick<Scale, 'min' | 'max' | 'better' | 'datum'>;
  composite: FigureText;
  means: FigureText;
  interval: { lower: string; upper: string } | { undefinedBecause: string };
  tasks: readonly { task: string; title: string; value: number }[];
  byReviewer: readonly { seat: string; value: number }[];
}

/** The number in a figure of the record. */
export const numberOf = (figure: FigureText): number | undefined =>
  'value' in figure ? Number(figure.value) : undefined;

/** Text as searching and matching see it: without case, accents and doubled space. */
export const folded = (text: string): string =>
  text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().replace(/\s+/gu, ' ').trim();

/** One protocol version by its content: the same name with another content is another version. */
const versionKey = (p: Piece): string => `${p.protocol.id} ${p.protocol.version} ${p.protocolHash}`;

/** Whether two evaluations were made under the very same protocol version. */
export const sameVersion = (a: Piece, b: Piece): boolean => versionKey(a) === versionKey(b);

/** The class of a piece: one kind under one protocol version. */
export const classKey = (p: Piece): string => `${p.specimen.kind} ${versionKey(p)}`;

/** One model across years and panels. `fold` may remember: a catalogue says the same few makers over and over. */
export const modelKey = ({ specimen: s }: Piece, fold = folded): string =>
  [s.sport, s.kind, s.maker, s.model].map((text) => fold(text)).join(' | ');

/** Folding that remembers what it folded. */
export const rememberedFolding = (): ((text: string) => string) => {
  const known = new Map<string, string>();
  return (text) => {
    const found = known.get(text) ?? folded(text);
    known.set(text, found);
    return found;
  };
};
