/**
 * A note's attack: learned from its own strokes, found again wherever it stands, and timed.
 *
 * The ringing of the note is predicted away (see whitening), and the mean of the aligned, energy-normalised attacks that
 * remain is the note's template. Every later stroke of the note, on silence or on its own ringing, is a peak of the
 * normalised correlation with it. Pickers only give hints; all times come from here.
 *
 * Rates: below C4 the work is done at about 6 kHz, up to B5 at 12 kHz, above at 24 kHz: low enough that a predictor of
 * 128 taps resolves the partials of the register, high enough that a hundredth of a millisecond can be seen. Measured on
 * real tones struck eight times a second over undamped ringing, this finds what neither band energy nor correlation on
 * the plain wave finds, and its times scatter a third to a tenth as much.
 *
 * Conventions: times are seconds in the recording; the template's own zero is a fixed place near the start of the
 * attack, a constant of the note.
 */

import { median, medianDeviation, quantile } from '../statistics/order.ts';
import { amplitudeToDecibels, type Decibels, type Hertz, type MidiNote, type Seconds } from '../units.ts';
import { largestBetween, matchEverywhere, peakOffset, resampleAt } from './matching.ts';
import type { Pyramid } from './pyramid.ts';
import { fitPredictor, residual, type Stretch } from './whitening.ts';

/** A coarse stroke to learn from. */
export interface Hint {
  readonly seconds: Seconds;
  /** Time to the next hint (or a large number). */
  readonly until: Seconds;
  /** Time since the hint before (or a large number). */
  readonly rest: Seconds;
  readonly level: Decibels;
}

/** What was learned of a note; enough to find it in another recording of the same piano and microphone. */
export interface Attack {
  readonly rate: Hertz;
  /** Error filter of the predictor. */
  readonly filter: Float64Array;
  /** Whitened attack of unit energy. */
  readonly template: Float32Array;
  /** Place of the zero in the template, samples. */
  readonly zero: number;
  /** Scale of a template stroke: median factor by which the template occurred in the strokes it was learned from. */
  readonly scale: number;
  /** Median match of those strokes. */
  readonly match: number;
  readonly strokes: number;
}

/** One place where the attack was found. */
export interface Found {
  /** Time of the template's zero. */
  readonly seconds: Seconds;
  /** Normalised correlation, 0 to 1. */
  readonly match: number;
  /** Scale against the template strokes, dB. */
  readonly gain: Decibels;
  /** Best match within 8 ms but outside the peak itself, over the peak: near 1 means a period may have been slipped. */
  readonly runnerUp: number;
  /**
   * Expected error of the time against the note's other strokes, seconds: what white noise of the unexplained power would
   * do to the place of the peak (the bound for a known wave: S. Kay, Fundamentals of Statistical Signal Processing I,
   * section 3.11; from memory), and what the parabola between the samples adds. Held against real strokes at known
   * distances, in quiet over loud ringing and down to 12 dB, 90 % limits made of it hold 96 to 100 %: it errs on the side
   * of caution.
   */
  readonly timingError: Seconds;
  /** Distance above the matches of nothing in this stretch, in their own robust standard deviations. */
  readonly contrast: number;
}

interface Register {
  readonly rate: Hertz;
  readonly order: number;
  /** Length of the template after its zero. */
  readonly length: Seconds;
}

const BEFORE_ZERO: Seconds = 0.004;
const WIDE_BEFORE: Seconds = 0.014;
/** A coarse time may be wrong by this much, most of it in the lowest octave. */
const HINT_ERROR: Seconds = 0.022;
const RING_FROM: Seconds = 0.04;
const RING_UP_TO: Seconds = 0.34;
const MOST_STROKES = 14;
const MOST_SEEDS = 3;
/** With this no other seed is tried. */
const CLEAR_AGREEMENT = 0.85;
/** Median match below which strokes are not one note's. */
const LEAST_AGREEMENT = 0.45;
/** Error of the parabola between samples, in samples: from strokes at known distances in quiet. */
const BETWEEN_SAMPLES = 0.05;
/** Strokes nearer than this are not told apart here. */
export const LEAST_INTERVAL: Seconds = 0.036;

function registerOf(midi: MidiNote): Register {
  if (midi < 60) return { rate: 5400, order: 128, length: 0.03 };
  if (midi < 84) return { rate: 10800, order: 128, length: 0.023 };
  return { rate: 21600, order: 64, length: 0.018 };
}

/**
 * Learns a note's attack from coarse strokes. `null` where they do not agree enough to be one note's strokes: fewer than
 * two, or a median match below 0.45.
 */
export function learnAttack(pyramid: Pyramid, midi: MidiNote, hints: readonly Hint[]): Attack | null {
  const register = registerOf(midi);
  const layer = pyramid.atLeast(register.rate);
  const { samples, rate } = layer;
  const order = Math.min(register.order, Math.round((register.order * rate) / register.rate));
  const stretches = ringingStretches(hints, rate);
  const longest = stretches.reduce((most, s) => Math.max(most, s.end - s.start), 0);
  const filter = fitPredictor(samples, stretches, Math.max(8, Math.min(order, Math.floor(longest / 3))));

  const chosen = chooseHints(hints);
  if (chosen.length < 2) return null;
  const reach = Math.round(HINT_ERROR * rate);
  const span = Math.round((WIDE_BEFORE + register.length) * rate) + 4 * reach;
  const pieces = chosen.map((hint) => {
    const at = Math.round(hint.seconds * rate) - 2 * reach - Math.round(WIDE_BEFORE * rate);
    return { data: residual(samples, filter, at, at + span), hint };
  });

  let best: Learned | null = null;
  const seeds = [...pieces].sort((a, b) => seedWorth(b.hint) - seedWorth(a.hint)).slice(0, MOST_SEEDS);
  for (const seed of seeds) {
    const learned = learnFrom(seed.data, pieces, rate, register.length);
    if (!best || learned.match > best.match) best = learned;
    if (best.match >= CLEAR_AGREEMENT) break;
  }
  if (!best || best.match < LEAST_AGREEMENT) return null;
  return { rate, filter, zero: Math.round(BEFORE_ZERO * rate), ...best };
}

interface Learned {
  readonly template: Float32Array;
  readonly match: number;
  readonly scale: number;
  readonly strokes: number;
}

/**
 * From one stroke to the mean of all: aligned to the seed with room before it, the mean shows where the burst really
 * begins; cut there, it is aligned and averaged once more.
 */
function learnFrom(
  seed: Float32Array,
  pieces: readonly { data: Float32Array }[],
  rate: Hertz,
  after: Seconds,
): Learned {
  const wide = Math.round((WIDE_BEFORE + after) * rate);
  const peak = burstStart(seed, rate, Math.round(HINT_ERROR * rate), seed.length - wide);
  const from = Math.max(0, Math.min(seed.length - wide, peak - Math.round(WIDE_BEFORE * rate)));
  const first = alignAll(pieces, unit(seed.slice(from, from + wide)), wide);
  const mean = meanOf(first.attacks, wide);
  const start = burstStart(mean, rate, 0, mean.length);
  const length = Math.round((BEFORE_ZERO + after) * rate);
  const cut = Math.max(0, Math.min(wide - length, start - Math.round(BEFORE_ZERO * rate)));
  const second = alignAll(pieces, unit(mean.slice(cut, cut + length)), length);
  const template = unit(meanOf(second.attacks, length));
  return { template, match: second.match, scale: second.scale, strokes: second.attacks.length };
}

function ringingStretches(hints: readonly Hint[], rate: Hertz): Stretch[] {
  return hints.map(({ seconds, until }) => ({
    start: Math.round((seconds + RING_FROM) * rate),
    end: Math.round((seconds + Math.min(RING_UP_TO, until - 0.012)) * rate),
  }));
}

/** Prefers strokes on silence that are left to ring; falls back on the rest. */
function chooseHints(hints: readonly Hint[]): Hint[] {
  const usable = hints.filter((hint) => hint.until > 0.05);
  return [...usable].sort((a, b) => seedWorth(b) - seedWorth(a)).slice(0, MOST_STROKES);
}

function seedWorth(hint: Hint): number {
  return Math.min(hint.rest, 0.5) * 60 + Math.min(hint.until, 0.2) * 20 + hint.level;
}

/**
 * Where the burst of a whitened attack begins: the first millisecond whose energy reaches a tenth of the strongest's,
 * and three times what stands before, within 20 ms before the strongest. `from` and `to` bound the strongest.
 */
function burstStart(data: Float32Array, rate: Hertz, from: number, to: number): number {
  const width = Math.max(2, Math.round(0.001 * rate));
  const energy = new Float64Array(data.length);
  let sum = 0;
  for (let i = 0; i < data.length; i++) {
    sum += data[i] * data[i] - (i >= width ? data[i - width] ** 2 : 0);
    energy[i] = sum;
  }
  const top = largestBetween(energy, Math.max(width, from), to);
  if (top < 0) return 0;
  const earliest = Math.max(width, top - Math.round(0.02 * rate));
  const noise = earliest > 2 * width ? quantile(energy.subarray(width, earliest), 0.7) : 0;
  const floor = Math.min(0.6 * energy[top], Math.max(0.1 * energy[top], 3 * noise));
  let start = earliest;
  while (start < top && energy[start] < floor) start++;
  return start - (width >> 1);
}

function alignAll(pieces: readonly { data: Float32Array }[], template: Float32Array, length: number) {
  const fits = pieces.map(({ data }) => {
    const { rho, gain } = matchEverywhere(data, template);
    const at = largestBetween(rho, 1, rho.length - 1);
    return { data, at: at + peakOffset(rho, at), match: rho[at], gain: gain[at] };
  });
  const match = median(fits.map((fit) => fit.match));
  const kept = fits.filter((fit) => fit.match >= 0.6 * match && fit.gain > 0);
  const attacks = kept.map((fit) => ({ wave: unit(resampleAt(fit.data, fit.at, length)), weight: fit.match ** 2 }));
  return { match, scale: median(kept.map((fit) => fit.gain)), attacks };
}

function meanOf(attacks: readonly { wave: Float32Array; weight: number }[], length: number): Float32Array {
  const mean = new Float32Array(length);
  for (const { wave, weight } of attacks) for (let i = 0; i < length; i++) mean[i] += weight * wave[i];
  return mean;
}

function unit(wave: Float32Array): Float32Array {
  let energy = 0;
  for (const v of wave) energy += v * v;
  const factor = energy > 0 ? 1 / Math.sqrt(energy) : 0;
  return wave.map((v) => v * factor);
}

/**
 * Finds the attack between two times. Peaks of the match at least {@link LEAST_INTERVAL} apart, in order of time,
 * without any threshold but a match of 0.2: the caller decides what is a stroke.
 */
export function findAttack(pyramid: Pyramid, attack: Attack, from: Seconds, to: Seconds): Found[] {
  const { samples, rate } = pyramid.atLeast(attack.rate * 0.999);
  const start = Math.round(from * rate) - attack.zero;
  const end = Math.round(to * rate) + attack.template.length - attack.zero;
  const data = residual(samples, attack.filter, start, end);
  const { rho, gain } = matchEverywhere(data, attack.template);
  const apart = Math.round(LEAST_INTERVAL * rate);
  const peaks = peaksOf(rho, apart);
  const heights = peaks.map((p) => rho[p]);
  const centre = heights.length ? median(heights) : 0;
  const deviation = Math.max(0.02, heights.length ? medianDeviation(heights) : 0);
  const near = Math.round(0.008 * rate);
  return peaks
    .filter((p) => rho[p] > 0.2 && gain[p] > 0)
    .map((p) => ({
      seconds: (start + p + peakOffset(rho, p) + attack.zero) / rate,
      match: rho[p],
      gain: amplitudeToDecibels(gain[p] / attack.scale),
      runnerUp: runnerUp(rho, p, near) / rho[p],
      timingError: expectedError(rho[p], attack.template) / rate,
      contrast: (rho[p] - centre) / deviation,
    }));
}

/** Expected error, in samples, of the place of a match of height `match` with a template; see {@link Found.timingError}. */
export function expectedError(match: number, template: Float32Array): number {
  let energy = 0;
  for (const v of template) energy += v * v;
  const sharpness = (template.length * slopeEnergy(template)) / energy;
  return Math.sqrt((1 / match ** 2 - 1) / sharpness + BETWEEN_SAMPLES ** 2);
}

/** Energy of a wave's slope, per sample squared. */
function slopeEnergy(wave: Float32Array): number {
  let energy = 0;
  for (let i = 1; i + 1 < wave.length; i++) energy += ((wave[i + 1] - wave[i - 1]) / 2) ** 2;
  return energy;
}

/** Maxima that nothing within `apart` exceeds. */
function peaksOf(values: Float32Array, apart: number): number[] {
  const peaks: number[] = [];
  let i = 0;
  while (i < values.length) {
    const top = largestBetween(values, i, i + apart);
    const around = largestBetween(values, top - apart + 1, top + apart);
    if (around === top) {
      peaks.push(top);
      i = top + apart;
    } else i = Math.max(i + 1, around > top ? around : i + apart);
  }
  return peaks;
}

/** Height of the next local maximum within `near` samples of a peak. */
function runnerUp(rho: Float32Array, peak: number, near: number): number {
  let best = 0;
  for (let i = Math.max(1, peak - near); i < Math.min(rho.length - 1, peak + near + 1); i++) {
    if (i !== peak && rho[i] > best && rho[i] >= rho[i - 1] && rho[i] >= rho[i + 1]) best = rho[i];
  }
  return best;
}
