import type { QueryConfig } from 'pg';

const names = new Map<string, string>();

/**
 * A question that the database parses and plans once for each connection, and then only runs: under many small commits
 * that is the larger part of what a question costs. Only for texts that are written in the source: each is remembered.
 */
export const prepared = (text: string, values: unknown[]): QueryConfig => {
  const name = names.get(text) ?? `unhindered_${String(names.size + 1)}`;
  names.set(text, name);
  return { name, text, values };
};
