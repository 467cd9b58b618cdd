import {
  cleanText,
  decimal12,
  timeMeasure,
  type Protocol,
  type SeriesImport,
  type SeriesQuestion,
  type SeriesValue,
  type TrialSource,
} from '@unhindered/shared-types';
import { askedMeasures } from './trial-draft.ts';

/** A value as it is typed into a trial: the share by its counts, everything else to twelve digits. */
export const valueText = ({ entry: { value, counts } }: SeriesValue): string =>
  counts ? `${String(counts.successes)}/${String(counts.of)}` : decimal12(value);

/** Which values of a file a task's trial can take. */
export interface Keepable {
  /** By measure, as text. */
  values: Record<string, string>;
  /** Names of measures that the task does not ask for. */
  notAsked: string[];
  /** The task's own time, which is typed as such. */
  ownTime: string | null;
}

/** Sorts the values of a file by what the protocol asks for at a task. */
export const keepable = (
  values: readonly SeriesValue[],
  protocol: Protocol,
  task: string,
): Keepable => {
  const asked = new Set(askedMeasures(protocol, task).map((m) => m.id));
  const own = timeMeasure(protocol, task);
  const nameOf = (id: string): string => protocol.measures.find((m) => m.id === id)?.name ?? id;
  const taken = values.filter((value) => asked.has(value.measure));
  return {
    values: Object.fromEntries(taken.map((value) => [value.measure, valueText(value)])),
    notAsked: values
      .filter(({ measure }) => !asked.has(measure) && measure !== own?.id)
      .map(({ measure }) => nameOf(measure)),
    ownTime: own && values.some((value) => value.measure === own.id) ? own.name : null,
  };
};

/** Signs beyond ASCII escaped, so that the log keeps the very column names, whatever their form. */
const ascii = (text: string): string =>
  text.replace(/[^ -~]/gu, (sign) =>
    Array.from({ length: sign.length }, (_, i) => sign.charCodeAt(i))
      .map((code) => `\\u${code.toString(16).padStart(4, '0')}`)
      .join(''),
  );

const NAME_MAX = 120;
/** A file's name fit for the record. */
export const recordName = (name: string): string =>
  [...cleanText(name).replace(/\s+/gu, ' ').trim()].slice(0, NAME_MAX).join('').trim();

/** SR-5: what stands in a trial of the file that its values came from. */
export const sourceOf = (
  answer: SeriesImport,
  question: SeriesQuestion,
  name: string,
): Omit<TrialSource, 'measures'> => ({
  file: recordName(name),
  sha256: answer.hash,
  rows: answer.read.rows,
  as: ascii(JSON.stringify(question)),
  software: answer.software,
});
