import type {
  CatalogueRow,
  ItemCounts,
  Protocol,
  RecordState,
  Result,
} from '@unhindered/shared-types';
import { itemCounts } from './item-counts.ts';
import type { EvaluationState } from './state.ts';

type Figure = Result['alphaOrdinal'];

/** A locked evaluation as the catalogue keeps it: its line, and what comparing needs. Plain JSON. */
export interface CatalogueEntry extends CatalogueRow {
  panel: string;
  protocolHash: string;
  sections: {
    section: string;
    letter: string;
    title: string;
    value: Figure;
    rated: number;
    of: number;
  }[];
  /** Settled values in protocol order; tasks without one are not here. */
  tasks: { task: string; title: string; value: number }[];
  /** How each opened task went, as counts. Stays on the server but for sums over several evaluations. */
  items: ItemCounts[];
  /** Composite of each counted reviewer's own ratings. Stays on the server. */
  byReviewer: { seat: string; value: number }[];
}

/** What became of a record. */
export const recordState = (state: EvaluationState): RecordState => {
  const { withdrawnBecause: reason, withdrawnAt: at, supersededBy } = state;
  if (reason !== null) return { kind: 'withdrawn', at: at ?? '', reason };
  if (!supersededBy) return { kind: 'current' };
  const { evaluation: by, at: since, reason: why } = supersededBy;
  return { kind: 'superseded', by, at: since, reason: why };
};

const numberIn = (f: Figure): number | undefined => ('value' in f ? Number(f.value) : undefined);

/**
 * CA-1: the catalogue is a projection: a line is made from the folded log and the protocol alone, so that it can be
 * made again at any time. Undefined before the lock; a withdrawn record keeps its line, which says so.
 */
export const catalogueEntry = (
  state: EvaluationState,
  protocol: Protocol,
): CatalogueEntry | undefined => {
  const { created, locked } = state;
  if (!created || !locked) return undefined;
  const { result } = locked;
  const { endorsement } = result.composite;
  const { kind, sport, maker, model, year, size, condition, fastening } = created.specimen;
  const titles = new Map(protocol.sections.flatMap((s) => s.tasks).map((t) => [t.id, t.title]));
  const { min, max, better, datum } = protocol.scale;
  return {
    evaluation: created.evaluation,
    panel: created.panel,
    title: created.title,
    specimen: { kind, sport, maker, model, year, size, condition, fastening },
    protocol: {
      id: protocol.id,
      version: protocol.version,
      title: protocol.title,
      invented: protocol.invented,
      ...(protocol.language === undefined ? {} : { language: protocol.language }),
    },
    protocolHash: created.protocol.hash,
    lockedAt: locked.at,
    state: recordState(state),
    reevaluates: created.reevaluates ?? null,
    verdict: result.verdict,
    composite: result.composite.value,
    ...(endorsement && Number(endorsement.weight) > 0
      ? { endorsement: { weight: endorsement.weight, without: endorsement.without } }
      : {}),
    provisional: result.composite.provisional,
    means: result.means.value,
    interval:
      'lower' in result.means.interval
        ? { lower: result.means.interval.lower, upper: result.means.interval.upper }
        : result.means.interval,
    scale: { min, max, better, datum },
    reviewers: result.counted.length,
    ...(state.paper ? { paper: true } : {}),
    sections: result.composite.sections.map((s) => {
      const section = protocol.sections.find((p) => p.id === s.section);
      const { rated, of, value } = s;
      return {
        section: s.section,
        letter: section?.letter ?? '',
        title: section?.title ?? s.section,
        value,
        rated,
        of,
      };
    }),
    tasks: result.tasks.flatMap((t) => {
      const value = numberIn(t.settled);
      return value === undefined
        ? []
        : [{ task: t.task, title: titles.get(t.task) ?? t.task, value }];
    }),
    items: itemCounts(state, protocol),
    byReviewer: result.means.byReviewer.flatMap(({ seat, value: own }) => {
      const value = numberIn(own);
      return value === undefined ? [] : [{ seat, value }];
    }),
  };
};
