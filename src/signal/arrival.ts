/**
 * The zero of a note: when, on its mean attack, the hammer's energy first arrives.
 *
 * A template times the strokes of one note against each other; where its own zero lies is a constant that must be
 * picked. It is picked on the mean of the aligned, energy-normalised strokes, where noise has been averaged down, in the
 * band from 250 Hz to 5 kHz (causal filters): in the bass the bending waves arrive there long before the wave that
 * carries the tone, half a period of the string. The pick is the split that best makes two pieces of constant variance
 * of the record (Akaike's criterion; N. Maeda, "A method for reading and checking phase times in auto-processing system
 * of seismic wave data", Zisin 38 (1985), 365).
 */

import type { Hertz, Seconds } from '../units.ts';
import { bandSections, filterAll } from './biquad.ts';
import { resampleAt } from './matching.ts';
import type { Layer } from './pyramid.ts';

const BEFORE: Seconds = 0.04;
const AFTER: Seconds = 0.04;
const LOW: Hertz = 250;
const HIGH: Hertz = 5000;
/**
 * Below this fundamental the wave that carries the tone is picked as well, in its own band. It comes (1 − α)/(2·f0) after
 * the hammer, α ≈ 0.12 being the strike point's share of the string: geometry. In noise it is the surer witness.
 */
const WAVE_BELOW: Hertz = 110;
const WAVE_LOW: Hertz = 60;
const WAVE_HIGH: Hertz = 300;
const WAVE_DELAY = 0.44;
/** It may move the pick by so much: both are good to some milliseconds there, and neither knows the other's error. */
const WAVE_SAY: Seconds = 0.0065;
/** What is kept of the record before the filters have settled. */
const SETTLE: Seconds = 0.004;
/** Ratio of the variances below which there is no step to be seen. */
const LEAST_STEP = 2;
/**
 * Power, against the mean of the record, below which nothing is seen: it makes the pick the same in quiet as in some noise,
 * and hides what a finger's contact or a codec puts before the tone.
 */
const HIDDEN = 0.004;

/**
 * Offset of the first arrival from the given times, seconds, on the mean of the strokes there, for a note of the given
 * fundamental. `null` where no step stands out of what is before it.
 */
export function arrivalOffset(layer: Layer, times: readonly Seconds[], fundamental: Hertz): Seconds | null {
  const touch = stepOffset(layer, times, LOW, HIGH);
  if (fundamental >= WAVE_BELOW) return touch;
  const wave = stepOffset(layer, times, WAVE_LOW, WAVE_HIGH);
  if (wave === null) return touch;
  const before = wave - WAVE_DELAY / fundamental;
  return touch === null ? before : Math.min(touch, Math.max(before, touch - WAVE_SAY));
}

function stepOffset({ samples, rate }: Layer, times: readonly Seconds[], low: Hertz, high: Hertz): Seconds | null {
  const before = Math.round(BEFORE * rate);
  const count = before + Math.round(AFTER * rate);
  const sections = bandSections(low, Math.min(high, 0.45 * rate), rate);
  const mean = new Float32Array(count);
  const piece = new Float32Array(count);
  for (const time of times) {
    resampleAt(samples, time * rate - before, count, piece);
    filterAll(piece, sections, piece);
    let energy = 0;
    for (let i = before; i < count; i++) energy += piece[i] * piece[i];
    if (!(energy > 0)) continue;
    const scale = 1 / Math.sqrt(energy);
    for (let i = 0; i < count; i++) mean[i] += piece[i] * scale;
  }
  const start = Math.round(SETTLE * rate);
  const split = akaikeSplit(mean, start, crestOf(mean, start));
  return split === null ? null : (split - before) / rate;
}

function crestOf(wave: Float32Array, from: number): number {
  let crest = from;
  for (let i = from; i < wave.length; i++) if (Math.abs(wave[i]) > Math.abs(wave[crest])) crest = i;
  return crest;
}

/** The split of wave[from..to) that minimises k·ln σ₁² + (n − k)·ln σ₂²; `null` without a step. */
export function akaikeSplit(wave: Float32Array, from: number, to: number): number | null {
  const n = to - from;
  const margin = 16;
  if (n < 4 * margin) return null;
  const sums = new Float64Array(n + 1);
  for (let i = 0; i < n; i++) sums[i + 1] = sums[i] + wave[from + i] ** 2;
  const floor = HIDDEN * (sums[n] / n) + 1e-30;
  let best = -1;
  let least = Infinity;
  for (let k = margin; k < n - margin / 2; k++) {
    const first = sums[k] / k + floor;
    const second = (sums[n] - sums[k]) / (n - k) + floor;
    const criterion = k * Math.log(first) + (n - k) * Math.log(second);
    if (criterion < least) {
      least = criterion;
      best = k;
    }
  }
  const step = ((sums[n] - sums[best]) / (n - best) + floor) / (sums[best] / best + floor);
  return step >= LEAST_STEP ? from + best : null;
}
