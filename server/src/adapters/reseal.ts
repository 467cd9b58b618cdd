import type { SheetBox } from './sheet-box.ts';

/** One update of a sheet as it stands in the store, sealed. */
export interface SealedRow {
  workspace: string;
  document: string;
  n: number;
  bytes: Uint8Array;
}

/** Every update of every sheet of a store, whichever workspace it belongs to. */
export interface SealedRows {
  /** The next ones behind a row, in the order of their keys; from the first without one. */
  after(last: SealedRow | undefined, count: number): Promise<SealedRow[]>;
  /** Puts other bytes in their places: all of them or none, and on disk when it resolves. */
  replace(rows: readonly SealedRow[]): Promise<void>;
}

/** Rows that change in one commit. */
const BATCH = 200;

const opened = (box: SheetBox, { document, bytes }: SealedRow): Uint8Array | undefined => {
  try {
    return box.open(document, bytes);
  } catch {
    return undefined;
  }
};

/** Goes through all rows, a batch at a time. */
async function* batches(rows: SealedRows, batch: number): AsyncGenerator<SealedRow[]> {
  for (let last: SealedRow | undefined; ;) {
    const found = await rows.after(last, batch);
    if (found.length === 0) return;
    yield found;
    last = found.at(-1);
  }
}

/** The first row that none of the boxes opens; undefined when each is opened by one. */
export const firstClosed = async (
  rows: SealedRows,
  boxes: readonly SheetBox[],
): Promise<SealedRow | undefined> => {
  for await (const found of batches(rows, BATCH)) {
    const closed = found.find((row) => !boxes.some((box) => opened(box, row)));
    if (closed) return closed;
  }
  return undefined;
};

/** Whether the box opens what the store begins with: after a whole change of key one row speaks for all. */
export const opensFirst = async (rows: SealedRows, box: SheetBox): Promise<boolean> =>
  (await rows.after(undefined, 1)).every((row) => opened(box, row) !== undefined);

/** Seals with another box what it does not open yet. Gives how many rows changed; throws when neither opens one. */
export const reseal = async (
  rows: SealedRows,
  from: SheetBox,
  to: SheetBox,
  batch = BATCH,
): Promise<number> => {
  let count = 0;
  for await (const found of batches(rows, batch)) {
    const old = found.filter((row) => opened(to, row) === undefined);
    if (old.length === 0) continue;
    await rows.replace(
      old.map((row) => ({
        ...row,
        bytes: to.seal(row.document, from.open(row.document, row.bytes)),
      })),
    );
    count += old.length;
  }
  return count;
};
