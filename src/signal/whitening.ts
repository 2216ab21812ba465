/**
 * Taking the ringing out: a linear predictor of a note's sustained tone, one for all its strokes.
 *
 * What rings can be predicted from what was; an attack cannot. The predictor is fitted on the sustained parts of the
 * note and subtracted everywhere, so that strokes stand out of the tone before them, and so that every stroke is
 * changed in the same way: a predictor per stroke would deform the attacks and move the times.
 *
 * Autocorrelation method and Levinson-Durbin recursion: J. Makhoul, "Linear prediction: a tutorial review", Proc. IEEE
 * 63 (1975), sections II.B and III.C. Segments are Hann-windowed and each counts by its own energy once.
 */

import { correlate } from './matching.ts';
import { fourier, powerOfTwo } from './fourier.ts';

/** A stretch of samples, from `start` up to, not including, `end`. */
export interface Stretch {
  readonly start: number;
  readonly end: number;
}

/** White noise added to the autocorrelation at lag 0, so that the recursion stays stable: -50 dB. */
const STABILISE = 1e-5;

/**
 * Fits a predictor of `order` on stretches of `samples`. Returns its error filter a[0..order], a[0] = 1: the residual
 * is Σ a[k]·x[n−k]. Stretches shorter than 3 samples an order, or silent, are passed over; with none left the result is
 * the fixed pre-emphasis 1 − 0.95·z⁻¹ (common practice).
 */
export function fitPredictor(samples: Float32Array, stretches: readonly Stretch[], order: number): Float64Array {
  const usable = stretches
    .map(({ start, end }) => ({ start: Math.max(0, start), end: Math.min(end, samples.length) }))
    .filter(({ start, end }) => end - start >= 3 * order);
  const longest = usable.reduce((most, { start, end }) => Math.max(most, end - start), 0);
  // The autocorrelation is the transform of the power spectrum, padded so that no lag wraps round.
  const transform = fourier(powerOfTwo(longest + order + 1));
  const [spectrum, power] = transform.scratch;
  power.fill(0);
  let used = 0;
  for (const { start, end } of usable) {
    const n = end - start;
    const windowed = new Float64Array(n);
    let energy = 0;
    for (let i = 0; i < n; i++) {
      const x = samples[start + i] * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / n));
      windowed[i] = x;
      energy += x * x;
    }
    if (!(energy > 1e-14 * n)) continue;
    transform.forward(windowed, 0, n, spectrum);
    for (let k = 0; k <= transform.size; k += 2) power[k] += (spectrum[k] ** 2 + spectrum[k + 1] ** 2) / energy;
    used++;
  }
  if (used === 0) return Float64Array.of(1, -0.95);
  const back = transform.inverse(power);
  const r = Float64Array.from({ length: order + 1 }, (_, k) => back[2 * k]);
  r[0] *= 1 + STABILISE;
  const a = new Float64Array(order + 1);
  levinson(r, order, a, new Float64Array(order + 1));
  return a;
}

/** Levinson-Durbin: from the autocorrelation r[0..order] the error filter a[0..order]; `previous` is working room. */
export function levinson(r: Float64Array, order: number, a: Float64Array, previous: Float64Array): void {
  a.fill(0);
  a[0] = 1;
  let error = r[0];
  for (let i = 1; i <= order; i++) {
    let k = r[i];
    for (let j = 1; j < i; j++) k += a[j] * r[i - j];
    k /= -error;
    previous.set(a);
    for (let j = 1; j < i; j++) a[j] = previous[j] + k * previous[i - j];
    a[i] = k;
    error *= 1 - k * k;
  }
}

/**
 * The residual of samples `from` up to `to` under an error filter, as a new array of `to - from` samples. Samples
 * outside the recording count as zero.
 */
export function residual(samples: Float32Array, filter: Float64Array, from: number, to: number): Float32Array {
  const order = filter.length - 1;
  const first = from - order;
  const inside = first >= 0 && to <= samples.length;
  let data: Float32Array;
  if (inside) data = samples.subarray(first, to);
  else {
    data = new Float32Array(to - first);
    const begin = Math.max(0, first);
    const end = Math.min(samples.length, to);
    if (end > begin) data.set(samples.subarray(begin, end), begin - first);
  }
  return correlate(data, Float64Array.from(filter).reverse(), new Float32Array(to - from));
}
