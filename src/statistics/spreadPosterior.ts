/**
 * What a few values say about their spread against a known scale: a posterior over ratios R on a grid.
 *
 * Model: residual/scale is normal with spread R about an unknown place, or with chance ε it went astray (normal, spread
 * max(5, 2R)). The place is integrated out over a grid; the prior is flat in ln R (Jeffreys' for a scale). What is uncertain
 * in the scale itself, and how much notes in order differ among themselves, widens the posterior by a normal of
 * standard deviation `extra` in ln R. Validity: 2 to about 200 values; ratios from 0.3 to 12.
 */

/** Posterior over ln R: ascending grid and weights that add to 1. */
export interface SpreadPosterior {
  readonly logRatio: Float64Array;
  readonly weights: Float64Array;
}

const LOWEST = 0.3;
const HIGHEST = 12;
const POINTS = 75;
const STRAY = 5;
/** The integrand is smooth: equally spaced places two fifths of its own width apart miss nothing. */
const PLACES = 25;
/** Places reach so many standard errors either side of the middle. */
const REACH = 5;

/** The grid of ln R that every posterior shares, so that two can be compared point by point. */
export const LOG_RATIOS: Float64Array = Float64Array.from(
  { length: POINTS },
  (_, i) => Math.log(LOWEST) + (i * Math.log(HIGHEST / LOWEST)) / (POINTS - 1),
);
/** Distance of two grid points. */
export const LOG_STEP = LOG_RATIOS[1] - LOG_RATIOS[0];

/**
 * Posterior of the spread of `residuals` (any centre) against `scale`.
 * @param strayShare - ε, 0 to 0.3
 * @param extra - standard deviation of what else is uncertain in ln R
 * @throws RangeError below two values or for a scale that is not above zero.
 */
export function spreadPosterior(
  residuals: ArrayLike<number>,
  scale: number,
  strayShare: number,
  extra = 0,
): SpreadPosterior {
  if (residuals.length < 2) throw new RangeError('spread of fewer than two values');
  if (!(scale > 0)) throw new RangeError(`scale ${scale}; expected above 0`);
  const values = Float64Array.from(residuals, (r) => r / scale).sort();
  const n = values.length;
  const middle = (values[(n - 1) >> 1] + values[n >> 1]) / 2;
  const logs = LOG_RATIOS.map((logRatio) => {
    const ratio = Math.exp(logRatio);
    const reach = REACH * Math.max(ratio, 0.5) * Math.min(1, 1.25 / Math.sqrt(n) + 0.25);
    let best = -Infinity;
    const each = new Float64Array(PLACES);
    for (let k = 0; k < PLACES; k++) {
      const place = middle + reach * ((2 * k) / (PLACES - 1) - 1);
      each[k] = logLikelihood(values, place, ratio, strayShare);
      best = Math.max(best, each[k]);
    }
    let sum = 0;
    for (let k = 0; k < PLACES; k++) sum += Math.exp(each[k] - best);
    return best + Math.log(sum * reach);
  });
  const highest = Math.max(...logs);
  const weights = logs.map((log) => Math.exp(log - highest));
  return { logRatio: LOG_RATIOS, weights: normalised(extra > 0 ? widened(weights, extra) : weights) };
}

function logLikelihood(values: Float64Array, place: number, ratio: number, strayShare: number): number {
  const stray = Math.max(STRAY, 2 * ratio);
  const [own, odd] = [(1 - strayShare) / ratio, strayShare / stray];
  // Products of a handful of densities before each logarithm: the logarithm is what costs.
  let sum = 0;
  let product = 1;
  for (let i = 0; i < values.length; i++) {
    const d = values[i] - place;
    product *=
      own * Math.exp((-0.5 * d * d) / (ratio * ratio)) + odd * Math.exp((-0.5 * d * d) / (stray * stray)) + 1e-30;
    if (i % 8 === 7) {
      sum += Math.log(product);
      product = 1;
    }
  }
  return sum + Math.log(product);
}

/** Convolved with a normal of standard deviation `sd` in ln R; what falls off the grid's ends stays at them. */
function widened(weights: Float64Array, sd: number): Float64Array {
  const wide = new Float64Array(POINTS);
  const reach = Math.ceil((4 * sd) / LOG_STEP);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, k) =>
    Math.exp(-0.5 * (((k - reach) * LOG_STEP) / sd) ** 2),
  );
  const total = kernel.reduce((sum, v) => sum + v, 0);
  for (let i = 0; i < POINTS; i++) {
    for (let k = -reach; k <= reach; k++) {
      wide[Math.min(POINTS - 1, Math.max(0, i + k))] += (weights[i] * kernel[k + reach]) / total;
    }
  }
  return wide;
}

function normalised(weights: Float64Array): Float64Array {
  const sum = weights.reduce((total, v) => total + v, 0);
  return weights.map((v) => v / sum);
}

/** Quantile of ln R, between grid points by straight lines of the distribution function. `p` from 0 to 1. */
export function posteriorQuantile({ logRatio, weights }: SpreadPosterior, p: number): number {
  let below = 0;
  for (let i = 0; i < weights.length; i++) {
    if (below + weights[i] >= p) {
      const within = weights[i] > 0 ? (p - below) / weights[i] : 0.5;
      return logRatio[i] + (within - 0.5) * LOG_STEP;
    }
    below += weights[i];
  }
  return logRatio[weights.length - 1];
}

/** Probability that ln R is above `threshold`, under the posterior times `prior` (density over ln R; flat if not given). */
export function posteriorAbove(
  { logRatio, weights }: SpreadPosterior,
  threshold: number,
  prior: (logRatio: number) => number = () => 1,
): number {
  let above = 0;
  let total = 0;
  for (let i = 0; i < weights.length; i++) {
    const weight = weights[i] * prior(logRatio[i]);
    // A grid point stands for a step's width: of the one the threshold falls into, the part above counts.
    const part = Math.max(0, Math.min(1, (logRatio[i] - threshold) / LOG_STEP + 0.5));
    above += weight * part;
    total += weight;
  }
  return above / total;
}
