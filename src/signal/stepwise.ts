/**
 * Linear prediction in small steps, for pieces that are looked at on the audio thread.
 *
 * The same method as in `whitening.ts`, cut so that no step costs more than about {@link STEP_WORK} multiplications, and
 * without allocation.
 */

import type { Seconds } from '../units.ts';

/** Longest pieces that can be looked at. */
export const LONGEST_PIECE: Seconds = 0.56;
/** Work of one step: multiplications, about. */
export const STEP_WORK = 18_000;
/** Power below which there is only silence. */
export const SILENCE = 1e-14;
/** White noise added to the autocorrelation at lag 0, so that the recursion stays stable: -50 dB. */
export const STABILISE = 1e-5;

/** Writes the first `count` samples, Hann-windowed, into `windowed`. */
export function prepareAutocorrelation(piece: Float32Array, count: number, windowed: Float64Array): void {
  const turn = (2 * Math.PI) / Math.max(1, count);
  // cos((n + 1)x) = 2 cos x cos nx - cos((n - 1)x): a cosine a sample would take longer than all the rest of a step.
  const twice = 2 * Math.cos(turn);
  let before = Math.cos(-0.5 * turn);
  let now = Math.cos(0.5 * turn);
  for (let i = 0; i < count; i++) {
    windowed[i] = piece[i] * (0.5 - 0.5 * now);
    const next = twice * now - before;
    before = now;
    now = next;
  }
}

/** Writes some lags of the autocorrelation from `lag` on into `r`; returns the next one to be done. */
export function someLags(windowed: Float64Array, count: number, r: Float64Array, lag: number, order: number): number {
  const next = Math.min(order + 1, lag + Math.max(1, Math.floor(STEP_WORK / Math.max(1, count))));
  for (let k = lag; k < next; k++) r[k] = product(windowed, k, count);
  if (lag === 0) r[0] = r[0] * (1 + STABILISE) + SILENCE * (count + 1);
  return next;
}

/**
 * The first `count` samples times those `lag` before, added up: four sums side by side, so that the processor need not wait
 * for one before the next.
 */
function product(x: Float64Array, lag: number, count: number): number {
  let a = 0;
  let b = 0;
  let c = 0;
  let d = 0;
  let i = lag;
  for (; i + 3 < count; i += 4) {
    a += x[i] * x[i - lag];
    b += x[i + 1] * x[i + 1 - lag];
    c += x[i + 2] * x[i + 2 - lag];
    d += x[i + 3] * x[i + 3 - lag];
  }
  for (; i < count; i++) a += x[i] * x[i - lag];
  return a + b + (c + d);
}

/** The prediction error at sample `at`, which must be at least `order`, a multiple of four. */
export function filtered(x: Float64Array, at: number, a: Float64Array, order: number): number {
  let s = x[at];
  let t = 0;
  let u = 0;
  let v = 0;
  for (let k = 1; k < order; k += 4) {
    s += a[k] * x[at - k];
    t += a[k + 1] * x[at - k - 1];
    u += a[k + 2] * x[at - k - 2];
    v += a[k + 3] * x[at - k - 3];
  }
  return s + t + (u + v);
}
