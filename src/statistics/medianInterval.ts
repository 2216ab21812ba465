/**
 * The median of values with the interval of its order statistics: asks nothing of their distribution.
 *
 * Source: Conover 1999, Practical Nonparametric Statistics, 3rd edition, section 3.2. Between the k-th smallest and the k-th greatest of n
 * values the median lies with probability 1 − 2·P(X ≤ k − 1), X of n fair tosses.
 */

import type { Estimate } from './intervals.ts';
import { median } from './order.ts';
import { binomialTail } from './tails.ts';

/** Fewest values whose extremes hold the median at 95 %. */
export const LEAST_FOR_MEDIAN = 6;

/**
 * The median and the narrowest symmetric order statistics that hold it with at least the coverage.
 * @throws RangeError where even the extremes hold it less surely: with fewer than six values at 95 %.
 */
export function medianEstimate(values: readonly number[], coverage = 0.95): Estimate {
  const n = values.length;
  const tail = (1 - coverage) / 2;
  // P(X ≤ k − 1) of fair tosses is P(X ≥ n − k + 1).
  const outside = (k: number): number => binomialTail(n - k + 1, n, 0.5);
  if (n === 0 || outside(1) > tail) throw new RangeError(`${n} values, too few for an interval of their median`);
  let k = 1;
  while (2 * (k + 1) <= n && outside(k + 1) <= tail) k++;
  const sorted = [...values].sort((a, b) => a - b);
  return { value: median(sorted), interval: [sorted[k - 1], sorted[n - k]] };
}
