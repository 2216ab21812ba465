/**
 * Exact tests of a mean difference: every arrangement of the data is laid out and counted.
 *
 * Sources: Fisher 1935, The Design of Experiments, section 21 (signs flipped); Pitman 1937, J. R. Stat. Soc. Suppl.
 * 4:119 (two groups split anew). Arrangements that equal the observed one but for rounding count as equal.
 */

export interface ExactTest {
  /** Share of the arrangements whose statistic is at least the observed one. */
  readonly greater: number;
  /** Share of the arrangements whose statistic is at most the observed one. */
  readonly less: number;
  /** Share of the arrangements at least as far from zero, on either side, as the observed one. */
  readonly twoSided: number;
  readonly arrangements: number;
}

const MOST_ARRANGEMENTS = 2_000_000;

/**
 * Paired differences against none: under all 2^n choices of signs the sum is as great. Refused from 21 differences on.
 * @throws RangeError without differences or with more arrangements than two million.
 */
export function signFlipTest(differences: readonly number[]): ExactTest {
  if (differences.length === 0) throw new RangeError('sign-flip test of no differences');
  refuseMany(2 ** differences.length);
  const sums = new Float64Array(2 ** differences.length);
  let filled = 1;
  for (const d of differences) {
    for (let i = 0; i < filled; i++) {
      sums[filled + i] = sums[i] - d;
      sums[i] += d;
    }
    filled *= 2;
  }
  // The first sum kept every sign.
  return counted(sums, sums[0], differences);
}

/**
 * Two groups against none: under all ways to split the values anew into groups of these sizes the difference of means,
 * first less second, is as great.
 * @throws RangeError where a group is empty or there are more arrangements than two million.
 */
export function splitTest(first: readonly number[], second: readonly number[]): ExactTest {
  if (first.length === 0 || second.length === 0) throw new RangeError('split test with an empty group');
  const values = [...first, ...second];
  const n = values.length;
  let arrangements = 1;
  for (let i = 1; i <= first.length; i++) arrangements = (arrangements * (second.length + i)) / i;
  refuseMany(Math.round(arrangements));
  // About the common mean the difference of means is a multiple of the first group's sum.
  const centre = values.reduce((sum, v) => sum + v, 0) / n;
  const centred = values.map((v) => v - centre);
  const sums = new Float64Array(Math.round(arrangements));
  let filled = 0;
  const choose = (from: number, left: number, sum: number): void => {
    if (left === 0) {
      sums[filled++] = sum;
      return;
    }
    for (let i = from; i <= n - left; i++) choose(i + 1, left - 1, sum + centred[i]);
  };
  choose(0, first.length, 0);
  return counted(sums, sums[0], centred);
}

function counted(statistics: Float64Array, observed: number, values: readonly number[]): ExactTest {
  const rounding = 1e-12 * values.reduce((sum, v) => sum + Math.abs(v), 0);
  let greater = 0;
  let less = 0;
  let far = 0;
  for (const s of statistics) {
    if (s >= observed - rounding) greater++;
    if (s <= observed + rounding) less++;
    if (Math.abs(s) >= Math.abs(observed) - rounding) far++;
  }
  const n = statistics.length;
  return { greater: greater / n, less: less / n, twoSided: far / n, arrangements: n };
}

function refuseMany(arrangements: number): void {
  if (arrangements > MOST_ARRANGEMENTS)
    throw new RangeError(`${arrangements} arrangements, expected at most ${MOST_ARRANGEMENTS}`);
}
