/**
 * Finding a known attack in a stretch of samples: normalised correlation at every lag.
 *
 * For a template T of m samples and data y, at lag p: c = Σ y[p+i]·T[i], and the match ρ = c / (‖T‖·‖y[p..p+m)‖), from
 * -1 to 1. ρ² is the share of the data's energy that the template, scaled to fit best, explains; c / ‖T‖² is that
 * scale. By fast convolution in blocks (overlap-save); a parabola through three lags gives the place between samples.
 */

import { fourier, powerOfTwo } from './fourier.ts';

/** Matches over a stretch: `rho[p]` and `gain[p]` for the template's first sample at data sample p. */
export interface Matches {
  readonly rho: Float32Array;
  readonly gain: Float32Array;
}

/** Below this energy per sample the data count as silence, and match nothing. */
const SILENCE = 1e-13;

/** Correlates `template` with `data` at every lag at which it lies inside. Data shorter than the template give none. */
export function matchEverywhere(data: Float32Array, template: Float32Array): Matches {
  const m = template.length;
  const lags = Math.max(0, data.length - m + 1);
  const rho = new Float32Array(lags);
  const gain = new Float32Array(lags);
  if (lags === 0 || m === 0) return { rho, gain };

  let templateEnergy = 0;
  for (const v of template) templateEnergy += v * v;
  if (!(templateEnergy > 0)) return { rho, gain };

  correlate(data, template, gain);

  let energy = 0;
  for (let i = 0; i < m; i++) energy += data[i] * data[i];
  const floor = SILENCE * m;
  for (let p = 0; p < lags; p++) {
    const c = gain[p];
    rho[p] = energy > floor ? c / Math.sqrt(energy * templateEnergy) : 0;
    gain[p] = c / templateEnergy;
    energy += data[p + m] * data[p + m] - data[p] * data[p];
  }
  return { rho, gain };
}

/**
 * Correlation of `kernel` with `data` at lags 0, 1, ... as far as `into` reaches: Σ data[lag + i]·kernel[i]. Data count
 * as zero beyond their end. Overlap-save in blocks of about four kernels.
 */
export function correlate(data: Float32Array, kernel: ArrayLike<number>, into: Float32Array): Float32Array {
  const m = kernel.length;
  const lags = into.length;
  const n = Math.min(powerOfTwo(Math.max(512, 4 * m)), powerOfTwo(lags + m));
  const step = n - m + 1;
  const transform = fourier(n);
  const [spectrum, kernelSpectrum] = transform.scratch;
  transform.forward(kernel, 0, m, kernelSpectrum);
  transform.complete(kernelSpectrum);
  // Two blocks at a time, as the real and the imaginary part of one: the kernel is real, so they stay apart.
  const { pair } = transform;
  for (let start = 0; start < lags; start += 2 * step) {
    const second = start + step;
    for (let i = 0; i < n; i++) {
      pair[2 * i] = start + i < data.length ? data[start + i] : 0;
      pair[2 * i + 1] = second + i < data.length ? data[second + i] : 0;
    }
    transform.forwardPair(spectrum);
    for (let k = 0; k < 2 * n; k += 2) {
      const re = spectrum[k] * kernelSpectrum[k] + spectrum[k + 1] * kernelSpectrum[k + 1];
      const im = spectrum[k + 1] * kernelSpectrum[k] - spectrum[k] * kernelSpectrum[k + 1];
      spectrum[k] = re;
      spectrum[k + 1] = im;
    }
    const back = transform.inversePair(spectrum);
    const count = Math.min(step, lags - start);
    for (let i = 0; i < count; i++) into[start + i] = back[2 * i];
    const rest = Math.min(step, lags - second);
    for (let i = 0; i < rest; i++) into[second + i] = back[2 * i + 1];
  }
  return into;
}

/** Place of the peak between samples, -0.5 to 0.5 about `at`, by the parabola through three values. */
export function peakOffset(values: ArrayLike<number>, at: number): number {
  if (at < 1 || at + 1 >= values.length) return 0;
  const curvature = values[at - 1] - 2 * values[at] + values[at + 1];
  if (!(curvature < 0)) return 0;
  return Math.max(-0.5, Math.min(0.5, (0.5 * (values[at - 1] - values[at + 1])) / curvature));
}

/** Index of the largest of `values` from `from` up to, not including, `to` (both clamped); -1 if that is empty. */
export function largestBetween(values: ArrayLike<number>, from: number, to: number): number {
  let best = -1;
  for (let i = Math.max(0, from); i < Math.min(values.length, to); i++)
    if (best < 0 || values[i] > values[best]) best = i;
  return best;
}

/** Copies `count` samples from the fractional place `at` on, by windowed-sinc interpolation over 24 samples. */
export function resampleAt(
  samples: Float32Array,
  at: number,
  count: number,
  into = new Float32Array(count),
): Float32Array {
  const whole = Math.floor(at);
  const fraction = at - whole;
  if (fraction < 1e-4) {
    for (let i = 0; i < count; i++) into[i] = samples[whole + i] ?? 0;
    return into;
  }
  const taps = new Float64Array(24);
  for (let k = 0; k < 24; k++) {
    const u = k - 11 - fraction;
    const window = 0.5 + 0.5 * Math.cos((Math.PI * u) / 12.5);
    taps[k] = (Math.sin(Math.PI * u) / (Math.PI * u)) * window;
  }
  for (let i = 0; i < count; i++) {
    let sum = 0;
    const first = whole + i - 11;
    if (first >= 0 && first + 24 <= samples.length) for (let k = 0; k < 24; k++) sum += taps[k] * samples[first + k];
    else for (let k = 0; k < 24; k++) sum += taps[k] * (samples[first + k] ?? 0);
    into[i] = sum;
  }
  return into;
}
