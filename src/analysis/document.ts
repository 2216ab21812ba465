/**
 * The analysis document: what `evenfall analyse --json` writes and every screen reads.
 *
 * Its JSON Schema stands beside it in `analysis.schema.json`; a test holds the two together. Fields may be added,
 * never renamed. `analysisVersion` changes whenever any number that it holds may come out differently.
 */

import type { Stroke, Take } from '../strokes/types.ts';
import type { Hertz, MidiNote, Seconds } from '../units.ts';

export const ANALYSIS_SCHEMA = 'evenfall.analysis/1';
export const ERROR_SCHEMA = 'evenfall.error/1';
/** Semantic version of the numeric behaviour. */
export const ANALYSIS_VERSION = '0.2.0';

export const WARNING_CODES = [
  'clipping',
  'no-strokes',
  'silence',
  'noisy',
  'hum',
  'narrow-band',
  'gaps',
  'channels-mixed',
  'channel-chosen',
  'short-note',
  'offset',
  'unnamed-strokes',
  'lossy',
  'speech',
  'other-instrument',
  'knocks',
  'chord',
] as const;
export type WarningCode = (typeof WARNING_CODES)[number];

export interface Warning {
  readonly code: WarningCode;
  /** One sentence for a person: what was found and what to do. */
  readonly message: string;
}

export interface Source {
  readonly file: string;
  readonly sampleRate: Hertz;
  readonly channels: number;
  readonly durationSeconds: Seconds;
}

/** The closed list of measures. */
export const MEASURE_KINDS = [
  'fast-unevenness',
  'slow-unevenness',
  'fast-level-spread',
  'slow-level-spread',
  'failed-repeats',
  'rate',
  'level',
  'onset-error',
  'contacts-heard',
  'travel-time',
] as const;
export type MeasureKind = (typeof MEASURE_KINDS)[number];

export const UNITS = ['percent', 'dB', 'share', 'per-second', 'ms', 'mm'] as const;
export type MeasureUnit = (typeof UNITS)[number];

export interface Measure {
  readonly kind: MeasureKind;
  readonly value: number;
  readonly unit: MeasureUnit;
  /** 90 % interval. */
  readonly interval: readonly [number, number];
  /** Number of strokes or intervals it rests on. */
  readonly n: number;
}

/** The closed list of findings. */
export const FINDING_KINDS = [
  'wandering-rest',
  'missed-repeats',
  'weak-repeats',
  'silent-when-gentle',
  'weak-when-hard',
  'double-strikes',
  'jammed',
  'fading-repeats',
  'uneven-repeats',
  'early-or-late',
] as const;
export type FindingKind = (typeof FINDING_KINDS)[number];

export interface Finding {
  readonly kind: FindingKind;
  readonly size: number;
  readonly unit: MeasureUnit;
  readonly interval: readonly [number, number];
  readonly n: number;
}

export const VERDICTS = ['steady', 'watch', 'unstable', 'insufficient'] as const;
export type Verdict = (typeof VERDICTS)[number];

export interface NoteResult {
  readonly midi: MidiNote;
  readonly name: string;
  readonly verdict: Verdict;
  /** 0 to 1, comparable within one document: how soon to look at this note. */
  readonly score: number;
  readonly measures: readonly Measure[];
  readonly couldHaveShown: {
    readonly spreadPercent: number | null;
    readonly shiftPercent: number | null;
    readonly failureRate: number | null;
    readonly modelMillimetres: number | null;
  };
  readonly findings: readonly Finding[];
}

export interface Bar {
  readonly group: number;
  readonly midis: readonly MidiNote[];
  readonly differencesSeconds: readonly Seconds[];
  readonly secondDifferenceSeconds: Seconds | null;
  readonly refused: 'slip-likely' | null;
}

export interface Hand {
  readonly scalePercent: number | null;
  readonly slopePerDb: number | null;
  readonly slipRate: number | null;
  readonly baseFailureRate: number | null;
  readonly reference: 'this-round' | 'stored' | 'none';
  readonly notes: number;
}

export interface AnalysisDocument {
  readonly schema: typeof ANALYSIS_SCHEMA;
  readonly analysisVersion: string;
  readonly source: Source;
  readonly warnings: readonly Warning[];
  readonly hand: Hand;
  readonly expectedFalseUnstable: number | null;
  readonly takes: readonly Take[];
  readonly strokes: readonly Stroke[];
  readonly bars: readonly Bar[];
  readonly notes: readonly NoteResult[];
}

/** One part of a pooled document, with the index of its recording in `sources`. */
export type Pooled<Part> = Part & { readonly source: number };

/**
 * Several recordings as one round: the document of one, with `sources` in place of `source`. Takes, and the groups of bars,
 * are numbered through; times stay those of each recording. Strokes are ordered by recording, then in time.
 */
export interface PooledDocument extends Omit<AnalysisDocument, 'source' | 'warnings' | 'takes' | 'strokes' | 'bars'> {
  /** In the order given; a recording that could not be read keeps its place as an error, and nothing refers to it. */
  readonly sources: readonly (Source | ErrorDocument)[];
  readonly warnings: readonly Pooled<Warning>[];
  readonly takes: readonly Pooled<Take>[];
  readonly strokes: readonly Pooled<Stroke>[];
  readonly bars: readonly Pooled<Bar>[];
}

/** What stands in the place of a file that could not be read. */
export interface ErrorDocument {
  readonly schema: typeof ERROR_SCHEMA;
  readonly file: string;
  readonly code: string;
  readonly message: string;
}
