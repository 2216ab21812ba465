/**
 * Filters and resampling for the measuring material. Written apart from `src/signal`, so that an error there cannot
 * hide in the material it is measured on.
 *
 * Conventions: one channel, Float32Array; frequencies in hertz. The second-order sections are the bilinear Butterworth
 * ones of R. Bristow-Johnson's Audio EQ Cookbook; fractional shifts are windowed sinc (Smith & Gossett, ICASSP 1984).
 */

import FFT from 'fft.js';

/** Coefficients of a second-order section, a0 = 1. */
interface Section {
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number];
}

function section(kind: 'low' | 'high', cutoff: number, sampleRate: number, q: number): Section {
  const w = (2 * Math.PI * cutoff) / sampleRate;
  const alpha = Math.sin(w) / (2 * q);
  const cos = Math.cos(w);
  const a0 = 1 + alpha;
  const edge = kind === 'high' ? (1 + cos) / 2 : (1 - cos) / 2;
  const middle = kind === 'high' ? -(1 + cos) : 1 - cos;
  return { b: [edge / a0, middle / a0, edge / a0], a: [(-2 * cos) / a0, (1 - alpha) / a0] };
}

function run({ b, a }: Section, input: Float32Array): Float32Array {
  const output = new Float32Array(input.length);
  let z1 = 0;
  let z2 = 0;
  for (let i = 0; i < input.length; i++) {
    const x = input[i];
    const y = b[0] * x + z1;
    z1 = b[1] * x - a[0] * y + z2;
    z2 = b[2] * x - a[1] * y;
    output[i] = y;
  }
  return output;
}

/** Causal second-order Butterworth high-pass, 12 dB an octave. */
export function highPass(input: Float32Array, cutoff: number, sampleRate: number): Float32Array {
  return run(section('high', cutoff, sampleRate, Math.SQRT1_2), input);
}

/** Causal second-order Butterworth low-pass, 12 dB an octave. */
export function lowPass(input: Float32Array, cutoff: number, sampleRate: number): Float32Array {
  return run(section('low', cutoff, sampleRate, Math.SQRT1_2), input);
}

/** Half width of the sinc kernel, frames; with its Hann window the error stays under -80 dB up to 0.8 of Nyquist. */
const HALF = 24;
const PHASES = 512;

/** The kernel at PHASES + 1 fractions of a frame, one row each, for steps of one frame or less. */
const kernel = (() => {
  const table = new Float32Array((PHASES + 1) * 2 * HALF);
  for (let p = 0; p <= PHASES; p++) {
    for (let k = 0; k < 2 * HALF; k++) {
      const t = k - HALF + 1 - p / PHASES;
      const sinc = t === 0 ? 1 : Math.sin(Math.PI * t) / (Math.PI * t);
      table[p * 2 * HALF + k] = sinc * (0.5 + 0.5 * Math.cos((Math.PI * t) / (HALF + 1)));
    }
  }
  return table;
})();

/**
 * Reads `input` at `start + n·step`, n from 0 to `length` - 1, by windowed sinc; outside of it lies silence.
 * A step over 1 raises the pitch; what then passes Nyquist is folded, which for a semitone and a half touches only what
 * lies above 22 kHz. With a step of 1 it is a constant shift, exact to 1/1024 frame.
 */
export function resample(input: Float32Array, start: number, step: number, length: number): Float32Array {
  const output = new Float32Array(length);
  for (let n = 0; n < length; n++) {
    const place = start + n * step;
    const whole = Math.floor(place);
    if (whole <= -HALF || whole >= input.length + HALF) continue;
    const row = Math.round((place - whole) * PHASES) * 2 * HALF;
    const first = whole - HALF + 1;
    const from = Math.max(0, -first);
    const to = Math.min(2 * HALF, input.length - first);
    let sum = 0;
    for (let k = from; k < to; k++) sum += kernel[row + k] * input[first + k];
    output[n] = sum;
  }
  return output;
}

/** Convolution with a short response by overlap-add; the result has the input's length, its tail is cut off. */
export function convolve(input: Float32Array, response: Float32Array): Float32Array {
  let size = 4096;
  while (size < 4 * response.length) size *= 2;
  const fft = new FFT(size);
  const advance = size - response.length + 1;
  const spectrum = fft.createComplexArray() as number[];
  const block = new Float64Array(size);
  const work = new Float64Array(2 * size);
  const result = new Float64Array(2 * size);
  block.set(response);
  fft.realTransform(spectrum, block);
  fft.completeSpectrum(spectrum);
  const output = new Float32Array(input.length);
  for (let at = 0; at < input.length; at += advance) {
    block.fill(0);
    block.set(input.subarray(at, at + advance));
    fft.realTransform(work, block);
    fft.completeSpectrum(work);
    for (let i = 0; i < 2 * size; i += 2) {
      const re = work[i] * spectrum[i] - work[i + 1] * spectrum[i + 1];
      work[i + 1] = work[i] * spectrum[i + 1] + work[i + 1] * spectrum[i];
      work[i] = re;
    }
    fft.inverseTransform(result, work);
    const to = Math.min(size, input.length - at);
    for (let i = 0; i < to; i++) output[at + i] += result[2 * i];
  }
  return output;
}
