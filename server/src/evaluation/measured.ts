import {
  motionCaveats,
  type MeasuredSlice,
  type Protocol,
  type ProtocolTask,
  type TrialEntry,
  type TrialSource,
} from '@unhindered/shared-types';
import { median } from '../consensus/quantile.ts';

const fileOf = ({ sources = [] }: TrialEntry, measure: string): TrialSource | undefined =>
  sources.find((s) => s.measures.includes(measure));

/**
 * SR-8: what was measured in the trials that count, beside the rating: for each measure of the task its median and its
 * least and largest value over the trials that have it, how many those are, and how many came from a file. A trial
 * without the value is never filled in; the trial's own time stands apart, for it may be censored (TR-3).
 */
export const measuredIn = (
  trials: readonly TrialEntry[],
  task: ProtocolTask,
  protocol: Protocol,
  own: string | undefined,
): MeasuredSlice[] =>
  protocol.measures.flatMap(({ id, name, unit, decimals }) => {
    if (!task.measures.includes(id) || id === own) return [];
    const having = trials.flatMap((trial) => {
      const found = trial.measures.find((m) => m.measure === id);
      return found ? [{ trial, value: Number(found.value) }] : [];
    });
    const values = having.map((h) => h.value).toSorted((a, b) => a - b);
    const [least, most] = [values[0], values.at(-1)];
    const middle = median(values);
    if (least === undefined || most === undefined || middle === undefined) return [];
    const files = having.flatMap((h) => fileOf(h.trial, id) ?? []);
    const caveats = [...new Set(files.flatMap((file) => motionCaveats(file.as)))];
    const spread = { n: values.length, median: middle, least, most };
    return [{ measure: id, name, unit, decimals, ...spread, files: files.length, caveats }];
  });
