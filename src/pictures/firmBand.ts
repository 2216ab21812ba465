/**
 * Where the strokes of a firm note stay: around the note's own middle, loudness taken out with the piano's slope, 1.96 of the
 * hand's firm scales either way (19 in 20 of a normal scatter; common practice, no source).
 */

import type { Hand } from '../analysis/document.ts';

/** What of the hand a picture needs. With the reference `none` its scale is the note's own scatter, which tells of no firm note. */
export type FirmHand = Pick<Hand, 'scalePercent' | 'slopePerDb' | 'referenceDb' | 'reference'>;

/** Milliseconds at a level, dB re full scale. */
export interface FirmBand {
  readonly middleMs: (levelDb: number) => number;
  readonly lowMs: (levelDb: number) => number;
  readonly highMs: (levelDb: number) => number;
}

const NINETEEN_IN_TWENTY = 1.96;
/** Fewer strokes have no middle of their own. */
const LEAST_STROKES = 5;

/**
 * The band around these strokes' own middle (median); null without a known hand or with fewer than five strokes.
 * @param points travel times, ms (positive), and levels, dB re full scale.
 */
export function firmBand(
  points: readonly { readonly levelDb: number; readonly ms: number }[],
  hand: FirmHand | null,
): FirmBand | null {
  if (hand === null || hand.reference === 'none' || hand.scalePercent === null || hand.slopePerDb === null) return null;
  if (points.length < LEAST_STROKES) return null;
  const slope = hand.slopePerDb;
  const rests = points.map(({ levelDb, ms }) => Math.log(ms) - slope * levelDb).sort((a, b) => a - b);
  const middle = (rests[(rests.length - 1) >> 1] + rests[rests.length >> 1]) / 2;
  const reach = (NINETEEN_IN_TWENTY * hand.scalePercent) / 100;
  const at = (levelDb: number, off: number): number => Math.exp(middle + slope * levelDb + off);
  return {
    middleMs: (levelDb) => at(levelDb, 0),
    lowMs: (levelDb) => at(levelDb, -reach),
    highMs: (levelDb) => at(levelDb, reach),
  };
}
