import { williamsSquare } from './williams.ts';

/** The order in which one operator does the conditions. */
export interface AssignedOrder {
  operator: string;
  /** Row of the Williams square, from 0. */
  row: number;
  conditions: string[];
}

export interface AssignedOrders {
  orders: AssignedOrder[];
  /** Whether every row is used equally often, which alone balances place and neighbours. */
  balanced: boolean;
  note: string | undefined;
}

/** Fisher and Yates, from the end. */
const shuffled = (n: number, next: () => number): number[] => {
  const places = Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i -= 1) {
    const j = Math.min(i, Math.floor(next() * (i + 1)));
    [places[i], places[j]] = [places[j] ?? 0, places[i] ?? 0];
  }
  return places;
};

/**
 * ME-7: orders come from a seed that is stored with them: the same operators, conditions and seed give the same
 * orders, and whoever doubts them can draw them again. Every row of the square is used once before any is used again;
 * who gets which is drawn. Operators are taken in the order of their ids, so that the order of joining cannot matter.
 */
export const assignOrders = (
  operators: readonly string[],
  conditions: readonly string[],
  next: () => number,
): AssignedOrders => {
  if (new Set(operators).size < operators.length) throw new RangeError('an operator stands twice');
  if (new Set(conditions).size < conditions.length)
    throw new RangeError('a condition stands twice');
  const square = williamsSquare(conditions.length);
  let rows: number[] = [];
  const orders = operators.toSorted().map((operator) => {
    if (rows.length === 0) rows = shuffled(square.length, next);
    const row = rows.shift() ?? 0;
    return { operator, row, conditions: (square[row] ?? []).map((c) => conditions[c] ?? '') };
  });
  const balanced = operators.length > 0 && operators.length % square.length === 0;
  const note = balanced
    ? undefined
    : `Orders are balanced for ${String(square.length)} operators or a multiple; here there are ${String(operators.length)}, so some orders stand more often than others.`;
  return { orders, balanced, note };
};
