/**
 * Estimates with their intervals. All intervals are two-sided and central.
 */

import { betaQuantile, chiSquareQuantile, studentQuantile } from './distributions.ts';

export interface Estimate {
  readonly value: number;
  readonly interval: readonly [number, number];
}

/** Mean of values. @throws RangeError without values. */
export function mean(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError('mean of no values');
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}

/** Standard deviation with `degrees` = n − 1 unless told, two passes. @throws RangeError below two values. */
export function standardDeviation(values: readonly number[], degrees = values.length - 1): number {
  if (values.length < 2) throw new RangeError('standard deviation of fewer than two values');
  const centre = mean(values);
  const sum = values.reduce((s, v) => s + (v - centre) ** 2, 0);
  const slack = values.reduce((s, v) => s + (v - centre), 0);
  return Math.sqrt((sum - slack ** 2 / values.length) / degrees);
}

/** A standard deviation that rests on `degrees` of freedom, with its chi-square interval (normal values). */
export function deviationEstimate(deviation: number, degrees: number, coverage = 0.9): Estimate {
  const tail = (1 - coverage) / 2;
  return {
    value: deviation,
    interval: [
      deviation * Math.sqrt(degrees / chiSquareQuantile(1 - tail, degrees)),
      deviation * Math.sqrt(degrees / chiSquareQuantile(tail, degrees)),
    ],
  };
}

/** Mean with Student's interval. @throws RangeError below two values. */
export function meanEstimate(values: readonly number[], coverage = 0.9): Estimate {
  const centre = mean(values);
  const half =
    (studentQuantile(1 - (1 - coverage) / 2, values.length - 1) * standardDeviation(values)) / Math.sqrt(values.length);
  return { value: centre, interval: [centre - half, centre + half] };
}

/**
 * A share of `count` in `n` with Jeffreys' interval: quantiles of Beta(count + ½, n − count + ½), the lower 0 at none
 * and the upper 1 at all (Brown, Cai & DasGupta 2001, Statistical Science 16:101, section 4.3).
 */
export function shareEstimate(count: number, n: number, coverage = 0.9): Estimate {
  const tail = (1 - coverage) / 2;
  return {
    value: n > 0 ? count / n : 0,
    interval: [
      count === 0 ? 0 : betaQuantile(tail, count + 0.5, n - count + 0.5),
      count === n ? 1 : betaQuantile(1 - tail, count + 0.5, n - count + 0.5),
    ],
  };
}

/** Residuals of equally weighted values about their least-squares straight line in the index. */
export function detrended(values: readonly number[]): number[] {
  const n = values.length;
  const middle = (n - 1) / 2;
  const centre = mean(values);
  let sxy = 0;
  let sxx = 0;
  values.forEach((v, i) => {
    sxy += (i - middle) * (v - centre);
    sxx += (i - middle) ** 2;
  });
  const slope = sxx > 0 ? sxy / sxx : 0;
  return values.map((v, i) => v - centre - slope * (i - middle));
}
