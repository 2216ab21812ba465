/**
 * The closed lists of what a note can be found to be, and the shape of every number that says so.
 *
 * The analysis document repeats them as its contract. Kinds may be added, never renamed.
 */

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
  'travel-at-level',
  'travel-spread',
  'spread-ratio',
  'travel-shift',
  'after-firm',
  'firm-against-slow',
  'silent-repeats',
  'weak-repeats',
  'after-damped',
  'double-strikes',
  'silent-when-gentle',
  'double-when-gentle',
  'weak-when-hard',
  'level-drop',
  'fading',
] as const;
export type MeasureKind = (typeof MEASURE_KINDS)[number];

export const UNITS = ['percent', 'dB', 'share', 'per-second', 'ms', 'mm', 'ratio'] as const;
export type MeasureUnit = (typeof UNITS)[number];

/** A number of a note, its 90 % interval, and how many strokes or intervals it rests on. */
export interface Measure {
  readonly kind: MeasureKind;
  readonly value: number;
  readonly unit: MeasureUnit;
  readonly interval: readonly [number, number];
  readonly n: number;
}

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

/** What is off, in measured terms, with its 90 % interval and its count. */
export interface Finding {
  readonly kind: FindingKind;
  readonly size: number;
  readonly unit: MeasureUnit;
  readonly interval: readonly [number, number];
  readonly n: number;
}

export const VERDICTS = ['steady', 'watch', 'unstable', 'insufficient'] as const;
export type Verdict = (typeof VERDICTS)[number];

/** How the failures of a note's quick repeats lie: see repeats. Closed list. */
export const REPEAT_PATTERNS = ['scattered', 'every-second', 'until-return', 'lone', 'rate', 'after-damped'] as const;
export type RepeatPattern = (typeof REPEAT_PATTERNS)[number];

/** Where a base line comes from: this round's notes, a stored reference, or nowhere. */
export const REFERENCES = ['this-round', 'stored', 'none'] as const;
export type ReferenceKind = (typeof REFERENCES)[number];

/** How far the hand let the keys up over the whole piano. Closed list. */
export const RETURNS = ['right', 'let-up-more', 'let-up-less', 'unknown'] as const;
export type ReturnGauge = (typeof RETURNS)[number];

/** Why a slow stroke is not used for its travel time. Closed list. */
export const UNUSED = [
  'silent',
  'no-contact',
  'two-contacts',
  'contact-unsure',
  'too-soon',
  'travel-out-of-range',
  'level-out-of-range',
  'other-touch',
  'gentle',
] as const;
export type Unused = (typeof UNUSED)[number];

/** What the player should know of the round as a whole. Closed list. */
export const ADVICE_CODES = [
  'few-notes',
  'no-firm-reference',
  'other-hand',
  'let-up-more',
  'let-up-less',
  'mixed-touch',
  'drift',
  'slips',
  'soft-contacts-missing',
] as const;
export type AdviceCode = (typeof ADVICE_CODES)[number];
