/**
 * Order statistics: the definitions used throughout.
 */

/**
 * Quantile `q` (0 to 1) of values, by linear interpolation between order statistics: Hyndman & Fan (1996) type 7.
 * @throws RangeError without values.
 */
export function quantile(values: ArrayLike<number>, q: number): number {
  if (values.length === 0) throw new RangeError('quantile of no values');
  const sorted = Float64Array.from(values).sort();
  const place = q * (sorted.length - 1);
  const below = Math.floor(place);
  const above = Math.min(sorted.length - 1, below + 1);
  return sorted[below] + (place - below) * (sorted[above] - sorted[below]);
}

/** Median: {@link quantile} one half. @throws RangeError without values. */
export function median(values: ArrayLike<number>): number {
  return quantile(values, 0.5);
}

/** Median absolute deviation about the median, times 1.4826: the standard deviation for normal values. */
export function medianDeviation(values: ArrayLike<number>): number {
  const centre = median(values);
  return 1.4826 * median(Float64Array.from(values, (v) => Math.abs(v - centre)));
}
