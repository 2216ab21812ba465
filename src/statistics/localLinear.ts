/**
 * Robust local-linear regression on unevenly placed points: the value a smooth curve through the neighbours would have.
 *
 * At each place a straight line is fitted to the points within the half-window, with tricube weights by distance and,
 * in four further rounds, bisquare weights by residual (cut at six median absolute residuals). Near an end of the
 * points the window is shifted inward, so that it keeps its width and about as many points. The rounds run within each
 * window and not over the whole curve, so that a value predicted without its own point does not depend on that point
 * in any way.
 *
 * Sources: Cleveland 1979, J. Am. Stat. Assoc. 74:829; the window, four rounds and the leave-one-out use: simulation
 * study of the statistics.
 */

import { median } from './order.ts';

export interface CurvePoint {
  readonly x: number;
  readonly y: number;
  /** Standard error of y; the prior weight is 1/se². All points or none should have it; 1 where it is absent. */
  readonly se?: number;
}

export interface LocalPrediction {
  readonly value: number;
  /** Standard error of the value alone, unitError · scale; the scatter of a new point is not in it. */
  readonly standardError: number;
  /**
   * Standard error of the value where the stated errors (1 where none are) are the points' whole scatter: for a
   * caller who knows the scatter, or has one scale for the whole curve.
   */
  readonly unitError: number;
  /**
   * 1.4826 times the median absolute residual of the neighbours, with (n/(n − 2))^½ for the two fitted constants: in
   * units of y without prior weights; with them, a factor on the stated errors. With one neighbour in ten far off it
   * is a fifth too large, with one in three about twice (measured by simulation): then bad points hide one another,
   * and a scale known beforehand should take its place.
   */
  readonly scale: number;
  /** Points within the window that had a weight by distance. */
  readonly neighbours: number;
}

export interface LocalLinearOptions {
  /** Reach of the window to either side, in units of x. */
  readonly halfWindow: number;
  /** Rounds of bisquare weights; 4 unless told. */
  readonly rounds?: number;
  /** Fewest points in the window for a value; 4 unless told, at least 3. */
  readonly fewest?: number;
}

/** For each point the value predicted from the others alone; null where too few lie near. @throws RangeError as {@link localLinearAt}. */
export function predictedByNeighbours(
  points: readonly CurvePoint[],
  options: LocalLinearOptions,
): (LocalPrediction | null)[] {
  return points.map((point, i) => localLinearAt(points.toSpliced(i, 1), point.x, options));
}

/**
 * The curve's value at `x`, which need not be the place of a point; null where fewer than `fewest` points, or all at
 * one place, lie in the window.
 * @throws RangeError where a number is not finite, a standard error not above 0, or the half-window not above 0.
 */
export function localLinearAt(
  points: readonly CurvePoint[],
  x: number,
  options: LocalLinearOptions,
): LocalPrediction | null {
  const { halfWindow, rounds = 4, fewest = 4 } = options;
  if (!(halfWindow > 0)) throw new RangeError(`half-window ${halfWindow}, expected above 0`);
  for (const { x: px, y, se = 1 } of points)
    if (!Number.isFinite(px) || !Number.isFinite(y) || !(se > 0 && se < Infinity))
      throw new RangeError(
        `point (${px}, ${y}) with standard error ${se}, expected finite numbers and an error above 0`,
      );
  const reach = reachAt(points, x, halfWindow);
  const near = points.filter((p) => Math.abs(p.x - x) < reach);
  if (near.length < Math.max(3, fewest)) return null;

  const prior = near.map(({ se = 1 }) => 1 / (se * se));
  const base = near.map((p, i) => prior[i] * (1 - (Math.abs(p.x - x) / reach) ** 3) ** 3);
  // Below this, residuals are rounding.
  const floor = 1e-12 * Math.max(...near.map((p, i) => Math.abs(p.y) * Math.sqrt(prior[i])));
  let weights = base;
  let line = lineAt(near, x, weights, reach);
  let typical = 0;
  for (let round = 0; line; round++) {
    const { value, slope } = line;
    const residuals = near.map((p, i) => Math.abs(p.y - value - slope * (p.x - x)) * Math.sqrt(prior[i]));
    typical = median(residuals);
    const cut = 6 * Math.max(typical, floor);
    if (round === rounds || cut === 0) break;
    weights = base.map((w, i) => (residuals[i] < cut ? w * (1 - (residuals[i] / cut) ** 2) ** 2 : 0));
    line = lineAt(near, x, weights, reach);
  }
  if (!line) return null;
  const scale = 1.4826 * typical * Math.sqrt(near.length / (near.length - 2));
  const unitError = Math.sqrt(line.shares.reduce((sum, l, i) => sum + (l * l) / prior[i], 0));
  return { value: line.value, standardError: unitError * scale, unitError, scale, neighbours: near.length };
}

/** The farther side of a window that is 2·halfWindow wide and shifted inward where it would stand past the points. */
function reachAt(points: readonly CurvePoint[], x: number, halfWindow: number): number {
  const least = Math.min(...points.map((p) => p.x));
  const most = Math.max(...points.map((p) => p.x));
  const past = Math.max(0, least - (x - halfWindow), x + halfWindow - most);
  return Math.min(halfWindow + past, Math.max(halfWindow, x - least, most - x));
}

/** Weighted straight line, taken at x, with each point's share in that value; null where the points fix no line. */
function lineAt(
  points: readonly CurvePoint[],
  x: number,
  weights: readonly number[],
  reach: number,
): { value: number; slope: number; shares: number[] } | null {
  const total = weights.reduce((sum, w) => sum + w, 0);
  const centre = weights.reduce((sum, w, i) => sum + w * points[i].x, 0) / total;
  const spread = weights.reduce((sum, w, i) => sum + w * (points[i].x - centre) ** 2, 0);
  if (!(spread > 1e-9 * total * reach * reach)) return null;
  const shares = weights.map((w, i) => w / total + ((x - centre) * w * (points[i].x - centre)) / spread);
  const slope = weights.reduce((sum, w, i) => sum + (w * (points[i].x - centre) * points[i].y) / spread, 0);
  return { value: shares.reduce((sum, l, i) => sum + l * points[i].y, 0), slope, shares };
}
