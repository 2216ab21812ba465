/**
 * A straight line through points of which a few may be far off: the median of all slopes between two points.
 *
 * Theil (1950) and Sen (1968, Journal of the American Statistical Association 63:1379); the interval from the variance of
 * Kendall's statistic without ties, n(n − 1)(2n + 5)/18. Formulas from memory; a test holds both to simulated points.
 */

export interface RobustLine {
  readonly slope: number;
  /** 90 % interval of the slope. */
  readonly interval: readonly [number, number];
  /** Height of the line at x = 0: the median of y − slope·x. */
  readonly intercept: number;
  readonly n: number;
}

const NORMAL_95 = 1.645;

/** The line; null with fewer than three different x. */
export function robustLine(points: readonly { readonly x: number; readonly y: number }[]): RobustLine | null {
  if (new Set(points.map(({ x }) => x)).size < 3) return null;
  const slopes: number[] = [];
  points.forEach((a, i) => {
    for (const b of points.slice(i + 1)) if (a.x !== b.x) slopes.push((b.y - a.y) / (b.x - a.x));
  });
  slopes.sort((a, b) => a - b);
  const n = points.length;
  const reach = NORMAL_95 * Math.sqrt((n * (n - 1) * (2 * n + 5)) / 18);
  const low = Math.max(0, Math.floor((slopes.length - reach) / 2) - 1);
  const high = Math.min(slopes.length - 1, Math.ceil((slopes.length + reach) / 2));
  const slope = middle(slopes);
  const rests = points.map(({ x, y }) => y - slope * x).sort((a, b) => a - b);
  return { slope, interval: [slopes[low], slopes[high]], intercept: middle(rests), n };
}

function middle(sorted: readonly number[]): number {
  return (sorted[(sorted.length - 1) >> 1] + sorted[sorted.length >> 1]) / 2;
}
