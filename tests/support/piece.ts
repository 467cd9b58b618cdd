import type { Piece } from '../../server/src/comparison/piece.ts';
import type { CatalogueRow } from '../../shared-types/src/index.ts';

type Row = CatalogueRow & Piece;

/** An evaluation as comparing sees it, with what a test gives it and plain values for the rest. */
export const piece = (
  id: string,
  more: Omit<Partial<Row>, 'specimen' | 'protocol'> & {
    specimen?: Partial<Row['specimen']>;
    version?: string;
  } = {},
): Row => {
  const { specimen, version = '1.0.0', ...rest } = more;
  return {
    evaluation: id,
    title: id,
    specimen: {
      kind: 'helmet',
      sport: 'gridiron',
      maker: 'Larkmoor',
      model: id,
      year: '',
      size: '',
      condition: '',
      fastening: '',
      ...specimen,
    },
    protocol: { id: 'p', version, title: 'Protocol', invented: true },
    protocolHash: `hash of ${version}`,
    lockedAt: '2026-03-02T09:00:00.000Z',
    state: { kind: 'current' },
    scale: { min: 0, max: 5, better: 'lower', datum: 0 },
    composite: { value: '1' },
    means: { value: '1' },
    interval: { undefinedBecause: 'too few reviewers' },
    tasks: [],
    byReviewer: [],
    verdict: { kind: 'no-confirmed-critical-failure', tasks: [] },
    reevaluates: null,
    provisional: false,
    reviewers: 3,
    ...rest,
  };
};

/** A record that was withdrawn, and one that another took the place of. */
export const WITHDRAWN = {
  kind: 'withdrawn',
  at: '2026-04-01T00:00:00.000Z',
  reason: 'why',
} as const;
export const SUPERSEDED = {
  kind: 'superseded',
  by: 'ev_later',
  at: '2026-04-01T00:00:00.000Z',
  reason: 'why',
} as const;

/** Settled values as tasks t0, t1 … */
export const tasksOf = (values: readonly number[]) =>
  values.map((value, i) => ({ task: `t${String(i)}`, title: `Task ${String(i)}`, value }));
