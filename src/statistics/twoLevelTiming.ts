/**
 * The two-level model of an even pulse: a timer sets each interval, and every stroke is late by a delay of its own, so
 * that a late stroke lengthens one interval and shortens the next.
 *
 * Variance of an interval = timer² + 2·motor²; autocovariance at lag one = −motor²; so the autocorrelation lies from
 * −½ (all motor) to 0 (all timer). Source: Wing & Kristofferson 1973, Perception & Psychophysics 14:5.
 *
 * For a struck note the motor part holds the finger's and the action's delay together.
 */

import { lagOneCovariance } from './autocorrelation.ts';
import { mean } from './intervals.ts';

export interface TwoLevelTiming {
  /** Standard deviation of the timer, in the intervals' unit. */
  readonly timer: number;
  /** Standard deviation of one stroke's own delay, in the same unit. */
  readonly motor: number;
}

/**
 * Timer and motor deviation from the intervals of one run without gaps or drift (take a straight line out first).
 * A variance that comes out negative is none; the other part then takes what the interval's variance leaves it. Rough
 * from fewer than about 20 intervals: the autocovariance about the run's own mean is low by about variance/n.
 * @throws RangeError below three intervals.
 */
export function twoLevelTiming(intervals: readonly number[]): TwoLevelTiming {
  if (intervals.length < 3) throw new RangeError(`${intervals.length} intervals, expected at least three`);
  const centre = mean(intervals);
  const variance = intervals.reduce((sum, v) => sum + (v - centre) ** 2, 0) / intervals.length;
  const motor = Math.min(variance / 2, Math.max(0, -lagOneCovariance(intervals)));
  return { timer: Math.sqrt(Math.max(0, variance - 2 * motor)), motor: Math.sqrt(motor) };
}

/** Standard deviation and lag-one autocorrelation of the intervals that the model implies. */
export function twoLevelIntervals({ timer, motor }: TwoLevelTiming): { deviation: number; correlation: number } {
  const variance = timer ** 2 + 2 * motor ** 2;
  return { deviation: Math.sqrt(variance), correlation: variance > 0 ? -(motor ** 2) / variance : 0 };
}
