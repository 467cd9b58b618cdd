import type { EntryFault } from './entry-fault.ts';
import type { ParsedEntry } from './parse-entry.ts';
import type { ProtocolMeasure } from './protocol.ts';

/**
 * `refuse`: the entry cannot be kept. `confirm`: it is kept when the person says it is meant. `accept`: it is kept.
 * With `refuse`, the faults that ask for a confirmation alone are left out.
 */
export interface EntryCheck {
  verdict: 'accept' | 'confirm' | 'refuse';
  faults: EntryFault[];
}

type Measure = Pick<
  ProtocolMeasure,
  'name' | 'unit' | 'decimals' | 'rejectMin' | 'rejectMax' | 'warnMin' | 'warnMax'
>;

const inUnit = (x: number, unit: string): string =>
  unit === 'yes/no' ? String(x) : `${String(x)} ${unit}`;

/** The limit that `value` passes, said in words; a value equal to a limit does not pass it. */
const passed = (
  value: number,
  unit: string,
  least: number | null,
  most: number | null,
): string | undefined => {
  if (least !== null && value < least) return `below ${inUnit(least, unit)}`;
  if (most !== null && value > most) return `above ${inUnit(most, unit)}`;
  return undefined;
};

const refusals = (measure: Measure, entry: ParsedEntry): EntryFault[] => {
  const { name: place, unit } = measure;
  if (!Number.isFinite(entry.value)) {
    return [{ place, fault: 'not a number', remedy: `Type a number in ${unit}.` }];
  }
  const limit = passed(entry.value, unit, measure.rejectMin, measure.rejectMax);
  if (limit !== undefined) {
    const fault = `${inUnit(entry.value, unit)} is ${limit}, which cannot be`;
    const remedy = `Look at the unit (${unit}) and type it again, or mark the trial void with the reason.`;
    return [{ place, fault, remedy }];
  }
  if (unit === 'count' && !Number.isInteger(entry.value)) {
    return [{ place, fault: `${String(entry.value)} is no whole number`, remedy: 'Type a count.' }];
  }
  return [];
};

const doubts = (measure: Measure, entry: ParsedEntry, counted: boolean): EntryFault[] => {
  const { name: place, unit } = measure;
  const found: EntryFault[] = [];
  const limit = passed(entry.value, unit, measure.warnMin, measure.warnMax);
  if (limit !== undefined) {
    const fault = `${inUnit(entry.value, unit)} is ${limit}, which is unusual`;
    found.push({ place, fault, remedy: 'Confirm that it is meant, or type it again.' });
  }
  if (counted && unit === '%' && entry.counts === undefined) {
    const fault = 'a share without its counts has no interval';
    found.push({ place, fault, remedy: 'Type how many of how many, as 35/48, or confirm.' });
  }
  return found;
};

/**
 * Holds a parsed entry against the limits of the protocol's measure. A value equal to a limit is within it. A share
 * needs its counts or a confirmation, unless it is not `counted` but a share of time; a count needs a whole number. Limits are the protocol's, never a published fact.
 */
export const checkEntry = (measure: Measure, entry: ParsedEntry, counted = true): EntryCheck => {
  const refused = refusals(measure, entry);
  if (refused.length > 0) return { verdict: 'refuse', faults: refused };
  const faults = doubts(measure, entry, counted);
  return { verdict: faults.length > 0 ? 'confirm' : 'accept', faults };
};
