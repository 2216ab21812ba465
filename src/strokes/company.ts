/**
 * What comes with a stroke but is none: echoes of the room, and second contacts of the hammer.
 *
 * An echo stands at the same distance after every stroke, to a fraction of a millisecond; no hand does that. A double is
 * a second string contact 40 to 200 ms after a stroke, well before the next is due.
 */

import { median, quantile } from '../statistics/order.ts';
import type { Decibels, Seconds } from '../units.ts';

/** A place where the note's attack was found. */
export interface Place {
  readonly seconds: Seconds;
  readonly gain: Decibels;
  readonly match: number;
}

const ECHO_SPREAD: Seconds = 0.0004;
const ECHO_LONGEST: Seconds = 0.3;
/** An echo is at least so much fainter than its stroke. */
const ECHO_UNDER: Decibels = 6;
const ECHO_LEAST = 3;
/** Share of the strokes that must have it. */
const ECHO_SHARE = 0.25;

const DOUBLE_FROM: Seconds = 0.04;
const DOUBLE_TO: Seconds = 0.2;
const DOUBLE_SHARE = 0.6;
const USUAL_DELAY: Seconds = 0.1;
/** So much fainter than the stroke before, a contact in that place is no stroke of the hand. */
export const DOUBLE_UNDER: Decibels = 3;
/** So much fainter than a find just before, a find does not make the beat, where enough others do. */
const COMPANY_UNDER: Decibels = 10;
const LEAST_OWN = 4;
/** A match below this is not enough for a faint contact so near a loud one. */
const DOUBLE_MATCH = 0.5;

/** Drops echoes: faint finds that stand at one and the same distance after many of the strokes. */
export function withoutEchoes<P extends Place>(found: readonly P[]): P[] {
  const lags: { index: number; lag: Seconds }[] = [];
  found.forEach((place, index) => {
    for (let i = index - 1; i >= 0 && place.seconds - found[i].seconds <= ECHO_LONGEST; i--) {
      if (found[i].gain >= place.gain + ECHO_UNDER) lags.push({ index, lag: place.seconds - found[i].seconds });
    }
  });
  lags.sort((a, b) => a.lag - b.lag);
  const echoes = new Set<number>();
  for (let i = 0; i < lags.length; i++) {
    let j = i;
    while (j + 1 < lags.length && lags[j + 1].lag - lags[i].lag <= 2 * ECHO_SPREAD) j++;
    const members = new Set(lags.slice(i, j + 1).map(({ index }) => index));
    const strokes = found.length - members.size;
    if (members.size >= ECHO_LEAST && members.size >= ECHO_SHARE * strokes)
      for (const index of members) echoes.add(index);
  }
  return found.filter((_, index) => !echoes.has(index));
}

/**
 * Tells strokes from second contacts. A find is a double where it follows a louder one by 40 to 200 ms and by less than
 * 60 % of the beat there; where it is also a poor match it is dropped.
 */
export function tellDoubles<P extends Place>(found: readonly P[]): { place: P; double: boolean }[] {
  const result: { place: P; double: boolean }[] = [];
  found.forEach((place, i) => {
    const lag = lagOfLouder(found, i);
    const early = lag !== null && lag < DOUBLE_SHARE * beatAround(found, i);
    if (!early) result.push({ place, double: false });
    else if (place.match >= DOUBLE_MATCH) result.push({ place, double: true });
  });
  return result;
}

/**
 * The beat at find `i`, from the intervals around it, far fainter company left out: the lower quartile of those longer than any double's usual delay, so
 * that neither doubles nor missed beats nor a passage's edge set it; their median where nearly all are shorter.
 */
function beatAround(found: readonly Place[], i: number): Seconds {
  const near = found.slice(Math.max(0, i - 7), i + 8);
  const own = near.filter(
    ({ seconds, gain }) =>
      !near.some(
        (other) =>
          other.seconds < seconds && seconds - other.seconds <= USUAL_DELAY && other.gain > gain + COMPANY_UNDER,
      ),
  );
  const kept = own.length >= LEAST_OWN ? own : near;
  const intervals = kept.slice(1).map(({ seconds }, k) => seconds - kept[k].seconds);
  const long = intervals.filter((interval) => interval > USUAL_DELAY);
  return long.length * 2 >= intervals.length ? Math.min(1, quantile(long, 0.25)) : median(intervals);
}

/** Distance to the nearest louder find 40 to 200 ms before find `i`; `null` without one. */
function lagOfLouder(found: readonly Place[], i: number): Seconds | null {
  for (let k = i - 1; k >= 0 && found[i].seconds - found[k].seconds <= DOUBLE_TO; k--) {
    const lag = found[i].seconds - found[k].seconds;
    if (lag >= DOUBLE_FROM - 0.005 && found[k].gain > found[i].gain + DOUBLE_UNDER) return lag;
  }
  return null;
}
