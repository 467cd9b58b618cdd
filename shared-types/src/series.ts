import type { Planes } from './series-question.ts';
import type { ParsedEntry } from './parse-entry.ts';

/** A figure of a series, or the plain reason why there is none. */
export type SeriesFigure<T = number> = { ok: true; value: T } | { ok: false; why: string };

/** What is wrong with a file: where, what, and what to do about it. */
export interface SeriesFault {
  /** `line 7, column head w`. */
  place: string;
  fault: string;
  remedy: string;
}

/** The first faults word by word, and how many there are. */
export interface SeriesFaults {
  kept: SeriesFault[];
  total: number;
}

/** What was lost of a series. */
export interface SeriesGaps {
  samples: number;
  missing: number;
  /** Missing of all samples there should be. */
  gapShare: number;
  /** The first hundred gaps, seconds. */
  gaps: { from: number; to: number; missing: number }[];
  /** False when more than a tenth is missing, or there are fewer than two samples. */
  valid: boolean;
  /** Why not, in words. */
  why: string | undefined;
}

/** A point of a curve. */
export interface SeriesPoint {
  seconds: number;
  value: number;
}

/** Degrees. `change` is the end minus the start. */
export interface PlaneRange {
  least: number;
  most: number;
  range: number;
  change: number;
}

/** The motion of the head on the torso from the start pose. Degrees and seconds. */
export interface HeadMotion extends SeriesGaps {
  planes: SeriesFigure<Record<keyof Planes, PlaneRange>>;
  /** Largest helical angle from the start pose. */
  helical: SeriesFigure<{ degrees: number; seconds: number }>;
  /** Largest angle between any two samples. */
  excursion: SeriesFigure<{ degrees: number; seconds: [number, number] }>;
  /** Root of the summed squares of the three ranges: not a rotation, and no bound of one. */
  rss: SeriesFigure;
  /** The helical angle from the start pose, thinned so that no peak is lost. */
  curve: SeriesPoint[];
  /** The angle in each plane, thinned alike; no figure past the gimbal limit. */
  planeCurves: SeriesFigure<Record<keyof Planes, SeriesPoint[]>>;
  notes: string[];
}

/** Successes of a number. */
export interface Share {
  successes: number;
  of: number;
  share: number;
  /** 95 % Wilson limits. */
  limits: [number, number];
}

/** A stretch without compressions. */
export interface Pause {
  /** The compression before it, or the start of the span. */
  from: number;
  seconds: number;
}

/** What a manikin's compressions say. */
export interface CompressionFigures {
  n: number;
  runs: number;
  /** Per minute, inside runs. */
  rate: SeriesFigure;
  depth: SeriesFigure;
  depthInTarget: SeriesFigure<Share>;
  released: SeriesFigure<Share>;
  handCorrect: SeriesFigure<Share>;
  pauses: Pause[];
  longestPause: SeriesFigure;
  /** Share of the span without its pauses, 0..1. */
  fraction: SeriesFigure;
  span: [from: number, to: number];
}

/** What a manikin's breaths say. */
export interface VentilationFigures {
  n: number;
  success: SeriesFigure<Share>;
  volume: SeriesFigure;
  inspiration: SeriesFigure;
  /** Breaths a minute over the span. */
  rate: SeriesFigure;
  /** Seconds from the start of the span to the first breath that went in; no figure when none did. */
  firstSuccess: SeriesFigure;
}

/** A breath on a plot; `success` is undefined where nobody said whether it went in. */
export interface BreathMark {
  seconds: number;
  success: boolean | undefined;
}

/** What a motion file gives. */
export type MotionRead =
  /** `lost`: the places whose cell is blank, so that nobody has to guess which samples were counted as lost. */
  | { ok: true; rows: number; motion: HeadMotion; lost: SeriesFaults }
  | { ok: false; rows: number; faults: SeriesFaults };

/** What a manikin's file gives. */
export type ManikinRead =
  | {
      ok: true;
      rows: number;
      compressions: CompressionFigures;
      ventilations: VentilationFigures;
      /** The depth of each compression that has one, millimetres, thinned so that no peak is lost. */
      depths: SeriesPoint[];
      /** The first breaths, for a plot. */
      breaths: BreathMark[];
    }
  | { ok: false; rows: number; faults: SeriesFaults };

/** What a file gives: figures, or every fault by line and column. */
export type SeriesAnswer = MotionRead | ManikinRead;

/** A threshold as it may be shown: `published` decides whether it may stand as a fact beside its source. */
export interface ShownThreshold {
  published: boolean;
  text: string;
  /** Words that must stand with the text. */
  label: string;
}

/** A value that a series gives for a measure of the catalogue, in its unit, unrounded. */
export interface SeriesValue {
  measure: string;
  entry: ParsedEntry;
}

/** SR-3: what a file gives: its SHA-256, and the figures or (SR-4:) the faults, by line and column. */
export interface SeriesImport {
  /** Hexadecimal, of the bytes as they came. */
  hash: string;
  bytes: number;
  /** The program that read it. */
  software: string;
  read: SeriesAnswer;
  /** What the catalogue's measures get from it; none from a file with faults. */
  values: SeriesValue[];
  /** Thresholds of those measures that are published or the house's own, with what they rest on, by measure (ME-1). */
  thresholds: Record<string, ShownThreshold>;
}
