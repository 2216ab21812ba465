/**
 * Many tests at once: the false discovery rate.
 *
 * Source: Benjamini & Hochberg 1995, J. R. Stat. Soc. B 57:289. Holds for independent tests and for positively
 * dependent ones.
 */

/**
 * Adjusted p values in the order given: the smallest false discovery rate at which each test would be called. Of m
 * tests the k-th smallest becomes the least of p·m/k over it and all greater ones, at most 1.
 * @throws RangeError where a p value is outside 0 to 1.
 */
export function adjustedForDiscovery(probabilities: readonly number[]): number[] {
  const m = probabilities.length;
  for (const p of probabilities) if (!(p >= 0 && p <= 1)) throw new RangeError(`p value ${p}, expected 0 to 1`);
  const order = probabilities.map((_, i) => i).sort((i, j) => probabilities[i] - probabilities[j]);
  const adjusted = new Array<number>(m);
  let least = 1;
  for (let k = m; k >= 1; k--) {
    const i = order[k - 1];
    least = Math.min(least, probabilities[i] * (m / k));
    adjusted[i] = least;
  }
  return adjusted;
}
