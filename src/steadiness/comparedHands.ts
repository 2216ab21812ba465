/** The hands that two compared rounds are held against. */

import type { ComparedRound } from './compare.ts';
import type { TravelStroke } from './evidence.ts';
import type { SpreadScale } from './spreadChange.ts';
import { PRIOR_SCALE } from './travel/scale.ts';
import { PRIOR_SLOPE, PRIOR_SLOPE_SD } from './travel/slope.ts';
import type { TravelHand } from './travelChange.ts';

/** A hand's scale, and how sure its slope on the level is. */
export type ComparedScale = SpreadScale & Pick<TravelHand, 'slopeError'>;

/** Without a hand spreads are shown against what is assumed of one before anything is heard. */
const COMMON_SCALE: ComparedScale = {
  scale: PRIOR_SCALE,
  logError: 0,
  slopePerDb: PRIOR_SLOPE,
  slopeError: PRIOR_SLOPE_SD,
  slipRate: 0.03,
};

type Hands = Pick<ComparedRound, 'hand'>;

/** Each round's own scale; the other's where it has none. */
export function scalesOf(before: Hands, after: Hands): readonly [ComparedScale, ComparedScale] {
  return [before.hand ?? after.hand ?? COMMON_SCALE, after.hand ?? before.hand ?? COMMON_SCALE];
}

/** Whether both rounds are held against one learned reference: its error is common to both. */
export function isOneScale(before: Hands, after: Hands): boolean {
  return before.hand?.reference === 'stored' && before.hand.scale === after.hand?.scale;
}

/** The hand for travel times of both rounds; without any, they are stated at the mean level of the strokes given. */
export function travelHandOf(before: Hands, after: Hands, strokes: readonly TravelStroke[]): TravelHand {
  const [first, second] = scalesOf(before, after);
  const level = strokes.reduce((sum, { levelDb }) => sum + levelDb, 0) / Math.max(1, strokes.length);
  return {
    scale: Math.max(first.scale, second.scale),
    slopePerDb: (first.slopePerDb + second.slopePerDb) / 2,
    slopeError: Math.max(first.slopeError, second.slopeError),
    referenceDb: before.hand?.referenceDb ?? after.hand?.referenceDb ?? level,
  };
}
