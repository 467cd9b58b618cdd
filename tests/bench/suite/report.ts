/** One line of a table: what was measured, and its figures by column. */
export interface Row {
  what: string;
  figures: Record<string, number | string | null>;
}

export interface Section {
  name: string;
  /** Conditions: load, repeats, what the figures are of. */
  note: string;
  rows: Row[];
}

/** A goal with what was measured against it. Only ratios between servers measured in one run may fail a build. */
export interface Goal {
  what: string;
  measured: number;
  limit: number;
  gate: boolean;
}

export interface Report {
  machine: Record<string, string | number>;
  sections: Section[];
  goals: Goal[];
  /** What could not be measured here, with the reason. */
  missing: string[];
}

export const met = ({ measured, limit }: Goal): boolean => measured <= limit;

const shown = (value: number | string | null | undefined): string => {
  if (value === null || value === undefined) return '-';
  if (typeof value === 'string') return value;
  if (value !== 0 && Math.abs(value) < 10) return value.toFixed(value < 1 ? 2 : 1);
  return Math.round(value).toLocaleString('en');
};

const sectionText = ({ name, note, rows }: Section): string => {
  const columns = [...new Set(rows.flatMap((r) => Object.keys(r.figures)))];
  const lines = [
    ['', ...columns],
    ...rows.map((r) => [r.what, ...columns.map((c) => shown(r.figures[c]))]),
  ];
  const widths = lines[0]?.map((_, i) => Math.max(...lines.map((l) => l[i]?.length ?? 0))) ?? [];
  const table = lines.map((line) =>
    line
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0)))
      .join('  '),
  );
  return [`${name}: ${note}`, ...table.map((l) => `  ${l}`)].join('\n');
};

/** The report as text. */
export const reportText = ({ machine, sections, goals, missing }: Report): string =>
  [
    Object.entries(machine)
      .map(([key, value]) => `${key} ${shown(value)}`)
      .join('; '),
    ...sections.map(sectionText),
    'Goals:',
    ...goals.map(
      (g) =>
        `  ${met(g) ? 'met    ' : 'NOT MET'} ${g.what}: ${shown(g.measured)}, at most ${shown(g.limit)}${g.gate ? ' (gate)' : ''}`,
    ),
    ...missing.map((m) => `NOT MEASURED: ${m}`),
  ].join('\n\n');
