/**
 * Base rates: how often repeats of notes in order fail in this hand, learned while some notes are not in order.
 *
 * Two classes of notes: in order, whose failures are beta-binomial at the base rate with a fixed over-dispersion (how far the
 * key is let up wanders from passage to passage; a fitted one would swallow the failing notes), and failing, whose one
 * rate is Beta(1.2, 4). What a note shows in different looks is independent in the first class and of one rate in the second. The base rate is the maximum a posteriori with one failure in a hundred strokes as its prior, the share
 * of failing notes profiled out with a prior of 8.5 to 1.5. Rates and dispersion: simulation study of the statistics and
 * model study of repeated strokes.
 */

import { logGamma } from '../../statistics/distributions.ts';

/** Intra-class correlation of failures within a note. */
export const DISPERSION = 0.03;
const FAILING = [1.2, 4] as const;
const CLASS_PRIOR = [8.5, 1.5] as const;
/** Share of failing notes as assumed before any is heard. */
export const PRIOR_SHARE = CLASS_PRIOR[1] / (CLASS_PRIOR[0] + CLASS_PRIOR[1]);
const PRIOR_FAILURES = 1;
const PRIOR_STROKES = 100;
const GRID = 48;
const ROUNDS = 25;

/** Strokes of one note and how many of them failed. */
export interface Count {
  readonly n: number;
  readonly failed: number;
}

export interface BaseRate {
  readonly rate: number;
  /** Share of the notes taken for failing. */
  readonly failingShare: number;
}

/** The base rate over notes (each a list of counts, one a look), between `least` and `most`. */
export function baseRate(counts: readonly (readonly Count[])[], least: number, most: number): BaseRate {
  const kinds = new Map<string, { count: readonly Count[]; notes: number }>();
  for (const count of counts) {
    if (count.every(({ n }) => n === 0)) continue;
    const key = count.map(({ n, failed }) => `${n} ${failed}`).join(', ');
    const known = kinds.get(key);
    if (known) known.notes++;
    else kinds.set(key, { count, notes: 1 });
  }
  const groups = [...kinds.values()].map(({ count, notes }) => ({ count, notes, failing: failingDensity(count) }));
  let best: BaseRate & { readonly log: number } = { rate: least, failingShare: 0, log: -Infinity };
  for (let i = 0; i < GRID; i++) {
    const rate = least * (most / least) ** (i / (GRID - 1));
    const sound = groups.map(({ count }) => soundDensity(count, rate));
    let share = PRIOR_SHARE;
    let log = 0;
    for (let round = 0; round < ROUNDS; round++) {
      let [failing, notes] = [CLASS_PRIOR[1] as number, CLASS_PRIOR[0] + CLASS_PRIOR[1]];
      log = PRIOR_FAILURES * Math.log(rate) + (PRIOR_STROKES - PRIOR_FAILURES) * Math.log(1 - rate);
      log += CLASS_PRIOR[0] * Math.log(1 - share) + CLASS_PRIOR[1] * Math.log(share);
      groups.forEach((group, k) => {
        const total = (1 - share) * sound[k] + share * group.failing;
        log += group.notes * Math.log(total);
        failing += (group.notes * share * group.failing) / total;
        notes += group.notes;
      });
      share = failing / notes;
    }
    if (log > best.log) best = { rate, failingShare: share, log };
  }
  return { rate: best.rate, failingShare: best.failingShare };
}

/** Probability that a note with such counts is of the failing class. */
export function failingProbability(counts: readonly Count[], { rate, failingShare }: BaseRate): number {
  const failing = failingShare * failingDensity(counts);
  return failing / (failing + (1 - failingShare) * soundDensity(counts, rate));
}

function soundDensity(counts: readonly Count[], rate: number): number {
  const strokes = 1 / DISPERSION - 1;
  return counts.reduce((product, count) => product * betaDensity(count, rate * strokes, (1 - rate) * strokes), 1);
}

function failingDensity(counts: readonly Count[]): number {
  const total = counts.reduce((sum, { n, failed }) => ({ n: sum.n + n, failed: sum.failed + failed }), {
    n: 0,
    failed: 0,
  });
  return betaDensity(total, FAILING[0], FAILING[1]);
}

/** Beta-binomial density without its binomial coefficient, which is the same in both classes. */
function betaDensity({ n, failed }: Count, a: number, b: number): number {
  return Math.exp(logBeta(a + failed, b + n - failed) - logBeta(a, b));
}

function logBeta(a: number, b: number): number {
  return logGamma(a) + logGamma(b) - logGamma(a + b);
}
