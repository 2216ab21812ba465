/**
 * The spread of a few values at a known scale, so bounded that one value that went astray cannot make it.
 *
 * T = mean of min((r/s)², 9) about a centre found by three bounded steps from the median: Huber's winsorising (1964, Annals of
 * Mathematical Statistics 35:73) with the scale known. For normal values of scale s, T is near 1. In this program's own
 * simulations (`npm run tables`) it told double spread better than median deviations, pairwise differences and tests
 * of mean deviations at the same rate of false alarms, because three in a hundred strokes go astray.
 */

import { median } from './order.ts';

/** A step reaches no further than so many scales. */
const STEP_BOUND = 2;
const STEPS = 3;
/** A squared value counts for no more than this: three scales. */
export const BOUND = 9;

/** Centre of values at a known scale: the median, then three steps by the mean of what lies within two scales. @throws RangeError without values. */
export function boundedCentre(values: ArrayLike<number>, scale: number): number {
  let centre = median(values);
  for (let step = 0; step < STEPS; step++) {
    let sum = 0;
    for (let i = 0; i < values.length; i++) {
      sum += Math.max(-STEP_BOUND * scale, Math.min(STEP_BOUND * scale, values[i] - centre));
    }
    centre += sum / values.length;
  }
  return centre;
}

/** T of values already about their centre. @throws RangeError without values. */
export function boundedSpread(residuals: ArrayLike<number>, scale: number): number {
  if (residuals.length === 0) throw new RangeError('spread of no values');
  let sum = 0;
  for (let i = 0; i < residuals.length; i++) sum += Math.min((residuals[i] / scale) ** 2, BOUND);
  return sum / residuals.length;
}
