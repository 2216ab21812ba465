/**
 * What each kind of evidence says of a note: the shapes that the judgement puts together.
 *
 * Two kinds decide (`unstable`): failing repeats with doubles, and the spread of the travel time. Everything else supports:
 * it can ask for a second look (`watch`), never decide.
 */

import type { MidiNote } from '../units.ts';
import type { Finding, Measure, ReferenceKind, RepeatPattern, ReturnGauge, Unused } from './kinds.ts';

/** Base rates of the hand and the piano together, shares of the strokes. */
export interface BaseRates {
  /** Below 7 strokes a second. */
  readonly steady: { readonly silent: number; readonly faint: number };
  /** From 7 strokes a second. */
  readonly quick: { readonly silent: number; readonly faint: number };
  readonly doubles: number;
  /** Notes they rest on. */
  readonly notes: number;
}

/** One note's repeats. */
export interface RepeatEvidence {
  /** Failures or doubles reach their limits at a look. */
  readonly decides: boolean;
  /** The look at which they did, from 1; null if none. */
  readonly decidedAt: number | null;
  /** Not decided, but a failure was heard or p ≤ 0.10: fresh strokes are wanted. */
  readonly open: boolean;
  /** So few failures that the note counts as repeating well. */
  readonly clear: boolean;
  /** More failures than a clear note has, too few to decide. */
  readonly doubtful: boolean;
  /** Probability, 0 to 1, that the note is of the failing class. */
  readonly probability: number;
  readonly pattern: RepeatPattern | null;
  readonly findings: readonly Finding[];
  readonly measures: readonly Measure[];
  /** Smallest failure rate found with 80 % power by the strokes played; null without. */
  readonly couldHaveShown: number | null;
  /** Fast strokes that would settle it; 0 where it is settled. */
  readonly fastNeeded: number;
  /** Quick repeats that count at the last look, and the failed ones among them. */
  readonly n: number;
  readonly failed: number;
}

export interface RepeatsEvidence {
  readonly base: BaseRates | null;
  readonly reference: ReferenceKind;
  readonly gauge: ReturnGauge;
  /** How many notes in order these rules call failing by chance. */
  readonly expectedFalse: number;
  readonly notes: ReadonlyMap<MidiNote, RepeatEvidence>;
}

/** One usable slow stroke. */
export interface TravelStroke {
  readonly midi: MidiNote;
  /** The look it belongs to, from 1. */
  readonly look: number;
  /** Natural logarithm of the travel time in seconds. */
  readonly logTravel: number;
  /** dB re full scale. */
  readonly levelDb: number;
  /** Index of its recording. */
  readonly source: number;
  /** Its place among all strokes of the round, for a drift. */
  readonly order: number;
  /** What came before. */
  readonly after: 'firm' | 'slow' | 'other';
  /** How strong it was itself. */
  readonly firm: boolean;
}

/** The hand: what the spread of a firm note is. */
export interface HandScale {
  /** Spread of ln travel time at equal level on firm notes. */
  readonly scale: number;
  /** Standard error of its logarithm. */
  readonly logError: number;
  /** Change of ln travel time per dB. */
  readonly slopePerDb: number;
  readonly slopeError: number;
  /** Share of strokes that went astray. */
  readonly slipRate: number;
  /** Level at which travel times are stated, dB re full scale, and the typical travel time there, seconds. */
  readonly referenceDb: number;
  readonly referenceTravel: number;
  readonly reference: ReferenceKind;
  readonly notes: number;
  /** Share of the notes taken for firm. */
  readonly firmShare: number;
}

/** One note's travel times. */
export interface TravelEvidence {
  readonly n: number;
  readonly unused: Readonly<Partial<Record<Unused, number>>>;
  readonly decides: boolean;
  readonly decidedAt: number | null;
  readonly open: boolean;
  readonly steady: boolean;
  /** One-sided, of the winsorised spread; null below four strokes. */
  readonly p: number | null;
  /** Probability that the spread is well over the firm scale. */
  readonly probability: number;
  readonly findings: readonly Finding[];
  readonly measures: readonly Measure[];
  /** Centre of ln travel time at the reference level, its standard error; null without usable strokes. */
  readonly centre: number | null;
  readonly centreError: number | null;
  /** Mean level of the usable strokes, dB re full scale; null without. */
  readonly meanLevelDb: number | null;
  /** Residuals about the centre, ln travel time, in order of play. */
  readonly residuals: readonly number[];
  /** Smallest ratio of spreads found with 80 % power by the strokes played; null below four. */
  readonly couldHaveShown: number | null;
  /** Slow strokes to play that would probably settle it; 0 where it is settled, null where no reasonable number would. */
  readonly slowNeeded: number | null;
}

/** What supports a doubt about a note, and never decides. */
export interface SupportEvidence {
  /** p ≤ 0.01, or its own rule: worth a second look. */
  readonly watch: boolean;
  /** Probability of so much on a note in order, one-sided (a shift and a contrast: two-sided); null where the rule has none. */
  readonly p: number | null;
  readonly findings: readonly Finding[];
  readonly measures: readonly Measure[];
  /** Smallest size found with 80 % power, in the measure's own unit; null where none is stated. */
  readonly couldHaveShown: number | null;
}
