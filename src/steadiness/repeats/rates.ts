/**
 * The base rates of a round: one for each kind of failure and each rate of play, and one for doubles.
 */

import type { BaseRates } from '../evidence.ts';
import { baseRate, PRIOR_SHARE, type BaseRate, type Count } from './baseRates.ts';
import type { RepeatCounts } from './counts.ts';

/** Fewest notes with quick repeats that give base rates of their own. */
export const LEAST_NOTES = 12;
const FAILURE_RATES = [0.003, 0.15] as const;
const DOUBLE_RATES = [0.001, 0.05] as const;

/** Assumed where neither the round nor a reference gives any; nothing is decided on them. */
export const DEFAULT_RATES: BaseRates = {
  steady: { silent: 0.01, faint: 0.01 },
  quick: { silent: 0.01, faint: 0.01 },
  doubles: 0.003,
  notes: 0,
};

/** The five counts that have a base rate. */
export const COUNTS = {
  steadySilent: ({ steady }: RepeatCounts): Count => ({ n: steady.n, failed: steady.silent }),
  steadyFaint: ({ steady }: RepeatCounts): Count => ({ n: steady.n, failed: steady.faint }),
  quickSilent: ({ quick }: RepeatCounts): Count => ({ n: quick.n, failed: quick.silent }),
  quickFaint: ({ quick }: RepeatCounts): Count => ({ n: quick.n, failed: quick.faint }),
  doubles: ({ struck }: RepeatCounts): Count => ({ n: struck.n, failed: struck.doubles }),
} as const;

/** A fitted base rate for each. */
export type Fits = Readonly<Record<keyof typeof COUNTS, BaseRate>>;

/** Rates are learned on all looks of each note: which notes were played again was decided by what had been heard, and is in it. */
export function fitsOf(counts: readonly (readonly RepeatCounts[])[]): Fits {
  const of = (pick: (one: RepeatCounts) => Count, [least, most]: readonly [number, number]) =>
    baseRate(
      counts.map((looks) => looks.map(pick)),
      least,
      most,
    );
  const [steadySilent, quickSilent] = [of(COUNTS.steadySilent, FAILURE_RATES), of(COUNTS.quickSilent, FAILURE_RATES)];
  return {
    steadySilent,
    // Silent repeats are among the faint ones, so these are no rarer.
    steadyFaint: atLeast(of(COUNTS.steadyFaint, FAILURE_RATES), steadySilent),
    // Quick passages are asked for with a fuller return, so their rate is their own and may well be the lower.
    quickSilent,
    quickFaint: atLeast(of(COUNTS.quickFaint, FAILURE_RATES), quickSilent),
    doubles: of(COUNTS.doubles, DOUBLE_RATES),
  };
}

/** Rates known beforehand as fits, the share of failing notes as assumed before any is heard. */
export function fitsFrom({ steady, quick, doubles }: BaseRates): Fits {
  const known = (rate: number): BaseRate => ({ rate, failingShare: PRIOR_SHARE });
  return {
    steadySilent: known(steady.silent),
    steadyFaint: known(steady.faint),
    quickSilent: known(quick.silent),
    quickFaint: known(quick.faint),
    doubles: known(doubles),
  };
}

/** The rates alone, with the number of notes they rest on. */
export function ratesOf(fits: Fits, notes: number): BaseRates {
  return {
    steady: { silent: fits.steadySilent.rate, faint: fits.steadyFaint.rate },
    quick: { silent: fits.quickSilent.rate, faint: fits.quickFaint.rate },
    doubles: fits.doubles.rate,
    notes,
  };
}

function atLeast(one: BaseRate, other: BaseRate): BaseRate {
  return one.rate >= other.rate ? one : { ...one, rate: other.rate };
}
