/** Autocovariance and autocorrelation of a series at lag one. */

import { mean } from './intervals.ts';

/**
 * Autocovariance at lag one about the series' mean, divided by n (as is usual for series: Box & Jenkins 1970, 2.1.5).
 * @throws RangeError below two values.
 */
export function lagOneCovariance(values: readonly number[]): number {
  if (values.length < 2) throw new RangeError('autocovariance of fewer than two values');
  const left = about(values);
  return left.reduce((sum, v, i) => sum + v * (left[i + 1] ?? 0), 0) / values.length;
}

/**
 * Autocorrelation at lag one: the covariance over the variance, both about the series' mean and divided by n; null
 * where all values are equal.
 * @throws RangeError below two values.
 */
export function lagOneCorrelation(values: readonly number[]): number | null {
  const covariance = lagOneCovariance(values);
  const variance = about(values).reduce((sum, v) => sum + v * v, 0) / values.length;
  return variance > 0 ? covariance / variance : null;
}

function about(values: readonly number[]): number[] {
  const centre = mean(values);
  return values.map((v) => v - centre);
}
