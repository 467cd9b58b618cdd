import type { FigureText } from './figures.ts';

/**
 * The record of a locked evaluation as a document: numbered sections of plain blocks, every sentence written.
 * The screen and the printed file draw the same blocks, so they cannot say different things.
 */
export const RECORD_FORMAT = 'unhindered-record/1';

export interface RecordScale {
  min: number;
  max: number;
  /** Where the heavy line stands: as without the equipment; the good end when the scale has no datum. */
  datum: number;
  points: { value: number; word: string }[];
}

/** One seat's letter on the datum line. */
export interface RecordMark {
  letter: string;
  step: number;
  counted: boolean;
}

/** One task on the datum line, with what stands beside it. */
export interface RecordStrip {
  title: string;
  /** Flags, gates and marks in words, below the title; may be empty. */
  note: string;
  marks: RecordMark[];
  median: number | null;
  settled: number | null;
  /** Settled value in words. */
  settledText: string;
  /** How it was settled, and what was not rated on the scale. */
  how: string;
  divergent: boolean;
  blocked: boolean;
}

export interface RecordBar {
  label: string;
  value: number | null;
  /** Ends of an interval around the value. */
  interval: { lower: number; upper: number } | null;
  text: string;
  note: string;
}

/** A table; each cell is a list of short paragraphs, the first column heads its row. */
export interface RecordTable {
  kind: 'table';
  caption: string;
  head: string[];
  /** Shares of the width, by column. */
  widths: number[];
  rows: string[][][];
}

/** A step curve of shares over time, with 95 % limits at each time by itself. */
export interface RecordCurve {
  kind: 'curve';
  caption: string;
  alt: string;
  /** Seconds at the right end of the axis. */
  end: number;
  curve: { seconds: number; probability: number }[];
  band: { seconds: number; lower: number; upper: number }[];
}

export type RecordBlock =
  | { kind: 'text'; text: string; tone: 'plain' | 'strong' | 'quiet' }
  | { kind: 'heading'; text: string }
  | { kind: 'list'; items: string[] }
  | { kind: 'facts'; rows: { term: string; text: string }[] }
  | { kind: 'verdict'; text: string; blocked: boolean }
  | { kind: 'bars'; caption: string; alt: string; scale: RecordScale; rows: RecordBar[] }
  | { kind: 'strips'; caption: string; alt: string; scale: RecordScale; rows: RecordStrip[] }
  | RecordCurve
  | RecordTable;

export type RecordSectionId =
  | 'verdict'
  | 'specimen'
  | 'method'
  | 'panel'
  | 'interests'
  | 'course'
  | 'safety'
  | 'tasks'
  | 'ratings'
  | 'settlements'
  | 'gates'
  | 'evidence'
  | 'agreement'
  | 'sensitivity'
  | 'deviations'
  | 'limits'
  | 'verify'
  | 'checklist';

export interface RecordSection {
  id: RecordSectionId;
  /** Its number in the document, from 1: the "place" that the checklist names. */
  number: number;
  title: string;
  blocks: RecordBlock[];
}

/** One reporting item of the published guidelines, and where the record answers it. */
export interface ReportingItem {
  id: string;
  item: string;
  after: string;
  status: 'present' | 'partly' | 'absent' | 'not-applicable';
  /** The section that answers it; null when nothing does. */
  place: RecordSectionId | null;
  remark: string;
}

/** A figure of the record under a stable name, unrounded. */
export interface RecordFigure {
  id: string;
  value: FigureText;
}

export interface RecordDocument {
  format: typeof RECORD_FORMAT;
  language: 'en';
  /** Language of the protocol's words in it (BCP 47). */
  protocolLanguage: string;
  evaluation: string;
  title: string;
  subtitle: string;
  /** True for invented demonstration material: every page then says so. */
  invented: boolean;
  /** ISO-8601 UTC. */
  lockedAt: string;
  /** Log head in hexadecimal. */
  root: string;
  software: string;
  sections: RecordSection[];
  checklist: ReportingItem[];
  figures: RecordFigure[];
}
