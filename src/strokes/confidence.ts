/**
 * How surely a stroke of its kind happened, as a probability.
 *
 * Logistic in how far the stroke's match stood over what matches by chance. The constants are fitted on practice
 * recordings of the training variant, and held against the judging variant and spliced real tones by the meter.
 */

import type { Decibels } from '../units.ts';
import { SILENT_UNDER } from './force.ts';

/** A stroke found by its attack alone: its match over the threshold of the take. */
export function sureOfStroke(overThreshold: number): number {
  return logistic((overThreshold + 0.03) / 0.035);
}

/** A re-strike found under another stroke's tone at a beat where one was due. */
export function sureOfWeak(contrast: number): number {
  return logistic((contrast - 1.5) / 0.5);
}

/** A second contact found under a stroke's tone. */
export function sureOfDouble(contrast: number): number {
  return logistic((contrast - 2.2) / 0.5);
}

/** A beat at which no string spoke; `contrast` of the best place near it, `null` where none could be looked at. */
export function sureOfSilence(contrast: number | null): number {
  return contrast === null ? NOT_LOOKED : Math.min(MOST_SILENT, logistic((1.5 - contrast) / 0.35));
}

/** Share of a stroke's probability that its kind keeps, its level being what it is: near 16 dB under either may be true. */
export function sureOfKind(relativeDb: Decibels | null, faint: boolean): number {
  if (relativeDb === null) return 1;
  return logistic(((faint ? -1 : 1) * (relativeDb + SILENT_UNDER)) / LEVEL_ERROR);
}

/** Where nothing could be looked at, an empty beat may be a pause, or a stroke that was lost. */
const NOT_LOOKED = 0.6;
/** A beat may be missed by the hand as well. */
const MOST_SILENT = 0.97;
const MOST = 0.995;
/** Spread of the levels' error over ringing, as a logistic scale (SD about 2 dB). */
const LEVEL_ERROR: Decibels = 1.1;

function logistic(x: number): number {
  return Math.min(MOST, Math.max(1 - MOST, 1 / (1 + Math.exp(-x))));
}
