/**
 * A straight line that a quarter of bad values cannot carry off: for drift of tempo and fading of level in a series.
 *
 * Sources: Theil 1950, Proc. K. Ned. Akad. Wet. 53:386; Sen 1968, J. Am. Stat. Assoc. 63:1379 (limits of the slope
 * from Kendall's distribution, here the exact one).
 */

import { median } from './order.ts';

export interface RobustLine {
  /** Median of the slopes of all pairs, in units of y per unit of x. */
  readonly slope: number;
  /** Limits of the slope; infinite where so few points cannot reach the coverage. */
  readonly slopeInterval: readonly [number, number];
  /** Median of y − slope·x. */
  readonly intercept: number;
}

/**
 * The line of Theil and Sen, with limits whose coverage is at least `coverage` for independent errors of one
 * distribution, whatever it is. Meant for up to some hundreds of points: all pairs are formed.
 * @throws RangeError for fewer than two points, unequal lengths, or two points at one x.
 */
export function robustLine(x: readonly number[], y: readonly number[], coverage = 0.9): RobustLine {
  const n = x.length;
  if (n !== y.length) throw new RangeError(`${n} places and ${y.length} values`);
  if (n < 2) throw new RangeError(`${n} points, expected at least two`);
  const slopes = new Float64Array((n * (n - 1)) / 2);
  for (let i = 0, pair = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      if (x[i] === x[j]) throw new RangeError(`two points at ${x[i]}`);
      slopes[pair++] = (y[i] - y[j]) / (x[i] - x[j]);
    }
  }
  slopes.sort();
  const slope = median(slopes);
  const outside = slopesOutside(n, (1 - coverage) / 2);
  return {
    slope,
    slopeInterval: outside < 0 ? [-Infinity, Infinity] : [slopes[outside], slopes[slopes.length - 1 - outside]],
    intercept: median(y.map((v, i) => v - slope * x[i])),
  };
}

/**
 * The greatest c with P(K ≤ c) ≤ tail, K being the number of rising pairs among n points without slope; −1 for none.
 * The last of k points rises over 0 to k − 1 others, each as likely: the chances of K are running means.
 */
function slopesOutside(n: number, tail: number): number {
  let chances = Float64Array.of(1);
  for (let k = 2; k <= n; k++) {
    const next = new Float64Array(chances.length + k - 1);
    let running = 0;
    for (let i = 0; i < next.length; i++) {
      running += (chances[i] ?? 0) - (chances[i - k] ?? 0);
      next[i] = running / k;
    }
    chances = next;
  }
  let sum = 0;
  let c = -1;
  while (sum + chances[c + 1] <= tail) sum += chances[++c];
  return c;
}
