/**
 * The base rates of a round: one for each kind of failure and each rate of play, and one for doubles.
 */

import type { BaseRates } from '../evidence.ts';
import type { NotePlay } from '../round.ts';
import { baseRate, PRIOR_SHARE, type BaseRate, type Count } from './baseRates.ts';
import { countRepeats, type RepeatCounts } from './counts.ts';

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

/** A fitted base rate for each series. */
export interface Fits {
  readonly steadySilent: BaseRate;
  readonly steadyFaint: BaseRate;
  readonly quickSilent: BaseRate;
  readonly quickFaint: BaseRate;
  readonly doubles: BaseRate;
}

/** Rates are learned on the first look of each note, for later looks hold doubtful notes only; where those alone were quick, on them. */
export function fitsOf(plays: readonly NotePlay[]): Fits {
  const first = plays.map(({ looks, takes }) => countRepeats(looks[0], takes));
  const all = plays.map(({ looks, takes }) => countRepeats(looks.flat(), takes));
  const firstQuick = first.filter(({ quick }) => quick.n > 0).length;
  const ofQuick = firstQuick >= LEAST_NOTES ? first : all;
  const of = (
    counts: readonly RepeatCounts[],
    pick: (one: RepeatCounts) => Count,
    [least, most]: readonly [number, number],
  ) => baseRate(counts.map(pick), least, most);
  const steadySilent = of(first, ({ steady }) => ({ n: steady.n, failed: steady.silent }), FAILURE_RATES);
  const steadyFaint = of(first, ({ steady }) => ({ n: steady.n, failed: steady.faint }), FAILURE_RATES);
  const quickSilent = of(ofQuick, ({ quick }) => ({ n: quick.n, failed: quick.silent }), FAILURE_RATES);
  const quickFaint = of(ofQuick, ({ quick }) => ({ n: quick.n, failed: quick.faint }), FAILURE_RATES);
  return {
    steadySilent,
    steadyFaint: atLeast(steadyFaint, steadySilent),
    // A hand does not fail less when it is quicker: few quick strokes, all clean, prove no lower rate.
    quickSilent: atLeast(quickSilent, steadySilent),
    quickFaint: atLeast(atLeast(quickFaint, steadyFaint), quickSilent),
    doubles: of(first, ({ struck }) => ({ n: struck.n, failed: struck.doubles }), DOUBLE_RATES),
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

/** The rates alone, with the notes they rest on. */
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
