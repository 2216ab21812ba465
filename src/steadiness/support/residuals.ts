/**
 * Travel times at equal level, and what the supporting rules share.
 *
 * Conventions: residuals are of ln travel time (seconds) after the hand's slope on level, stated at the hand's reference
 * level: r = ln t − slope · (L − L_ref). A share of 0.04 of ln is called 4 %.
 */

import { median } from '../../statistics/order.ts';
import { binomialTail, normalCdf } from '../../statistics/tails.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, SupportEvidence, TravelStroke } from '../evidence.ts';

/** Of 90 % intervals, two-sided, normal. */
export const NINETY = 1.6448536269514722;
/** What 80 % power adds to a limit, in standard errors, normal. */
export const EIGHTY_POWER = 0.8416212335729143;

/** ln travel time of a stroke at the hand's reference level. */
export function atReference(stroke: TravelStroke, hand: HandScale): number {
  return stroke.logTravel - hand.slopePerDb * (stroke.levelDb - hand.referenceDb);
}

/** Strokes by note, from bass to treble, in the order given. */
export function strokesByNote<S extends { readonly midi: MidiNote }>(strokes: readonly S[]): Map<MidiNote, S[]> {
  const found = new Map<MidiNote, S[]>();
  for (const stroke of strokes) {
    const list = found.get(stroke.midi);
    if (list) list.push(stroke);
    else found.set(stroke.midi, [stroke]);
  }
  return new Map([...found.entries()].sort(([a], [b]) => a - b));
}

/**
 * Robust centre: median, then three steps of the mean of values held within ±2 scales (a Huber estimate at known scale).
 * @throws RangeError without values.
 */
export function heldCentre(values: readonly number[], scale: number): number {
  let centre = median(values);
  for (let step = 0; step < 3; step++) {
    const from = centre;
    centre += values.reduce((sum, v) => sum + Math.max(-2 * scale, Math.min(2 * scale, v - from)), 0) / values.length;
  }
  return centre;
}

/** Two-sided probability of a standard normal value so far from 0. */
export function twoSided(z: number): number {
  return 2 * normalCdf(-Math.abs(z));
}

/** Smallest rate at which `n` strokes reach `count` in 80 of 100 cases; null where they cannot. */
export function rateFound(count: number, n: number): number | null {
  if (count > n) return null;
  let low = 0;
  let high = 1;
  for (let step = 0; step < 50; step++) {
    const middle = (low + high) / 2;
    if (binomialTail(count, n, middle) < 0.8) low = middle;
    else high = middle;
  }
  return high;
}

/** Evidence that says nothing. */
export const NO_EVIDENCE: SupportEvidence = { watch: false, p: null, findings: [], measures: [], couldHaveShown: null };
