/**
 * The firm scale: how much travel times of notes in order scatter in this player's hand, learned while some notes are not
 * in order.
 *
 * A mixture over notes (EM): each note's residuals are normal with spread R·s, R one of a few classes (1 for firm), or went
 * astray with chance ε (spread 5s). Each class has its share with a prior that favours firm notes; s is the maximum a
 * posteriori of the firm notes' residuals. In simulation it stays within 6 % of the truth with a third of the notes
 * bad, where a median of the notes' deviations is a quarter too high. The fit is started from a low and from a usual scale,
 * and the likelier one is kept: so a piano with most notes off shows as one with few firm notes, not as a wide hand.
 */

import { quantile } from '../../statistics/order.ts';

/** Spreads of the classes against the firm scale, and the prior count of notes in each. */
const CLASSES = [1, 1.35, 1.8, 2.4, 3.2, 4.5] as const;
const PRIOR_COUNTS = [6, 0.3, 0.3, 0.3, 0.3, 0.3] as const;
const STRAY = 5;
const ROUNDS = 40;
/** First sitting: about 4 % within a factor of 1.6. An assumption, from computed hands and few real strokes. */
export const PRIOR_SCALE = 0.041;
export const PRIOR_LOG_SD = 0.5;
/** A hand's scale from one sitting to the next: an assumption. */
export const RETURNING_LOG_SD = 0.15;
const LEAST_STRAY = 0.01;
const MOST_STRAY = 0.15;
const STRAY_PRIOR_COUNT = 40;
const STRAY_PRIOR = 0.03;
/** A piano with most notes off is as seldom as one in fifty: so much likelier, ln, the low scale must be. An assumption. */
const MOSTLY_OFF = Math.log(50);
/** Of few strokes the quietest notes look firm and the others wide: by so much over their number the scale comes out low. From simulation. */
const FEW_BIAS = 0.35;
/** Fewest strokes with which a note takes part. */
export const LEAST_STROKES = 3;

export interface ScaleFit {
  readonly scale: number;
  /** Standard error of ln scale. */
  readonly logError: number;
  readonly strayShare: number;
  /** Share of the notes in the firm class. */
  readonly firmShare: number;
  /** Notes that took part. */
  readonly notes: number;
}

/** Fits the scale to residuals about their centres, a list a note; `prior` for ln scale from an earlier sitting. */
export function firmScale(
  residuals: readonly (readonly number[])[],
  prior: { readonly scale: number; readonly logSd: number } = { scale: PRIOR_SCALE, logSd: PRIOR_LOG_SD },
): ScaleFit {
  const notes = residuals
    .filter(({ length }) => length >= LEAST_STROKES)
    .map((own) => own.map((r) => r * Math.sqrt(own.length / (own.length - 1))));
  if (notes.length === 0) {
    return { scale: prior.scale, logError: prior.logSd, strayShare: STRAY_PRIOR, firmShare: 1, notes: 0 };
  }
  const deviations = notes.map((own) => 1.4826 * quantile(own.map(Math.abs), 0.5));
  const starts = [0.9 * quantile(deviations, 0.5), 0.9 * quantile(deviations, 0.15)];
  const fits = starts.map((start) => fitFrom(notes, Math.max(start, 1e-3), prior));
  const [usual, low] = fits;
  return low.logPosterior > usual.logPosterior + MOSTLY_OFF ? low : usual;
}

function fitFrom(
  notes: readonly (readonly number[])[],
  start: number,
  prior: { readonly scale: number; readonly logSd: number },
): ScaleFit & { readonly logPosterior: number } {
  let scale = start;
  let strayShare = STRAY_PRIOR;
  let shares: number[] = PRIOR_COUNTS.map((count) => count / 7.5);
  let logPosterior = -Infinity;
  let effective = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const sums = PRIOR_COUNTS.map((count) => count as number);
    let [squares, weight, stray, count] = [0, 0, 0, 0];
    logPosterior = -0.5 * (Math.log(scale / prior.scale) / prior.logSd) ** 2;
    for (const own of notes) {
      const logs = CLASSES.map(
        (ratio, k) => Math.log(shares[k]) + logDensity(own, ratio * scale, STRAY * scale, strayShare),
      );
      const highest = Math.max(...logs);
      const total = logs.reduce((sum, log) => sum + Math.exp(log - highest), 0);
      logPosterior += highest + Math.log(total);
      const firm = Math.exp(logs[0] - highest) / total;
      logs.forEach((log, k) => (sums[k] += Math.exp(log - highest) / total));
      for (const r of own) {
        const ofNote = ((1 - strayShare) / scale) * Math.exp(-0.5 * (r / scale) ** 2);
        const ofStray = (strayShare / (STRAY * scale)) * Math.exp(-0.5 * (r / (STRAY * scale)) ** 2);
        const kept = ofNote / (ofNote + ofStray + 1e-300);
        squares += firm * kept * r * r;
        weight += firm * kept;
        stray += firm * (1 - kept);
        count += firm;
      }
    }
    const all = sums.reduce((sum, v) => sum + v, 0);
    shares = sums.map((v) => v / all);
    shares.forEach((share, k) => (logPosterior += PRIOR_COUNTS[k] * Math.log(share)));
    // The degrees of freedom are what the residuals were widened for; the prior of ln scale stands as so many of them.
    effective = Math.max(0, weight - weight / averageLength(notes));
    // With hardly a stroke taken for firm, or none that scatters, only the prior is left.
    const precision = squares > 0 ? 2 * effective : 0;
    const own = precision > 0 ? 0.5 * Math.log(squares / weight) : 0;
    scale = Math.exp((own * precision + Math.log(prior.scale) / prior.logSd ** 2) / (precision + 1 / prior.logSd ** 2));
    strayShare = (stray + STRAY_PRIOR_COUNT * STRAY_PRIOR) / (count + STRAY_PRIOR_COUNT);
    strayShare = Math.min(MOST_STRAY, Math.max(LEAST_STRAY, strayShare));
  }
  const logError = 1 / Math.sqrt(2 * effective + 1 / prior.logSd ** 2);
  // The more weight the round's own strokes have against the prior, the more of their bias there is to undo.
  const own = (2 * effective) / (2 * effective + 1 / prior.logSd ** 2);
  scale *= 1 + (own * FEW_BIAS) / averageLength(notes);
  return { scale, logError, strayShare, firmShare: shares[0], notes: notes.length, logPosterior };
}

function averageLength(notes: readonly (readonly number[])[]): number {
  return notes.reduce((sum, { length }) => sum + length, 0) / notes.length;
}

/** Logarithm of the density of a note's residuals. */
function logDensity(residuals: readonly number[], scale: number, strayScale: number, strayShare: number): number {
  let sum = 0;
  for (const r of residuals) {
    sum += Math.log(
      ((1 - strayShare) / scale) * Math.exp(-0.5 * (r / scale) ** 2) +
        (strayShare / strayScale) * Math.exp(-0.5 * (r / strayScale) ** 2) +
        1e-300,
    );
  }
  return sum;
}
