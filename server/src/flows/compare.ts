import {
  COMPARE_LIMIT,
  done,
  refused,
  type CatalogueAnswer,
  type CatalogueQuery,
  type CatalogueRow,
  type ComparisonAnswer,
  type Outcome,
  type Rejection,
} from '@unhindered/shared-types';
import { compare, shown } from '../comparison/compare.ts';
import { searchCatalogue } from '../comparison/search.ts';
import type { CatalogueEntry } from '../evaluation/catalogue-entry.ts';
import type { App } from './app.ts';
import { rowOf } from './catalogue.ts';

/** One page of the catalogue. */
export const findInCatalogue = async (
  app: App,
  query: CatalogueQuery,
): Promise<CatalogueAnswer> => {
  const answer = searchCatalogue(await app.catalogue.all(app), query);
  return { ...answer, rows: (answer.rows as CatalogueEntry[]).map(rowOf) };
};

const comparison = (chosen: readonly CatalogueEntry[], all: CatalogueEntry[]): ComparisonAnswer => {
  const found = compare(chosen, all, (entry) => entry.verdict.tasks);
  return {
    evaluations: chosen.map((entry) => {
      const figures = found.figures.get(entry.evaluation);
      return {
        ...rowOf(entry),
        sections: entry.sections.map((s) => ({ ...s, value: shown(s.value) })),
        worst: figures?.worst ?? [],
        standing: figures?.standing ?? { why: '' },
        shrunken: figures?.shrunken ?? { why: '' },
      };
    }),
    pairs: found.pairs,
    classes: found.classes,
    series: found.series.map(({ rows, steps }) => {
      const { maker, model } = rows[0]?.specimen ?? { maker: '', model: '' };
      return { maker, model, rows: rows.map((r): CatalogueRow => rowOf(r)), steps };
    }),
    multiplicity: found.multiplicity,
  };
};

/** The evaluations asked for, each once; refused when there is none or more than stand side by side. */
export const wantedIds = (ids: readonly string[]): Outcome<string[]> => {
  const wanted = [...new Set(ids)];
  return wanted.length < 1 || wanted.length > COMPARE_LIMIT
    ? refused('bad-input', `Choose 1 to ${String(COMPARE_LIMIT)} evaluations.`)
    : done(wanted);
};

export const notInCatalogue = (evaluation: string): { ok: false; rejection: Rejection } =>
  refused('unknown-thing', 'One of these is not in the catalogue: only locked evaluations are.', {
    evaluation,
  });

/** Up to twelve locked evaluations side by side; refused when one of them is not in the catalogue. */
export const compareEvaluations = async (
  app: App,
  ids: readonly string[],
): Promise<Outcome<ComparisonAnswer>> => {
  const asked = wantedIds(ids);
  if (!asked.ok) return asked;
  const wanted = asked.value;
  const all = (await app.catalogue.all(app)).map((entry) => entry.row);
  const chosen = wanted.map((id) => all.find((entry) => entry.evaluation === id));
  const missing = wanted.find((_, i) => chosen[i] === undefined);
  if (missing !== undefined) return notInCatalogue(missing);
  return done(
    comparison(
      chosen.filter((c) => c !== undefined),
      all,
    ),
  );
};
