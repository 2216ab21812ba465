/**
 * Shares of two outcomes: intervals and the comparison of two shares. (Jeffreys' interval of one share is
 * `shareEstimate` in intervals.ts.)
 *
 * Sources: Wilson 1927, J. Am. Stat. Assoc. 22:209; Newcombe 1998, Statistics in Medicine 17:857 (one share) and
 * 17:873 (difference, method 10); Cook 2005, Exact calculation of beta inequalities, for the steps of the recursion.
 */

import { logGamma } from './distributions.ts';
import type { Estimate } from './intervals.ts';
import { normalQuantile } from './tails.ts';

/**
 * A share of `count` in `n` with Wilson's score interval, two-sided, without continuity correction.
 * @throws RangeError where n is no whole number from 1 or the count is no whole number from 0 to n.
 */
export function wilsonInterval(count: number, n: number, coverage = 0.95): Estimate {
  refuse(count, n, 1);
  return { value: count / n, interval: scoreInterval(count / n, n, coverage) };
}

/** Wilson's interval of a share that is worth `n` independent trials, n above 0, whole or not. */
function scoreInterval(share: number, n: number, coverage: number): [number, number] {
  const z = normalQuantile(1 - (1 - coverage) / 2);
  const middle = n * share + (z * z) / 2;
  const half = z * Math.sqrt(n * share * (1 - share) + (z * z) / 4);
  return [share === 0 ? 0 : (middle - half) / (n + z * z), share === 1 ? 1 : (middle + half) / (n + z * z)];
}

/**
 * The difference count1/n1 − count2/n2 with Newcombe's interval: both Wilson intervals squared and added (method 10).
 * @throws RangeError as {@link wilsonInterval}.
 */
export function newcombeDifference(count1: number, n1: number, count2: number, n2: number, coverage = 0.95): Estimate {
  refuse(count1, n1, 1);
  refuse(count2, n2, 1);
  const [first, second] = [count1 / n1, count2 / n2];
  return { value: first - second, interval: newcombeShares([first, n1], [second, n2], coverage) };
}

/** Newcombe's interval of the first share less the second, each [share, trials it is worth]: above 0, whole or not. */
export function newcombeShares(
  [first, n1]: readonly [number, number],
  [second, n2]: readonly [number, number],
  coverage = 0.95,
): [number, number] {
  const [low1, high1] = scoreInterval(first, n1, coverage);
  const [low2, high2] = scoreInterval(second, n2, coverage);
  const value = first - second;
  return [value - Math.hypot(first - low1, high2 - second), value + Math.hypot(high1 - first, second - low2)];
}

/**
 * P(p1 > p2) where p1 and p2 have the posteriors Beta(count + ½, n − count + ½) of Jeffreys' prior; n may be 0.
 *
 * Exact, without integration: with h = B(a+c, b+d) / (B(a,b)·B(c,d)) the probability for Beta(a, b) above Beta(c, d)
 * changes by h/a, −h/b, −h/c, h/d when a, b, c, d grows by one, and it is ½ where all four are ½.
 * @throws RangeError where a count is no whole number from 0 to its n.
 */
export function jeffreysGreater(count1: number, n1: number, count2: number, n2: number): number {
  refuse(count1, n1, 0);
  refuse(count2, n2, 0);
  const targets = [count1, n1 - count1, count2, n2 - count2];
  const signs = [1, -1, -1, 1];
  const at = [0.5, 0.5, 0.5, 0.5];
  let chance = 0.5;
  // In turn rather than one after another: the sum then never strays far and loses no digits.
  for (let open = true; open;) {
    open = false;
    for (let i = 0; i < 4; i++) {
      if (at[i] > targets[i]) continue;
      const [a, b, c, d] = at;
      const h = Math.exp(logBeta(a + c, b + d) - logBeta(a, b) - logBeta(c, d));
      chance += (signs[i] * h) / at[i];
      at[i] += 1;
      open = true;
    }
  }
  return Math.min(1, Math.max(0, chance));
}

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}

function refuse(count: number, n: number, least: number): void {
  if (!Number.isInteger(n) || n < least) throw new RangeError(`${n} trials, expected a whole number from ${least}`);
  if (!Number.isInteger(count) || count < 0 || count > n)
    throw new RangeError(`${count} of ${n}, expected a whole number from 0 to ${n}`);
}
