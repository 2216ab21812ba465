/**
 * Spectral flux with meyda's spectra, peak-picked: the usual onset detector of a few dozen lines, as a peer.
 *
 * The flux is the sum of the rises of the amplitude spectrum from frame to frame (Masri 1996; Dixon, DAFx-06, eq. 2.4);
 * meyda's own `spectralFlux` cannot be called (it writes to an undeclared variable), its `amplitudeSpectrum` is used.
 * A peak is a local maximum over ±30 ms that stands over the local mean by `delta` times the curve's median (Dixon 2006,
 * section 2.2), placed by a parabola.
 */

import Meyda from 'meyda';
import type { Recording } from './material.ts';

const FRAME = 1024;
const HOP = 256;
/** Offsets of the threshold that are tried before the best is taken. */
export const FLUX_DELTAS = [0.125, 0.25, 0.5, 1, 2, 4, 8, 16, 32, 64] as const;

/** The detection curve, one value a hop of 256 frames; value i belongs to the middle of frame i. */
export function fluxCurve({ samples, sampleRate }: Recording): Float64Array {
  Meyda.bufferSize = FRAME;
  Meyda.sampleRate = sampleRate;
  Meyda.windowingFunction = 'hanning';
  const frames = Math.max(0, Math.floor((samples.length - FRAME) / HOP) + 1);
  const curve = new Float64Array(frames);
  let before: Float32Array | undefined;
  for (let f = 0; f < frames; f++) {
    const spectrum = Meyda.extract(
      'amplitudeSpectrum',
      samples.subarray(f * HOP, f * HOP + FRAME),
    ) as unknown as Float32Array;
    if (before) {
      let sum = 0;
      for (let k = 0; k < spectrum.length; k++) sum += Math.max(0, spectrum[k] - before[k]);
      curve[f] = sum;
    }
    before = Float32Array.from(spectrum);
  }
  return curve;
}

/** Peaks of a curve, seconds, ascending. */
export function fluxPeaks(curve: Float64Array, sampleRate: number, delta: number): number[] {
  const reach = Math.round((0.03 * sampleRate) / HOP);
  const middle = Float64Array.from(curve).sort()[curve.length >> 1];
  const times: number[] = [];
  for (let i = 1; i < curve.length - 1; i++) {
    let mean = 0;
    let highest = true;
    const from = Math.max(0, i - 3 * reach);
    const to = Math.min(curve.length, i + reach + 1);
    for (let k = from; k < to; k++) {
      mean += curve[k];
      if (k >= i - reach && curve[k] > curve[i]) highest = false;
    }
    if (!highest || curve[i] < mean / (to - from) + delta * middle) continue;
    const bend = curve[i - 1] - 2 * curve[i] + curve[i + 1];
    const part = bend < 0 ? (0.5 * (curve[i - 1] - curve[i + 1])) / bend : 0;
    times.push(((i + part) * HOP + FRAME / 2) / sampleRate);
  }
  return times;
}
