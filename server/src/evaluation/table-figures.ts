import type { Protocol } from '@unhindered/shared-types';
import { compositeOfMeans, type CompositeOfMeans } from '../consensus/composite-of-means.ts';
import type { CompositeSection } from '../consensus/composite.ts';
import type { Figure } from '../consensus/figure.ts';
import { krippendorffAlpha } from '../consensus/krippendorff-alpha.ts';
import { pairAgreement, type PairAgreement } from '../consensus/pair-agreement.ts';
import type { RatingTable } from '../consensus/table.ts';
import { Memory } from './remembered.ts';

/** Everything the figures of a whole table rest on, as plain data: they may be asked in another thread. */
export interface TableQuestion {
  table: RatingTable;
  sections: readonly CompositeSection[];
}

/** What is said of all ratings together. */
export interface TableFigures {
  means: CompositeOfMeans;
  alphaOrdinal: Figure;
  withinOne: Figure<PairAgreement>;
  exact: Figure<PairAgreement>;
}

/** A protocol's sections with their weights, as the composite reads them. */
export const compositeSections = (protocol: Protocol): CompositeSection[] =>
  protocol.sections.map((s) => ({
    id: s.id,
    weight: s.weight,
    tasks: s.tasks.map((t) => ({ id: t.id, weight: t.weight })),
  }));

export const tableQuestion = (table: RatingTable, protocol: Protocol): TableQuestion => ({
  table,
  sections: compositeSections(protocol),
});

/** Works the figures out. */
export const answerTable = ({ table, sections }: TableQuestion): TableFigures => ({
  means: compositeOfMeans(table, sections),
  alphaOrdinal: krippendorffAlpha(table.cells, 'ordinal'),
  withinOne: pairAgreement(table.cells, 1),
  exact: pairAgreement(table.cells, 0),
});

const memory = new Memory<RatingTable, TableFigures>();

/** The figures of a table, worked out once for each. */
export const tableFigures = (table: RatingTable, protocol: Protocol): TableFigures =>
  memory.ask(table, [protocol], () => answerTable(tableQuestion(table, protocol)));

/** Whether a table's figures would have to be worked out. */
export const isTableUnknown = (table: RatingTable, protocol: Protocol): boolean =>
  !memory.has(table, [protocol]);

/** Takes figures that another thread worked out. */
export const keepTableFigures = (
  table: RatingTable,
  protocol: Protocol,
  figures: TableFigures,
): void => {
  memory.keep(table, [protocol], figures);
};
