/**
 * Whether two coarse strokes are strokes of one key, from the waves themselves.
 *
 * Two attacks of one key correlate at 0.9 and more over a few decibels (study of recorded grands: neighbouring layers
 * 0.98, far ones 0.86), attacks of different keys hardly: their partials drift apart within a few periods. The plain
 * wave with fixed pre-emphasis at about 12 kHz is enough to tell who belongs together; it does not time anything.
 */

import type { Seconds } from '../units.ts';
import { largestBetween, matchEverywhere } from './matching.ts';
import type { Layer } from './pyramid.ts';

const EMPHASIS = 0.9;
const LENGTH: Seconds = 0.045;
const EARLIER: Seconds = 0.004;
const SEARCH: Seconds = 0.022;

/** The emphasised wave about a coarse stroke, wide enough to be searched for another's. */
export interface AttackPiece {
  readonly wide: Float32Array;
  readonly core: Float32Array;
}

/** Cuts the piece about `seconds` out of a layer of about 12 kHz. */
export function attackPiece({ samples, rate }: Layer, seconds: Seconds): AttackPiece {
  const search = Math.round(SEARCH * rate);
  const length = Math.round((LENGTH + EARLIER) * rate);
  const start = Math.round((seconds - EARLIER) * rate) - search;
  const wide = new Float32Array(length + 2 * search);
  for (let i = 0; i < wide.length; i++) {
    wide[i] = (samples[start + i] ?? 0) - EMPHASIS * (samples[start + i - 1] ?? 0);
  }
  return { wide, core: wide.subarray(search, search + length) };
}

/** Largest correlation of one's core with the other's wave, ±22 ms: 1 for the same wave, near 0 for strangers. */
export function likeness(a: AttackPiece, b: AttackPiece): number {
  const { rho } = matchEverywhere(b.wide, a.core as Float32Array);
  const at = largestBetween(rho, 0, rho.length);
  return at < 0 ? 0 : rho[at];
}
