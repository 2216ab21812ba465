/**
 * Tail probabilities: of the normal distribution, and of counts that come singly (binomial) or in clusters
 * (beta-binomial).
 *
 * Conventions: `probability` is the chance of the counted event at each trial; a count's tail is P(X ≥ count).
 * `correlation` is the intra-class correlation ρ of two trials of the same set: 0 for independent trials, 1 for sets
 * that are all or nothing. In beta terms a = p(1 − ρ)/ρ and b = (1 − p)(1 − ρ)/ρ (Skellam 1948, J. R. Stat. Soc. B
 * 10:257). The probabilities are taken in the product form with θ = ρ/(1 − ρ), which has no hole at ρ = 0:
 * P(k) = C(n, k) Π_{i<k}(p + iθ) Π_{i<n−k}(1 − p + iθ) / Π_{i<n}(1 + iθ).
 */

import { betaCdf, bisect, gammaCdf, gammaTail } from './distributions.ts';

/** Probability that a standard normal value is at most x; small tails are right to the last digits. */
export function normalCdf(x: number): number {
  if (x < 0) return 0.5 * gammaTail(0.5, (x * x) / 2);
  return 0.5 + 0.5 * gammaCdf(0.5, (x * x) / 2);
}

/** Quantile of the standard normal distribution, 0 < p < 1. @throws RangeError otherwise. */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normal quantile of ${p}, expected between 0 and 1`);
  if (p === 0.5) return 0;
  // Above one half by symmetry, so that the small tail is the one that is searched.
  return p < 0.5 ? bisect((x) => normalCdf(x) - p, -39, 0) : -normalQuantile(1 - p);
}

/**
 * P(X ≥ count) among `n` independent trials, through the beta distribution (DLMF 8.17.5).
 * @throws RangeError where n is no whole number from 0 or the probability is outside 0 to 1.
 */
export function binomialTail(count: number, n: number, probability: number): number {
  refuse(n, probability, 0);
  const least = Math.ceil(count);
  if (least <= 0) return 1;
  if (least > n) return 0;
  return betaCdf(probability, least, n - least + 1);
}

/**
 * P(X ≥ count) among `n` trials whose outcomes cluster with intra-class correlation `correlation` (0 to 1).
 * @throws RangeError where n is no whole number from 0, or probability or correlation is outside 0 to 1.
 */
export function betaBinomialTail(count: number, n: number, probability: number, correlation: number): number {
  const least = Math.ceil(count);
  const chances = betaBinomial(n, probability, correlation);
  if (least <= 0) return 1;
  let tail = 0;
  for (let k = n; k >= least; k--) tail += chances[k];
  return Math.min(1, tail);
}

/**
 * The smallest count whose tail is at most `alpha`; n + 1 where no count is that rare.
 * @throws RangeError as {@link betaBinomialTail}.
 */
export function betaBinomialLimit(n: number, probability: number, correlation: number, alpha: number): number {
  const chances = betaBinomial(n, probability, correlation);
  let limit = n + 1;
  for (let tail = 0; limit > 0; limit--) {
    tail += chances[limit - 1];
    if (tail > alpha) break;
  }
  return limit;
}

/** P(X = 0) … P(X = n) of the beta-binomial distribution. */
function betaBinomial(n: number, probability: number, correlation: number): Float64Array {
  refuse(n, probability, correlation);
  const chances = new Float64Array(n + 1);
  if (correlation === 1) {
    chances[0] += 1 - probability;
    chances[n] += probability;
    return chances;
  }
  const theta = correlation / (1 - correlation);
  // Sums of logarithms: hit[k] = Σ ln(p + iθ), miss[k] = Σ ln(1 − p + iθ), all[k] = Σ ln(1 + iθ), fact[k] = ln k!.
  const [hit, miss, all, fact] = Array.from({ length: 4 }, () => new Float64Array(n + 1));
  for (let i = 0; i < n; i++) {
    hit[i + 1] = hit[i] + Math.log(probability + i * theta);
    miss[i + 1] = miss[i] + Math.log(1 - probability + i * theta);
    all[i + 1] = all[i] + Math.log1p(i * theta);
    fact[i + 1] = fact[i] + Math.log(i + 1);
  }
  for (let k = 0; k <= n; k++) chances[k] = Math.exp(fact[n] - fact[k] - fact[n - k] + hit[k] + miss[n - k] - all[n]);
  return chances;
}

function refuse(n: number, probability: number, correlation: number): void {
  if (!Number.isInteger(n) || n < 0) throw new RangeError(`${n} trials, expected a whole number from 0`);
  if (!(probability >= 0 && probability <= 1)) throw new RangeError(`probability ${probability}, expected 0 to 1`);
  if (!(correlation >= 0 && correlation <= 1)) throw new RangeError(`correlation ${correlation}, expected 0 to 1`);
}
