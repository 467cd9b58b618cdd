import type { SeriesFaults } from '@unhindered/shared-types';

/** Faults kept word by word; the rest are counted. */
const MAX_KEPT = 200;

/** Collects faults of a file by line and column. */
export const seriesFaults = () => {
  const faults: SeriesFaults = { kept: [], total: 0 };
  const add = (line: number, column: string, fault: string, remedy: string): void => {
    faults.total += 1;
    if (faults.kept.length >= MAX_KEPT) return;
    const place = column === '' ? `line ${String(line)}` : `line ${String(line)}, column ${column}`;
    faults.kept.push({ place, fault, remedy });
  };
  return { add, faults };
};

export type AddFault = ReturnType<typeof seriesFaults>['add'];
