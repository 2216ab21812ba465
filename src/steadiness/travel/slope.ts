/**
 * How travel time follows loudness: one slope for the whole piano, from all notes' usual strokes together.
 *
 * Regression of ln travel time on level within note and recording (levels compare within one recording only), with Huber's
 * weights, and a prior: -0.06 per dB with a standard deviation of 0.03. The prior is an assumption: an exponent of about
 * -0.57 against hammer speed and a level that grows by 20 dB a decade, both from memory of published work, give -0.065;
 * struck and pressed touch lie on either side of it. A slope a note of its own is never fitted: in simulation that
 * makes one firm note in eight look unsteady. Errors in the levels flatten the slope; that is left so, because the
 * flattened slope is the one that leaves the least spread.
 */

import { median } from '../../statistics/order.ts';
import type { TravelStroke } from '../evidence.ts';

export const PRIOR_SLOPE = -0.06;
export const PRIOR_SLOPE_SD = 0.03;
const STEEPEST = -0.14;
const FLATTEST = -0.01;
const ROUNDS = 8;
const HUBER = 1.5;

/** A slope and its standard error, ln travel time per dB. */
export interface Slope {
  readonly slope: number;
  readonly error: number;
}

/** Strokes of one note in one look and one recording, by index into the list they are from: a hand drifts from look to look. */
export function cellsOf(strokes: readonly TravelStroke[]): number[][] {
  const cells = new Map<string, number[]>();
  strokes.forEach(({ midi, source, look }, i) => {
    const key = `${midi} ${source} ${look}`;
    const cell = cells.get(key);
    if (cell) cell.push(i);
    else cells.set(key, [i]);
  });
  return [...cells.values()];
}

/** The pooled slope; with `prior` from an earlier fit of the same hand. Strokes in cells of one say nothing. */
export function pooledSlope(
  strokes: readonly TravelStroke[],
  prior: Slope = { slope: PRIOR_SLOPE, error: PRIOR_SLOPE_SD },
): Slope {
  const cells = cellsOf(strokes).filter(({ length }) => length >= 2);
  if (cells.length === 0) return prior;
  let slope = prior.slope;
  let error = prior.error;
  for (let round = 0; round < ROUNDS; round++) {
    const residuals = cells.map((cell) => {
      const own = cell.map((i) => strokes[i].logTravel - slope * strokes[i].levelDb);
      const centre = median(own);
      return own.map((r) => r - centre);
    });
    const scale = Math.max(1e-4, 1.4826 * median(residuals.flat().map(Math.abs)));
    let [xx, xy] = [0, 0];
    cells.forEach((cell, c) => {
      const weights = residuals[c].map((r) => Math.min(1, (HUBER * scale) / Math.max(Math.abs(r), 1e-12)));
      const total = weights.reduce((sum, w) => sum + w, 0);
      let [mx, my] = [0, 0];
      cell.forEach((i, k) => {
        mx += (weights[k] * strokes[i].levelDb) / total;
        my += (weights[k] * strokes[i].logTravel) / total;
      });
      cell.forEach((i, k) => {
        const x = strokes[i].levelDb - mx;
        xx += weights[k] * x * x;
        xy += weights[k] * x * (strokes[i].logTravel - my);
      });
    });
    const precision = xx / scale ** 2 + 1 / prior.error ** 2;
    slope = Math.min(FLATTEST, Math.max(STEEPEST, (xy / scale ** 2 + prior.slope / prior.error ** 2) / precision));
    error = 1 / Math.sqrt(precision);
  }
  return { slope, error };
}
