/** One fault of a protocol file: where, what, and what to do about it. */
export interface ProtocolFault {
  /** For people: the path, and line and column where they are known. */
  place: string;
  /** JSON pointer into the file; empty for all of it. */
  path: string;
  /** 1-based; null where the file as a whole is meant. */
  line: number | null;
  column: number | null;
  fault: string;
  remedy: string;
}

/** What a change means for results under the two versions: nothing, other summed figures, or other ratings. */
export type Effect = 'none' | 'figures' | 'ratings';

/** One difference between two versions. */
export interface ProtocolChange {
  /** JSON pointer: into the newer file, or into the older one for what was taken away. */
  place: string;
  /** A sentence without its full stop, that names the thing by its ids. */
  words: string;
  effect: Effect;
}
