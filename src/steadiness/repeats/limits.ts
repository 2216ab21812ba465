/**
 * How many failures a note in order may show: sums of beta-binomial counts.
 *
 * A note's strokes of one rate in one look are beta-binomial with the fixed over-dispersion; strokes of other looks, and of
 * another rate, were let up by themselves, so their counts add independently: the chances of the sum are convolved.
 */

import { betaBinomialTail } from '../../statistics/tails.ts';
import { DISPERSION, type Count } from './baseRates.ts';

/** Strokes of one rate in one look, with the base rate they are held against. */
export interface Held extends Count {
  readonly rate: number;
}

/** Chances of 0, 1, 2 ... failures in all of `parts` together, on a note in order; `shares` puts a failing one's rates in. */
function chancesOf(parts: readonly Held[]): number[] {
  return parts.reduce<number[]>((sum, { n, rate }) => convolved(sum, countChances(n, rate)), [1]);
}

const known = new Map<string, number[]>();

function countChances(n: number, rate: number): number[] {
  // A round asks for the same few strokes and rates again and again.
  const key = `${n} ${rate}`;
  const kept = known.get(key);
  if (kept) return kept;
  const tails = Array.from({ length: n + 2 }, (_, k) => betaBinomialTail(k, n, rate, DISPERSION));
  const chances = Array.from({ length: n + 1 }, (_, k) => tails[k] - tails[k + 1]);
  if (known.size > MOST_KNOWN) known.clear();
  known.set(key, chances);
  return chances;
}

const MOST_KNOWN = 500;

function convolved(a: readonly number[], b: readonly number[]): number[] {
  const sum: number[] = Array(a.length + b.length - 1).fill(0);
  a.forEach((x, i) => b.forEach((y, j) => (sum[i + j] += x * y)));
  return sum;
}

/** Chance of at least as many failures as all parts show together; 1 where none failed. */
export function tailOf(parts: readonly Held[]): number {
  const failed = parts.reduce((sum, part) => sum + part.failed, 0);
  return failed === 0 ? 1 : tailFrom(chancesOf(parts), failed);
}

/** Fewest failures whose chance is at most `alpha`, and that chance; one more than the strokes where no number is so rare. */
export function limitOf(parts: readonly Held[], alpha: number): { readonly limit: number; readonly chance: number } {
  const chances = chancesOf(parts);
  let limit = chances.length;
  let chance = 0;
  while (limit > 0 && chance + chances[limit - 1] <= alpha) chance += chances[--limit];
  return { limit, chance };
}

/** Chance of at least `limit` failures on a note each of whose strokes fails with chance `share`. */
export function powerOf(parts: readonly Held[], limit: number, share: number): number {
  return tailFrom(chancesOf(parts.map((part) => ({ ...part, rate: share }))), limit);
}

function tailFrom(chances: readonly number[], least: number): number {
  let tail = 0;
  for (let k = chances.length - 1; k >= least; k--) tail += chances[k];
  return Math.min(1, tail);
}
