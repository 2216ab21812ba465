/**
 * Many tests at once: the chance of any false call among them.
 *
 * Source: Holm 1979, Scand. J. Stat. 6:65. Holds however the tests depend on each other.
 */

/**
 * Adjusted p values in the order given: the smallest chance of any false call in the family at which each test would be called. Of m
 * tests the k-th smallest becomes the greatest of p·(m − k + 1) over it and all smaller ones, at most 1.
 * @throws RangeError where a p value is outside 0 to 1.
 */
export function adjustedForFamily(probabilities: readonly number[]): number[] {
  const m = probabilities.length;
  for (const p of probabilities) if (!(p >= 0 && p <= 1)) throw new RangeError(`p value ${p}, expected 0 to 1`);
  const order = probabilities.map((_, i) => i).sort((i, j) => probabilities[i] - probabilities[j]);
  const adjusted = new Array<number>(m);
  let greatest = 0;
  order.forEach((i, k) => {
    greatest = Math.max(greatest, Math.min(1, probabilities[i] * (m - k)));
    adjusted[i] = greatest;
  });
  return adjusted;
}
