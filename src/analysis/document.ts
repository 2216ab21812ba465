/**
 * The analysis document: what `evenfall analyse --json` writes and every screen reads.
 *
 * Its JSON Schema stands beside it in `analysis.schema.json`; a test holds the two together. Fields may be added,
 * never renamed. `analysisVersion` changes whenever any number that it holds may come out differently.
 */

import type { BaseRates } from '../steadiness/evidence.ts';
import {
  ADVICE_CODES,
  FINDING_KINDS,
  MEASURE_KINDS,
  UNITS,
  VERDICTS,
  type AdviceCode,
  type Finding,
  type FindingKind,
  type Measure,
  type MeasureKind,
  type MeasureUnit,
  type ReferenceKind,
  type RepeatPattern,
  type ReturnGauge,
  type Unused,
  type Verdict,
} from '../steadiness/kinds.ts';
import type { NoteWords } from '../steadiness/words.ts';
import type { Stroke, Take } from '../strokes/types.ts';
import type { Hertz, MidiNote, Seconds } from '../units.ts';

export const ANALYSIS_SCHEMA = 'evenfall.analysis/1';
export const ERROR_SCHEMA = 'evenfall.error/1';
/** Semantic version of the numeric behaviour. */
export const ANALYSIS_VERSION = '0.4.0';

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

export { ADVICE_CODES, FINDING_KINDS, MEASURE_KINDS, UNITS, VERDICTS };
export type { AdviceCode, Finding, FindingKind, Measure, MeasureKind, MeasureUnit, Verdict };

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
  /** Looks that its strokes make: the first pattern, then each return with fresh strokes. */
  readonly looks: number;
  /** How its failed repeats lie; null where too few failed. */
  readonly pattern: RepeatPattern | null;
  /** Strokes that would probably settle it; null where it is settled, or cannot be in reasonable time. */
  readonly strokesNeeded: { readonly slow: number; readonly fast: number } | null;
  /** Why slow strokes were not used for their travel time, counted. */
  readonly unused: Readonly<Partial<Record<Unused, number>>>;
  /** In words: what it feels like, on what that rests, what to look at, what to mind. */
  readonly words: NoteWords;
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
  readonly reference: ReferenceKind;
  readonly notes: number;
  /** The scale as time, ms, at the usual loudness of this round's slow strokes. */
  readonly scaleMs: number | null;
  /** Standard error of the scale's natural logarithm, and of the slope, per dB. */
  readonly scaleLogError: number | null;
  readonly slopeError: number | null;
  /** Loudness at which travel times are compared, dB re full scale. */
  readonly referenceDb: number | null;
  /** Where the base rates of the repeats come from, and the rates; null without. */
  readonly repeatsReference: ReferenceKind;
  readonly baseRates: BaseRates | null;
  /** How far the keys were let up over the whole piano. */
  readonly returns: ReturnGauge;
}

export interface Advice {
  readonly code: AdviceCode;
  /** One sentence for a person: what was found and what to do. */
  readonly message: string;
}

export interface AnalysisDocument {
  readonly schema: typeof ANALYSIS_SCHEMA;
  readonly analysisVersion: string;
  readonly source: Source;
  readonly warnings: readonly Warning[];
  readonly hand: Hand;
  readonly expectedFalseUnstable: number | null;
  readonly advice: readonly Advice[];
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
