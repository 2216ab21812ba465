/**
 * The chance that put a note on the list: how likely a spread, or a count of failures, is to be called doubtful.
 *
 * Notes are worked on because a round called them doubtful. Played again with nothing done, such a note looks better by
 * itself: the strokes that raised the doubt were partly bad luck. Where those strokes are the only "before", their
 * likelihood is divided by the chance of being called doubtful at all. What barely crossed the limit then says little; what
 * lay far beyond it keeps its weight. In the simulation study of these statistics, notes in order that had been called
 * doubtful and were compared alone with nothing done seemed better in 3 of 100 cases, and without this in 13 to 25 of 100.
 */

import { criticalRow } from '../statistics/criticalValues.ts';
import { TAILS } from '../statistics/criticalData.ts';
import { gammaCdf } from '../statistics/distributions.ts';
import { BOUND } from '../statistics/winsorised.ts';

/** A slip's spread, firm scales. */
const STRAY = 5;
const DOUBTFUL = 0.05;

/** The bounded square T (see statistics/winsorised) that one firm note in twenty reaches with `n` strokes, 3 or more. */
export function doubtfulSquare(n: number, slipRate: number): number {
  return criticalRow(n, slipRate).critical[TAILS.indexOf(DOUBTFUL)];
}

/**
 * Chance that the bounded square of `n` strokes spreading `ratio` firm scales reaches `limit`, 0 to 1. The square's
 * distribution is taken for a gamma one of the same two moments: right to 0.04 for eight strokes, against drawn ones.
 */
export function chanceToReach(limit: number, ratio: number, n: number, slipRate: number): number {
  const [mean, square] = clippedMoments(ratio);
  const [strayMean, straySquare] = clippedMoments(Math.max(STRAY, 2 * ratio));
  const first = (1 - slipRate) * mean + slipRate * strayMean;
  const variance = (1 - slipRate) * square + slipRate * straySquare - first * first;
  const expected = (first * (n - 1)) / n;
  const shape = (expected * expected * n) / variance;
  return 1 - gammaCdf(shape, (limit * shape) / expected);
}

/** First two moments of the bounded square of a normal value with this deviation. */
function clippedMoments(deviation: number): [number, number] {
  const edge = BOUND / (2 * deviation * deviation);
  const beyond = 1 - gammaCdf(0.5, edge);
  return [
    deviation ** 2 * gammaCdf(1.5, edge) + BOUND * beyond,
    3 * deviation ** 4 * gammaCdf(2.5, edge) + BOUND ** 2 * beyond,
  ];
}
