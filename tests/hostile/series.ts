import type { SeriesQuestion } from '../../shared-types/src/index.ts';
import type { HeadMotion } from '../../shared-types/src/index.ts';
import type { SeriesFaults } from '../../shared-types/src/index.ts';
import type { Change, Family, Play } from './family.ts';
import { judgeRan, runSeries } from './program.ts';

/** What the reader says of a motion file. */
type Answer =
  | { ok: true; rows: number; motion: HeadMotion; lost: SeriesFaults }
  | { ok: false; rows: number; faults: SeriesFaults };

/** First line of a payload, its names unquoted. */
const namesOf = (payload: Buffer): string[] =>
  (payload.toString('utf8', 0, 200_000).split(/[\r\n]/u, 1)[0] ?? '')
    .split(',')
    .map((name) => name.trim().replace(/^"(.*)"$/u, '$1'));

/**
 * How a person maps a file of the corpus, before anybody knows what is wrong with it: commas and decimal points, times
 * in seconds at 100 a second, and the first measured column as every angle of the head.
 */
const questionOf = (payload: Buffer): SeriesQuestion => {
  const measured = namesOf(payload)[1] ?? 'a';
  return {
    kind: 'motion',
    mapping: {
      delimiter: ',',
      decimal: '.',
      rate: 100,
      order: 'zxy',
      planes: { flexion: 'z', sideBending: 'x', rotation: 'y' },
      tracked: 'head',
      time: { column: 'time_s', unit: 's' },
      head: { kind: 'cardan', columns: [measured, measured, measured], order: 'zxy', unit: 'deg' },
      torso: null,
    },
  };
};

/** A place as people find it in their own file: a line, and in it a column. */
const PLACE = /line \d+, column \S/u;

/** The rows of a file without quotes, taken apart in the plainest way. */
const plainRows = (payload: Buffer): string[][] =>
  payload
    .toString('utf8')
    .split(/\r\n|\r|\n/u)
    .filter((line) => line !== '')
    .slice(1)
    .map((line) => line.split(','));

/** Whether the figures are of every row: as many samples, times from the first to the last, nothing called lost. */
const isWhole = (answer: Answer & { ok: true }, payload: Buffer): boolean => {
  const rows = plainRows(payload);
  const { motion, lost } = answer;
  const ends = [motion.curve.at(0)?.seconds, motion.curve.at(-1)?.seconds];
  const expected = [rows.at(0), rows.at(-1)].map((row) => Number(row?.[0]));
  return (
    motion.valid &&
    lost.total === 0 &&
    answer.rows === rows.length &&
    motion.samples === rows.length &&
    JSON.stringify(ends) === JSON.stringify(expected)
  );
};

const said = new WeakMap<Play, Answer>();

const act = async (play: Play): Promise<void> => {
  const { judged, payload } = play;
  const ran = await runSeries(payload, questionOf(payload));
  judgeRan(play, ran, payload.length);
  const answer = ran.out === '' ? undefined : (JSON.parse(ran.out) as Answer);
  if (answer) said.set(play, answer);
  const whole = answer?.ok === true && isWhole(answer, payload);
  // Read with samples that are lost or leapt over, and said to be: what the corpus calls sanitised.
  if (answer?.ok === true && !whole) judged.outcome = 'accepted-sanitised';
  const words = ran.out + ran.err;
  const seen = words.slice(0, 300);
  // Of a series its figures are kept, with the mapping that they were read by.
  judged.observe('stored', whole, seen);
  // A file that is read whole has no wrong row to name.
  judged.observe('error-names-row-and-column', whole || PLACE.test(words), seen);
  judged.observe('no-silent-garbage', answer === undefined || whole, seen);
  const names = namesOf(payload).slice(1);
  const back = names.filter((name) => ran.out.includes(name) && /[^\w]/u.test(name));
  // What never comes back can neither run in a spreadsheet nor on a page.
  judged.observe('csv-inert', back.length === 0, back.join());
  judged.observe('inert-render', back.length === 0, back.join());
};

/** What is refused leaves no figures, and nothing at all in the store. */
const check = (play: Play, change: Change): void => {
  const answer = said.get(play);
  const unwritten = change.events.length === 0 && change.documents.length === 0;
  const figures = answer?.ok === true && answer.motion.valid && !isWhole(answer, play.payload);
  const seen = `${String(change.events.length)} events; ${figures ? 'shown as valid' : 'no figures, or called not valid'}`;
  play.judged.observe('no-series-stored', unwritten && !figures, seen);
};

/** Files to the reader of measured series, in the thread that an import has. */
export const series: Family = { offline: true, act, check };
