/** A file that is being read away from the thread that serves everybody. */
export interface SeriesReading<Answer> {
  /** Hands over the next bytes of the file; resolves with the rows read so far once they are taken in. */
  push(bytes: Uint8Array): Promise<number>;
  /** The answer, after the last bytes. Rejects when the reading failed or was cancelled. */
  end(): Promise<Answer>;
  /** Stops at once; what is still waited for rejects. */
  cancel(): Promise<void>;
}

export interface SeriesReader<Question, Answer> {
  begin(question: Question): SeriesReading<Answer>;
}
