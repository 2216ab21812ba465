/**
 * Whether the spread of a note's travel times changed between two rounds.
 *
 * Each round's spread is held against that round's own hand, so that a change of the player falls out. The ratio of the two
 * posteriors (see statistics/spreadPosterior) is the distribution of ln R before − ln R after; what is uncertain in both
 * hands widens it.
 */

import { posteriorQuantile, spreadPosterior, LOG_STEP, type SpreadPosterior } from '../statistics/spreadPosterior.ts';
import { normalCdf } from '../statistics/tails.ts';
import { boundedCentre, boundedSpread } from '../statistics/winsorised.ts';
import type { TravelStroke } from './evidence.ts';
import { chanceToReach, doubtfulSquare } from './selection.ts';

/** What a round's hand is, as far as a spread is held against it. */
export interface SpreadScale {
  /** Spread of ln travel time at equal level on firm notes. */
  readonly scale: number;
  /** Standard error of its logarithm. */
  readonly logError: number;
  readonly slopePerDb: number;
  readonly slipRate: number;
}

/** A change: a value a round, what one is against the other, and how sure that is. */
export interface Change {
  readonly before: number;
  readonly after: number;
  /** After over before, or after less before: see the kind. */
  readonly change: number;
  /** 95 %. */
  readonly interval: readonly [number, number];
  /** Probability that the note's own value was higher before. */
  readonly higherBefore: number;
  /** Smallest change for the better that would probably (80 %) have shown by itself. */
  readonly couldHaveShown: number;
  readonly n: readonly [number, number];
}

/**
 * What lies farther out, in firm scales, counts as lying there: a contact taken for another, or a finger that came late, may lie 20 scales off,
 * and two of those in six strokes would else be the likeliest under a spread of 8. In simulated visits with nothing done that made up
 * most of what was called worse.
 */
const FARTHEST = 8;

/** Fewest usable strokes in each round. */
export const LEAST_TRAVELS = 4;

/** Residuals of ln travel time at equal level about the centre of each recording, not shrunk by the centring. */
export function residualsOf(strokes: readonly TravelStroke[], { scale, slopePerDb }: SpreadScale): number[] {
  const bySource = new Map<number, number[]>();
  for (const { source, logTravel, levelDb } of strokes) {
    bySource.set(source, [...(bySource.get(source) ?? []), logTravel - slopePerDb * levelDb]);
  }
  // A recording with one stroke of the note says nothing of its spread.
  const groups = [...bySource.values()].filter(({ length }) => length >= 2);
  const n = groups.reduce((sum, { length }) => sum + length, 0);
  // One centre is allowed for by the posterior itself; each further one takes another degree of freedom.
  const lift = n > groups.length ? Math.sqrt((n - 1) / (n - groups.length)) : 1;
  return groups.flatMap((group) => {
    const centre = boundedCentre(group, scale);
    return group.map((value) => lift * (value - centre));
  });
}

/**
 * The change of spread: ratios of the firm scale, after over before. `null` with fewer than four usable strokes in either.
 * @param chosen - the strokes of before made the note be called doubtful: the chance of that is taken out
 * @param sameScale - both rounds are held against one learned reference: its error is common to both
 */
export function spreadChange(
  before: readonly TravelStroke[],
  after: readonly TravelStroke[],
  hands: readonly [SpreadScale, SpreadScale],
  chosen = false,
  sameScale = false,
): Change | null {
  const residuals = [residualsOf(before, hands[0]), residualsOf(after, hands[1])] as const;
  if (residuals.some(({ length }) => length < LEAST_TRAVELS)) return null;
  const [first, second] = residuals.map((each, i) => posteriorOf(each, hands[i]));
  const earlier = chosen ? unchosen(first, residuals[0], hands[0]) : first;
  const uncertain = sameScale ? 0 : Math.hypot(hands[0].logError, hands[1].logError);
  const difference = differenceOf(earlier, second, uncertain);
  const [low, middle, high] = [0.025, 0.5, 0.975].map((p) => difference.quantile(p));
  return {
    before: Math.exp(posteriorQuantile(earlier, 0.5)),
    after: Math.exp(posteriorQuantile(second, 0.5)),
    change: Math.exp(-middle),
    interval: [Math.exp(-high), Math.exp(-low)],
    higherBefore: 1 - difference.below(0),
    couldHaveShown: Math.exp((-POWER * (high - low)) / (2 * 1.96)),
    n: [residuals[0].length, residuals[1].length],
  };
}

function posteriorOf(residuals: readonly number[], { scale, slipRate }: SpreadScale): SpreadPosterior {
  const most = FARTHEST * scale;
  const near = residuals.map((residual) => Math.max(-most, Math.min(most, residual)));
  return spreadPosterior(near, scale, slipRate);
}

/** The spread of strokes in scales of their hand, as likely too small as too great. `null` with fewer than four usable strokes. */
export function spreadRatio(strokes: readonly TravelStroke[], hand: SpreadScale): number | null {
  const residuals = residualsOf(strokes, hand);
  return residuals.length < LEAST_TRAVELS ? null : Math.exp(posteriorQuantile(posteriorOf(residuals, hand), 0.5));
}

/** Normal deviates for 80 % power at two-sided 5 %: 1.96 + 0.84. */
const POWER = 2.8;

/** Whether strokes would have been called doubtful for their spread, at p ≤ 0.05. */
export function isDoubtfulSpread(strokes: readonly TravelStroke[], hand: SpreadScale): boolean {
  const residuals = residualsOf(strokes, hand);
  if (residuals.length < LEAST_TRAVELS) return false;
  return boundedSpread(residuals, hand.scale) >= doubtfulSquare(residuals.length, hand.slipRate);
}

/** The posterior with the chance of being called doubtful divided out; as it was where that did not happen. */
function unchosen(
  posterior: SpreadPosterior,
  residuals: readonly number[],
  { scale, slipRate }: SpreadScale,
): SpreadPosterior {
  const n = residuals.length;
  const limit = doubtfulSquare(n, slipRate);
  if (boundedSpread(residuals, scale) < limit) return posterior;
  const weights = posterior.weights.map(
    (weight, i) => weight / Math.max(1e-12, chanceToReach(limit, Math.exp(posterior.logRatio[i]), n, slipRate)),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return { logRatio: posterior.logRatio, weights: weights.map((weight) => weight / total) };
}

interface Difference {
  /** Probability that the difference is below x. */
  below(x: number): number;
  quantile(p: number): number;
}

/** Distribution of ln R of one posterior less that of another, both on the common grid, widened by `uncertain`. */
function differenceOf(a: SpreadPosterior, b: SpreadPosterior, uncertain: number): Difference {
  const size = a.weights.length;
  const mass = new Float64Array(2 * size - 1);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) mass[i - j + size - 1] += a.weights[i] * b.weights[j];
  }
  // A grid point stands for a step's width, in both.
  const width = Math.hypot(uncertain, LOG_STEP / Math.sqrt(6));
  const below = (x: number): number =>
    mass.reduce((sum, weight, k) => (weight > 1e-12 ? sum + weight * normalCdf((x - at(k)) / width) : sum), 0);
  const at = (k: number): number => (k - size + 1) * LOG_STEP;
  const quantile = (p: number): number => {
    let low = at(0) - 6 * width;
    let high = -low;
    for (let i = 0; i < 24; i++) {
      const middle = (low + high) / 2;
      if (below(middle) < p) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  };
  return { below, quantile };
}
