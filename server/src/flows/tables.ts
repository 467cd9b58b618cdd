import type { Protocol } from '@unhindered/shared-types';
import type { RatingTable } from '../consensus/table.ts';
import {
  isTableUnknown,
  keepTableFigures,
  tableQuestion,
  type TableFigures,
  type TableQuestion,
} from '../evaluation/table-figures.ts';
import type { Figures } from '../ports/figures.ts';
import type { Log } from '../ports/log.ts';

/** Cells of a table whose figures are worked out where they are needed, in some milliseconds. */
export const CELLS_HERE = 4_000;

/**
 * LG-2: has the figures of a large table worked out in a thread of its own and keeps them ready, so that whoever needs
 * them next (the agreement that is shown, the lock) finds them and nobody on another panel waits.
 */
export class Tables {
  readonly #figures: Figures<TableQuestion, TableFigures>;
  readonly #log: Log;
  #closed = false;

  constructor(figures: Figures<TableQuestion, TableFigures>, log: Log) {
    this.#figures = figures;
    this.#log = log;
  }

  /** Resolves when the figures of a table are ready, or will be worked out where they are needed. */
  async prepare(table: RatingTable, protocol: Protocol): Promise<void> {
    const cells = table.tasks.length * table.reviewers.length;
    if (cells <= CELLS_HERE || !isTableUnknown(table, protocol)) return;
    try {
      const figures = await this.#figures.ask(tableQuestion(table, protocol));
      keepTableFigures(table, protocol, figures);
    } catch (error) {
      if (!this.#closed) this.#log.error('the figures of a table could not be computed', error);
    }
  }

  close(): Promise<void> {
    this.#closed = true;
    return this.#figures.close();
  }
}
