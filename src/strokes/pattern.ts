/**
 * Whether strokes of one note are a take at all: a note asked for again and again, not one that a tune comes back to.
 *
 * A take has five strokes or more, and a beat: neighbouring intervals that hardly differ. A hand's differ by a few percent;
 * a tune's by halves and doubles, a bouncing tool's each by a third and more, a talker's at random.
 */

import type { Seconds } from '../units.ts';
import type { Stroke } from './types.ts';

/** Fewer strokes than this are no take. */
export const LEAST_STROKES = 5;
/** Neighbouring intervals are alike within this ratio: four standard deviations of a hand whose intervals scatter by 6 %. */
const ALIKE = 1.4;
/** So many neighbouring pairs must be alike: five strokes in an even row. */
const LEAST_PAIRS = 3;
/** So large a share of all pairs must be. */
const LEAST_SHARE = 0.3;
/** A longer pause is no interval. */
const LONGEST: Seconds = 4;

/** True where the sounded strokes have a take's number and beat. */
export function isPattern(strokes: readonly Pick<Stroke, 'kind' | 'timeSeconds'>[]): boolean {
  const times = strokes.filter(({ kind }) => kind === 'sounded').map(({ timeSeconds }) => timeSeconds);
  if (times.length < LEAST_STROKES) return false;
  let alike = 0;
  let pairs = 0;
  for (let i = 2; i < times.length; i++) {
    const [before, after] = [times[i - 1] - times[i - 2], times[i] - times[i - 1]];
    if (before > LONGEST || after > LONGEST) continue;
    pairs++;
    if (after < ALIKE * before && before < ALIKE * after) alike++;
  }
  return alike >= LEAST_PAIRS && alike >= LEAST_SHARE * pairs;
}
