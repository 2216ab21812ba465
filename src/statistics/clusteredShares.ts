/**
 * Two shares over the same clusters (notes), each cluster counted before and after: the difference, stratified by cluster.
 *
 * The difference is Mantel and Haenszel's: each cluster's own difference with weight n₁n₂/(n₁ + n₂), so that a cluster counted more often on
 * one side pulls nothing towards it. Its variance is the greater of two: that of the clusters' own differences about it (robust: holds
 * whatever happens within a cluster and however the changes differ), and the binomial one times a least design effect (the robust one is too
 * small where few strokes went wrong). Their ratio to the binomial variance is the design effect; the interval is Newcombe's from counts
 * divided by it, widened for the few clusters by Student's factor squared; p is Student's, on clusters − 1 degrees.
 *
 * Sources: Greenland & Robins 1985, Biometrics 41:55 (weights); Rao & Scott 1992, Biometrics 48:577 (counts over a design effect);
 * Newcombe 1998, Statistics in Medicine 17:873, method 10. The floor and Student's factor are this file's own, held by simulation.
 */

import { fisherTail, studentQuantile } from './distributions.ts';
import { newcombeShares } from './proportions.ts';
import { normalQuantile } from './tails.ts';

/** So many of so many, on each side. Sides with n of 0 leave the cluster out. */
export interface PairedCounts {
  readonly before: { readonly failed: number; readonly n: number };
  readonly after: { readonly failed: number; readonly n: number };
}

export interface SharesChange {
  /** Shares in which every cluster has one weight on both sides. */
  readonly before: number;
  readonly after: number;
  /** After less before. */
  readonly difference: number;
  readonly interval: readonly [number, number];
  /** Two-sided; 1 where nothing went wrong on either side, or everything did. */
  readonly p: number;
  readonly designEffect: number;
  readonly clusters: number;
}

/**
 * The change of a share over paired clusters; null with fewer than two that were counted on both sides.
 * @param leastEffect - design effect taken at least, from 1
 */
export function sharesChange(
  counts: readonly PairedCounts[],
  leastEffect: number,
  coverage = 0.95,
): SharesChange | null {
  const used = counts.filter(({ before, after }) => before.n > 0 && after.n > 0);
  const clusters = used.length;
  if (clusters < 2) return null;
  const weights = used.map(({ before, after }) => (before.n * after.n) / (before.n + after.n));
  const all = weights.reduce((sum, weight) => sum + weight, 0);
  const weighted = (of: (one: PairedCounts) => number): number =>
    used.reduce((sum, one, i) => sum + weights[i] * of(one), 0) / all;
  const before = weighted((one) => one.before.failed / one.before.n);
  const after = weighted((one) => one.after.failed / one.after.n);
  const difference = after - before;
  /** Strokes that the weighted share of a side is worth. */
  const worth = (side: 'before' | 'after'): number =>
    all ** 2 / used.reduce((sum, one, i) => sum + weights[i] ** 2 / one[side].n, 0);
  const [first, second] = [worth('before'), worth('after')];
  const common = (before * first + after * second) / (first + second);
  const binomial = common * (1 - common) * (1 / first + 1 / second);
  const robust =
    ((clusters / (clusters - 1)) *
      used.reduce((sum, one, i) => {
        const own = one.after.failed / one.after.n - one.before.failed / one.before.n;
        return sum + (weights[i] * (own - difference)) ** 2;
      }, 0)) /
    all ** 2;
  const designEffect = binomial > 0 ? Math.max(leastEffect, robust / binomial) : leastEffect;
  const tail = 1 - (1 - coverage) / 2;
  const effect = designEffect * (studentQuantile(tail, clusters - 1) / normalQuantile(tail)) ** 2;
  return {
    before,
    after,
    difference,
    interval: newcombeShares([after, second / effect], [before, first / effect], coverage),
    p: binomial > 0 ? fisherTail(difference ** 2 / (designEffect * binomial), 1, clusters - 1) : 1,
    designEffect,
    clusters,
  };
}
