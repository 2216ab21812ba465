/**
 * Whether a share of strokes that went wrong (failed repeats, doubles) changed between two rounds of a note.
 *
 * Jeffreys' posterior of each share, its flat form on a grid of asin √p; the interval of the difference is Newcombe's. Faults
 * come in clusters, so counts weigh less than independent ones would: by the design effect 1 + (m − 1)·ρ of passages of
 * m = 12 with an intra-class correlation ρ of 0.03 (assumption).
 */

import { newcombeDifference } from '../statistics/proportions.ts';
import { binomialTail } from '../statistics/tails.ts';
import type { Change } from './spreadChange.ts';

/** How many of n went wrong. */
export interface Count {
  readonly failed: number;
  readonly n: number;
}

/** Fewest in each round: a fast passage of twelve strokes, of which a few were not heard in their place. */
export const LEAST_REPEATS = 8;
/** So many make a note be called doubtful. */
const DOUBTFUL_COUNT = 2;
/** Design effect of passages of twelve. */
export const CLUSTERING = 1 + 11 * 0.03;
const POINTS = 400;
/** 1.96 + 0.84: 80 % power at two-sided 5 %. */
const POWER = 2.8;

/**
 * The change of a share, after less before. `null` with fewer than eight strokes in either.
 * @param chosen - what went wrong before made the note be called doubtful: the chance of that is taken out
 */
export function shareChange(before: Count, after: Count, chosen = false): Change | null {
  if (before.n < LEAST_REPEATS || after.n < LEAST_REPEATS) return null;
  const [first, second] = [posterior(before, chosen && before.failed >= DOUBTFUL_COUNT), posterior(after, false)];
  let higher = 0;
  let below = 0;
  for (let i = 0; i < POINTS; i++) {
    higher += first[i] * (below + second[i] / 2);
    below += second[i];
  }
  const { value, interval } = newcombeDifference(after.failed, after.n, before.failed, before.n);
  const error = Math.hypot(deviation(first), deviation(second));
  return {
    before: before.failed / before.n,
    after: after.failed / after.n,
    change: value,
    interval,
    higherBefore: higher,
    couldHaveShown: -Math.min(1, POWER * error),
    n: [before.n, after.n],
  };
}

/** Share that stands for a grid point. */
function shareAt(i: number): number {
  return Math.sin(((i + 0.5) / POINTS) * (Math.PI / 2)) ** 2;
}

/** Weights over the grid, adding to 1. */
function posterior({ failed, n }: Count, chosen: boolean): Float64Array {
  const weights = new Float64Array(POINTS);
  let highest = -Infinity;
  for (let i = 0; i < POINTS; i++) {
    const share = shareAt(i);
    weights[i] = (failed * Math.log(share) + (n - failed) * Math.log1p(-share)) / CLUSTERING;
    if (chosen) weights[i] -= Math.log(Math.max(1e-12, binomialTail(DOUBTFUL_COUNT, n, share)));
    highest = Math.max(highest, weights[i]);
  }
  let total = 0;
  for (let i = 0; i < POINTS; i++) total += weights[i] = Math.exp(weights[i] - highest);
  return weights.map((weight) => weight / total);
}

function deviation(weights: Float64Array): number {
  const mean = weights.reduce((sum, weight, i) => sum + weight * shareAt(i), 0);
  return Math.sqrt(weights.reduce((sum, weight, i) => sum + weight * (shareAt(i) - mean) ** 2, 0));
}
