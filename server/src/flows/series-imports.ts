import { createHash } from 'node:crypto';
import {
  done,
  refused,
  type Outcome,
  type SeriesAnswer,
  type SeriesImport,
  type SeriesQuestion,
  type SeriesValue,
  type ShownThreshold,
} from '@unhindered/shared-types';
import { catalogueMeasureOf } from '../measures/catalogue.ts';
import { compressionValues, motionValues, ventilationValues } from '../measures/series-measures.ts';
import { shownThreshold } from '../measures/threshold.ts';
import type { SeriesReader } from '../ports/series.ts';

/** Files read at one time: each has a thread of its own. */
const AT_ONCE = 2;
/** Most bytes of a file: 200,000 rows of some 480 characters. */
export const MAX_SERIES_BYTES = 96 * 1024 * 1024;

const valuesOf = (read: SeriesAnswer): SeriesValue[] => {
  if (!read.ok) return [];
  return 'motion' in read
    ? motionValues(read.motion)
    : [...compressionValues(read.compressions), ...ventilationValues(read.ventilations)];
};

/** The thresholds of the measures as they may be shown; ME-1: none from memory or practice alone beside a figure. */
const thresholdsOf = (values: readonly SeriesValue[]): Record<string, ShownThreshold> =>
  Object.fromEntries(
    values.flatMap(({ measure }) => {
      const known = catalogueMeasureOf(measure);
      const vague = known?.basis === 'memory' || known?.basis === 'practice';
      const threshold = known && !vague ? shownThreshold(known) : undefined;
      return threshold ? [[measure, threshold] as const] : [];
    }),
  );

/**
 * SR-2: a file is read piece by piece in a thread of its own, as fast as it is read and no faster, two at a time; a
 * line that is cut, a file that is too long or unreadable ends the thread and leaves nothing behind.
 */
export class SeriesImports {
  readonly #reader: SeriesReader<SeriesQuestion, SeriesAnswer>;
  readonly #software: string;
  #reading = 0;

  /** `software`: name and version of this program, which stand with the figures. */
  constructor(reader: SeriesReader<SeriesQuestion, SeriesAnswer>, software: string) {
    this.#reader = reader;
    this.#software = software;
  }

  /** Files being read. */
  get reading(): number {
    return this.#reading;
  }

  /** Reads a file as it comes. Rejects only when `pieces` does: when who sends it went away. */
  async read(
    question: SeriesQuestion,
    pieces: AsyncIterable<Uint8Array>,
  ): Promise<Outcome<SeriesImport>> {
    if (this.#reading >= AT_ONCE) {
      return refused('try-again', 'Two files are being read. Try again when one is done.');
    }
    this.#reading += 1;
    try {
      return await this.#take(question, pieces);
    } finally {
      this.#reading -= 1;
    }
  }

  async #take(
    question: SeriesQuestion,
    pieces: AsyncIterable<Uint8Array>,
  ): Promise<Outcome<SeriesImport>> {
    const reading = this.#reader.begin(question);
    const hash = createHash('sha256');
    const unreadable = (error: unknown) =>
      refused('bad-input', `The file cannot be read: ${(error as Error).message}.`);
    let bytes = 0;
    try {
      for await (const piece of pieces) {
        bytes += piece.length;
        if (bytes > MAX_SERIES_BYTES) {
          return refused('bad-input', 'The file is longer than 96 MB. Cut it to the trial.');
        }
        hash.update(piece);
        const fault = await reading.push(piece).then(() => undefined, unreadable);
        if (fault) return fault;
      }
      const read = await reading.end().catch(unreadable);
      if ('rejection' in read) return read;
      const values = valuesOf(read);
      return done({
        hash: hash.digest('hex'),
        bytes,
        software: this.#software,
        read,
        values,
        thresholds: thresholdsOf(values),
      });
    } finally {
      await reading.cancel();
    }
  }
}
