/**
 * Distributions of errors, in which a failure keeps its place.
 *
 * Conventions: a value that could not be had is `Infinity`: it counts in n and pushes the quantiles up, it is never
 * left out. Quantiles are Hyndman & Fan's definition 7 (The American Statistician 50:361, 1996) with `Infinity` as
 * the largest value; the robust SD is 1.4826·MAD about the median, MAD unscaled.
 */

/** Summary of a list of signed errors or of magnitudes, in the unit of the list. */
export interface Distribution {
  readonly n: number;
  /** How many of the n were infinite: failures. */
  readonly failures: number;
  readonly median: number;
  readonly p90: number;
  readonly p95: number;
  readonly worst: number;
  /** 1.4826 · median |x - median|. */
  readonly robustSd: number;
}

/** Makes MAD consistent for the SD of a normal distribution: 1/Φ⁻¹(3/4). */
const MAD_TO_SD = 1.4826;

/**
 * Quantile of a list, definition 7, `Infinity` allowed: unlike that of `statistics/order.ts`, which would make NaN of it.
 * @param values any order, not empty, no NaN.
 * @param share 0 to 1.
 * @throws RangeError if the list is empty, holds NaN, or the share is outside 0..1.
 */
export function quantile(values: readonly number[], share: number): number {
  if (!(share >= 0 && share <= 1)) throw new RangeError(`quantile at ${share}; expected a share from 0 to 1`);
  if (values.length === 0) throw new RangeError('quantile of an empty list; expected at least one value');
  const bad = values.findIndex(Number.isNaN);
  if (bad >= 0) throw new RangeError(`value ${bad} is NaN; expected numbers, Infinity for what failed`);
  return sortedQuantile(Float64Array.from(values).sort(), share);
}

/** Median: the quantile at one half. */
export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/**
 * Summary of a list in which `Infinity` stands for a failure.
 * @throws RangeError if the list is empty or holds NaN.
 */
export function distribution(values: readonly number[]): Distribution {
  const middle = median(values);
  const sorted = Float64Array.from(values).sort();
  const deviations = values.map((value) => (value === Infinity ? Infinity : Math.abs(value - middle)));
  return {
    n: values.length,
    failures: values.filter((value) => value === Infinity).length,
    median: middle,
    p90: sortedQuantile(sorted, 0.9),
    p95: sortedQuantile(sorted, 0.95),
    worst: sorted[sorted.length - 1],
    robustSd: middle === Infinity ? Infinity : MAD_TO_SD * median(deviations),
  };
}

function sortedQuantile(sorted: Float64Array, share: number): number {
  const place = share * (sorted.length - 1);
  const below = Math.floor(place);
  const part = place - below;
  if (part === 0) return sorted[below];
  const [low, high] = [sorted[below], sorted[below + 1]];
  return low === high ? low : low + part * (high - low);
}
