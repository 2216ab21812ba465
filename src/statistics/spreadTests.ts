/**
 * Do groups of values spread alike? Analysis of variance of the distances from each group's centre.
 *
 * Sources: Levene 1960, in Contributions to Probability and Statistics, 278 (about means); Brown & Forsythe 1974,
 * J. Am. Stat. Assoc. 69:364 (about medians, which hold their level with skewed values).
 */

import { mean } from './intervals.ts';
import { median } from './order.ts';
import { oneWay } from './variance.ts';

export interface SpreadTest {
  readonly f: number;
  /** Degrees of freedom of F, between and within. */
  readonly degrees: readonly [number, number];
  /** Probability of so great an F where all groups spread alike. */
  readonly probability: number;
}

/** Levene's test about medians (Brown & Forsythe) or means. @throws RangeError as {@link oneWay}. */
export function spreadTest(groups: readonly (readonly number[])[], centre: 'median' | 'mean' = 'median'): SpreadTest {
  const centreOf = centre === 'median' ? median : mean;
  const { f, between, within, probability } = oneWay(
    groups.map((group) => {
      const middle = centreOf(group);
      return group.map((v) => Math.abs(v - middle));
    }),
  );
  return { f, degrees: [between.degrees, within.degrees], probability };
}
