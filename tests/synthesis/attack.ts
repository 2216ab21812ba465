/**
 * Measures of one struck note by which a modelled tone is held against recorded ones.
 *
 * Input is mono, one stroke, beginning shortly before the tone. Levels are decibels of amplitude. Definitions are this
 * project's own (common practice, no source) and serve comparison only: both sides are measured by the same lines.
 */

import FFT from 'fft.js';

export interface AttackMeasures {
  /** Time from 10 to 90 % of the highest short-time level (RMS over 5 ms) of the first 150 ms, milliseconds. */
  riseMs: number;
  /** Slope of the third-octave levels of the first 340 ms, from a band about the first partial (80 Hz at least) to 12 kHz, dB per octave. */
  slopeDbPerOctave: number;
  /** Fall of the level (RMS over 100 ms) from 0.1 to 1.1 s after the rise, dB. */
  decayDb: number;
  /** RMS of what stands before the tone, re the highest short-time level, dB. */
  floorDb: number;
}

/** Measures of the stroke in `x`, whose first partial sounds at `first` hertz. */
export function measureAttack(x: Float32Array, sampleRate: number, first: number): AttackMeasures {
  const window = Math.round(0.005 * sampleRate);
  const level = new Float64Array(x.length);
  let sum = 0;
  for (let i = 0; i < x.length; i++) {
    sum += x[i] * x[i] - (i >= window ? x[i - window] * x[i - window] : 0);
    level[i] = Math.sqrt(Math.max(0, sum) / window);
  }
  const start = firstAbove(level, 0.1 * highest(level, 0, x.length), 0);
  const top = highest(level, start, start + Math.round(0.15 * sampleRate));
  const t10 = firstAbove(level, 0.1 * top, 0);
  const t90 = firstAbove(level, 0.9 * top, t10);
  const before = Math.max(window, t10 - Math.round(0.012 * sampleRate));
  const at = (seconds: number): number => t10 + Math.round(seconds * sampleRate);
  return {
    riseMs: (1000 * (t90 - t10)) / sampleRate,
    slopeDbPerOctave: spectralSlope(x.subarray(t10), sampleRate, first),
    decayDb: 20 * Math.log10(rms(x, at(0.1), at(0.2)) / rms(x, at(1.1), at(1.2))),
    floorDb: 20 * Math.log10(rms(x, 0, before) / top + 1e-9),
  };
}

function spectralSlope(x: Float32Array, sampleRate: number, first: number): number {
  const size = 2 ** Math.round(Math.log2(0.34 * sampleRate));
  const fft = new FFT(size);
  const real = Array.from({ length: size }, (_, i) => (x[i] ?? 0) * Math.cos((Math.PI * i) / (2 * size)) ** 2);
  const spectrum = fft.createComplexArray();
  fft.realTransform(spectrum, real);
  const octaves: number[] = [];
  const levels: number[] = [];
  const low = Math.max(first, 80);
  for (let centre = low; centre * 2 ** (1 / 6) < 12000; centre *= 2 ** (1 / 3)) {
    let power = 0;
    const to = Math.ceil((centre * 2 ** (1 / 6) * size) / sampleRate);
    for (let k = Math.floor((centre * 2 ** (-1 / 6) * size) / sampleRate); k < to; k++)
      power += spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2;
    octaves.push(Math.log2(centre / low));
    levels.push(10 * Math.log10(power + 1e-20));
  }
  const mean = (v: number[]): number => v.reduce((a, b) => a + b, 0) / v.length;
  const mx = mean(octaves);
  const my = mean(levels);
  let xy = 0;
  let xx = 0;
  for (let i = 0; i < octaves.length; i++) {
    xy += (octaves[i] - mx) * (levels[i] - my);
    xx += (octaves[i] - mx) ** 2;
  }
  return xy / xx;
}

function rms(x: Float32Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += x[i] ** 2;
  return Math.sqrt(sum / (to - from));
}

function highest(level: Float64Array, from: number, to: number): number {
  let best = 0;
  for (let i = from; i < Math.min(to, level.length); i++) best = Math.max(best, level[i]);
  return best;
}

function firstAbove(level: Float64Array, threshold: number, from: number): number {
  for (let i = from; i < level.length; i++) if (level[i] >= threshold) return i;
  throw new RangeError(`level never reaches ${threshold}; expected a stroke in the signal`);
}
