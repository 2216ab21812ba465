/**
 * Limits of failures: from how many on a note is called failing, how often a note in order reaches them, and which share of
 * failures would have.
 *
 * Each series has 0.0005 (silent and faint, each below and from 7 strokes a second, and doubles): limits of a beta-binomial count at
 * the base rate with the dispersion of baseRates, for the strokes that were played. After damped gaps two failures, three at the
 * quicker rate, are enough without a base rate: there a note in order fails 2 times in 1000 at most (model study of repeated
 * strokes: never silent, up to 0.2 in 100 weak).
 */

import { betaBinomialLimit, betaBinomialTail, binomialTail } from '../../statistics/tails.ts';
import type { BaseRates } from '../evidence.ts';
import { DISPERSION, type Count } from './baseRates.ts';
import type { RepeatCounts } from './counts.ts';

export const SERIES_ALPHA = 0.0005;
export const DAMPED_LIMIT = { steady: 2, quick: 3 } as const;
const DAMPED_RATE = 0.002;
const POWER = 0.8;

/** What may decide: series of repeats, doubles and failures after damped gaps. */
export interface May {
  readonly series: boolean;
  readonly others: boolean;
}

/** One series of strokes with its base rate. */
interface Held {
  readonly count: Count;
  readonly rate: number;
}

function heldBy({ steady, quick, struck }: RepeatCounts, base: BaseRates): Held[] {
  return [
    { count: { n: steady.n, failed: steady.silent }, rate: base.steady.silent },
    { count: { n: steady.n, failed: steady.faint }, rate: base.steady.faint },
    { count: { n: quick.n, failed: quick.silent }, rate: base.quick.silent },
    { count: { n: quick.n, failed: quick.faint }, rate: base.quick.faint },
    { count: { n: struck.n, failed: struck.doubles }, rate: base.doubles },
  ];
}

/** Chances of so many failures or more on a note in order: the least of the four series of repeats, and of the doubles. */
export function tailsOf(counts: RepeatCounts, base: BaseRates): { readonly repeats: number; readonly doubles: number } {
  const tails = heldBy(counts, base).map(({ count: { n, failed }, rate }) =>
    failed === 0 ? 1 : betaBinomialTail(failed, n, rate, DISPERSION),
  );
  return { repeats: Math.min(...tails.slice(0, 4)), doubles: tails[4] };
}

/** Failures after damped gaps. */
export function dampedFailures({ dampedSteady, dampedQuick }: RepeatCounts): number {
  return dampedSteady.failed + dampedQuick.failed;
}

/** Whether failures or doubles reach a limit. */
export function reachesLimits(counts: RepeatCounts, base: BaseRates, may: May): boolean {
  const { repeats, doubles } = tailsOf(counts, base);
  if (may.series && repeats <= SERIES_ALPHA) return true;
  const { dampedSteady, dampedQuick } = counts;
  const damped = dampedSteady.failed >= DAMPED_LIMIT.steady || dampedQuick.failed >= DAMPED_LIMIT.quick;
  return may.others && (damped || doubles <= SERIES_ALPHA);
}

/** Chance, at most, that a note in order reaches a limit with these numbers of strokes: the tails at the limits, added. */
export function chanceOf(counts: RepeatCounts, base: BaseRates, may: May): number {
  let chance = 0;
  heldBy(counts, base).forEach(({ count: { n }, rate }, i) => {
    if (n === 0 || !(i < 4 ? may.series : may.others)) return;
    const limit = limitOf(n, rate);
    if (limit <= n) chance += betaBinomialTail(limit, n, rate, DISPERSION);
  });
  if (!may.others) return chance;
  const { dampedSteady, dampedQuick } = counts;
  chance += binomialTail(DAMPED_LIMIT.steady, dampedSteady.n, DAMPED_RATE);
  return chance + binomialTail(DAMPED_LIMIT.quick, dampedQuick.n, DAMPED_RATE);
}

/** The smallest share of silent repeats that one of the two rates' series would have shown with 80 % power; null if none would. */
export function smallestShown({ steady, quick }: RepeatCounts, base: BaseRates): number | null {
  // A silent repeat counts in both series of its rate; the silent one's base rate, and so its limit, is never the higher.
  const series = [
    { n: steady.n, limit: limitOf(steady.n, base.steady.silent) },
    { n: quick.n, limit: limitOf(quick.n, base.quick.silent) },
  ].filter(({ n, limit }) => limit <= n);
  if (series.length === 0) return null;
  const power = (share: number) =>
    1 - series.reduce((missed, { n, limit }) => missed * (1 - betaBinomialTail(limit, n, share, DISPERSION)), 1);
  let [low, high] = [0, 1];
  for (let step = 0; step < 20; step++) {
    const share = (low + high) / 2;
    if (power(share) >= POWER) high = share;
    else low = share;
  }
  return high;
}

function limitOf(n: number, rate: number): number {
  return n === 0 ? 1 : betaBinomialLimit(n, rate, DISPERSION, SERIES_ALPHA);
}
