import type { EntryFault } from './entry-fault.ts';
import { unitFactor, unitSpellings } from './entry-units.ts';
import type { ProtocolMeasure } from './protocol.ts';

/** What a typed entry says, in the measure's unit. */
export interface ParsedEntry {
  value: number;
  /** Typed as `>180` or `180+`: still not done then. A time for the count of failures, never for a mean (ME-2). */
  censored: boolean;
  /** A share typed as `35/48`: what an interval needs. */
  counts: { successes: number; of: number } | undefined;
}

export type EntryParse = { ok: true; entry: ParsedEntry } | { ok: false; fault: EntryFault };

type Measure = Pick<ProtocolMeasure, 'name' | 'unit' | 'rejectMin' | 'rejectMax'>;
type Reader = (text: string, measure: Measure) => EntryParse | undefined;

const said = (value: number, more: Partial<ParsedEntry> = {}): EntryParse => ({
  ok: true,
  entry: { value: value === 0 ? 0 : value, censored: false, counts: undefined, ...more },
});
const fault = (measure: Measure, what: string, remedy: string): EntryParse => ({
  ok: false,
  fault: { place: measure.name, fault: what, remedy },
});

/** What a device or another alphabet types: full-width digits, other spaces, a true minus sign. */
const tidy = (text: string): string =>
  text
    .normalize('NFKC')
    .replace(/[\u2212\u2012\u2013]/gu, '-')
    .replace(/\s+/gu, ' ')
    .trim();

const isTime = (measure: Measure): boolean => measure.unit === 's' || measure.unit === 'min';
const within = (measure: Measure, x: number): boolean =>
  x >= (measure.rejectMin ?? -Infinity) && x <= (measure.rejectMax ?? Infinity);

/** In the languages of the screens. */
const YES = new Set(['yes', 'y', 'ja', 'j', 'true', '1']);
const NO = new Set(['no', 'n', 'nein', 'false', '0']);
const yesNo: Reader = (text, measure) => {
  if (measure.unit !== 'yes/no') return undefined;
  const word = text.toLowerCase();
  if (YES.has(word)) return said(1);
  if (NO.has(word)) return said(0);
  return fault(measure, `"${text}" is neither yes nor no`, 'Type yes or no.');
};

const counts: Reader = (text, measure) => {
  const found = /^(\d+) ?(?:\/|of) ?(\d+)$/iu.exec(text.replace('\u2044', '/'));
  if (!found || measure.unit !== '%') return undefined;
  const [successes, of] = [Number(found[1]), Number(found[2])];
  if (of === 0) return fault(measure, 'a share of none', 'Leave it empty: there is no data.');
  if (successes > of) {
    return fault(measure, `${text} is more than all`, 'Type how many of how many, as 35/48.');
  }
  return said((100 * successes) / of, { counts: { successes, of } });
};

/** m:ss, or h:mm:ss, with decimals of a second; and "1 min 5 s". Seconds and minutes after a colon take two digits. */
const clock: Reader = (text, measure) => {
  const spelled = /^(\d+) ?min(?:ute)?s? (\d+(?:[.,]\d+)?) ?s(?:ec)?(?:onds?)?$/iu.exec(text);
  if (!text.includes(':') && !spelled) return undefined;
  if (!isTime(measure)) {
    return fault(measure, `"${text}" is a time`, `Type a number in ${measure.unit}.`);
  }
  const read = spelled ?? /^(?:(\d+):)?(\d+):(\d\d(?:[.,]\d+)?)$/u.exec(text);
  const parts = read?.slice(1).map((part) => Number((part ?? '0').replace(',', '.'))) ?? [];
  const [seconds = 60, minutes = 60, hours = 0] = parts.toReversed();
  if (seconds >= 60 || (hours > 0 && minutes >= 60)) {
    const remedy = 'Type minutes, a colon and two digits of seconds below 60, as 1:05.';
    return fault(measure, `"${text}" is no time of a clock`, remedy);
  }
  const total = hours * 3600 + minutes * 60 + seconds;
  return said(measure.unit === 's' ? total : total / 60);
};

const NUMBER = /^([+-]?)(\d*)(?:([.,])(\d+))?(?: ?([^\d.,:\s-].*))?$/u;

/**
 * A number with a decimal point or comma, and perhaps a unit. `1,200` is refused where 1.2 and 1200 would both be
 * allowed: nobody can tell which was meant.
 */
const plain: Reader = (text, measure) => {
  const found = NUMBER.exec(text);
  const [, sign = '', whole = '', mark = '', decimals = '', typedUnit = ''] = found ?? [];
  if (!found || (whole === '' && decimals === '')) {
    const example = isTime(measure) ? 'a number or a time, as 65.5 or 1:05.5' : 'a number, as 12.5';
    return fault(measure, `"${text}" is not understood`, `Type ${example}, in ${measure.unit}.`);
  }
  const factor = unitFactor(measure.unit, typedUnit);
  if (factor === undefined) {
    const remedy = `Type it in one of: ${unitSpellings(measure.unit).join(', ')}.`;
    return fault(measure, `"${typedUnit}" is no unit of this measure`, remedy);
  }
  const signed = sign === '-' ? -1 : 1;
  const value = signed * factor * Number(`${whole || '0'}.${decimals || '0'}`);
  const grouped = signed * factor * Number(`${whole}${decimals}`);
  const couldBeGroups = mark !== '' && /^[1-9]\d{0,2}$/u.test(whole) && decimals.length === 3;
  if (couldBeGroups && within(measure, value) && within(measure, grouped)) {
    const remedy = `Type ${String(value)} or ${String(grouped)}.`;
    return fault(measure, `"${text}" may mean two numbers`, remedy);
  }
  return said(value);
};

/**
 * Reads what somebody typed for a measure: decimal comma or point; m:ss, h:mm:ss and "1 min 5 s" for times; a unit;
 * counts for a share (`35/48`); yes or no; `>180` or `180+` for a time that ran out. The value is kept as typed, in
 * the measure's unit, not rounded. A fault names the measure and says how to type it; see check-entry.ts for limits.
 */
export const parseEntry = (typed: string, measure: Measure): EntryParse => {
  const text = tidy(typed);
  if (text === '') {
    return fault(
      measure,
      'nothing is typed',
      'Type the value, or mark the trial void or not done.',
    );
  }
  const open = isTime(measure) ? (/^> ?(.+)$/u.exec(text) ?? /^(.+?) ?\+$/u.exec(text)) : undefined;
  const read = (of: string): EntryParse | undefined =>
    yesNo(of, measure) ?? counts(of, measure) ?? clock(of, measure) ?? plain(of, measure);
  const parsed = read(open?.[1] ?? text) ?? fault(measure, 'not understood', 'Type a number.');
  return parsed.ok && open ? said(parsed.entry.value, { censored: true }) : parsed;
};
