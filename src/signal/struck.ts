/**
 * What a tone shows of how it was made: struck and left to itself, or held, spoken, plucked, knocked.
 *
 * A struck string is loudest at once and then only falls; its partials stand still; they lie as far above the harmonics
 * as its stiffness asks. A voice or a bowed string swells and moves, an organ pipe does not fall, a pipe's or a reed's
 * partials are harmonics, a bar has hardly any. Everything here is measured on one stroke's own tone, from its onset to
 * the next sound as loud; numbers only, no judgement.
 *
 * Sources: partials of a stiff string, Fletcher 1964 (see piano/strings); the features are this project's own.
 */

import { centsToRatio, powerToDecibels, type Cents, type Decibels, type Seconds } from '../units.ts';
import { partial, reliefOf, type Candidate, type Relief } from './pitch.ts';
import type { Layer, Pyramid } from './pyramid.ts';

/** What one stroke's tone shows. */
export interface ToneShape {
  /** How long it was looked at. */
  readonly duration: Seconds;
  /** Time from the onset until the level is within 3 dB of its highest. */
  readonly climb: Seconds;
  /** Highest level after the first 100 ms over the highest within them; negative for what only falls. */
  readonly swell: Decibels;
  /** Highest level within the first 60 ms over the last 40 ms looked at. */
  readonly fall: Decibels;
  /** 1: the strongest partials keep their frequencies; near 0: they wander. `null` where the tone is too short. */
  readonly steady: number | null;
  /** How much better a stiff string's partials fit than harmonics, 0 to 1 of the best fit; negative: harmonics fit better. */
  readonly stiff: number;
  /** Stiffness found, as a multiple of the usual. */
  readonly stiffness: number;
  /** Partials that stand 12 dB or more over the floor, of the first ten. */
  readonly partials: number;
  /** Height of the highest of partials 2 and 3, and of the first, dB over the floor, at most 60. */
  readonly upper: Decibels;
  readonly first: Decibels;
  /** Height of the highest of all, the same way. */
  readonly strongest: Decibels;
  /** Share of all that stands 10 dB and more over the floor, up to the highest tooth, that lies beside the comb. */
  readonly strange: number;
}

const FRAME: Seconds = 0.01;
const LONGEST: Seconds = 0.36;

/** Looks at the tone that starts at `onset` and has `alone` seconds to itself, as one of `candidate`. */
export function toneShape(pyramid: Pyramid, onset: Seconds, alone: Seconds, candidate: Candidate): ToneShape {
  const duration = Math.max(0.06, Math.min(LONGEST, alone - 0.015));
  const levels = levelsOf(pyramid.atLeast(10800), onset, duration);
  const within = (from: number, to: number): number[] =>
    levels.slice(Math.round(from / FRAME), Math.max(1, Math.round(to / FRAME)));
  const highest = (values: readonly number[]): number => values.reduce((a, b) => Math.max(a, b), -200);
  const power = (values: readonly number[]): number =>
    values.length ? powerToDecibels(values.reduce((sum, db) => sum + 10 ** (db / 10), 0) / values.length) : -200;
  const most = highest(within(0, 0.25));
  const early = highest(within(0, 0.06));
  const relief = reliefOf(pyramid.atLeast(20000), onset + 0.012, Math.min(0.34, duration));
  return {
    duration,
    climb:
      Math.max(
        0,
        levels.findIndex((level) => level >= most - 3),
      ) * FRAME,
    swell: duration > 0.14 ? highest(levels.slice(10)) - highest(within(0, 0.1)) : 0,
    fall: early - power(levels.slice(-4)),
    ...stiffnessOf(relief, candidate),
    steady: steadiness(pyramid.atLeast(10800), onset + 0.02, duration - 0.02, relief, candidate),
  };
}

/** Levels of 10 ms stretches from the onset on, dB re full scale. */
function levelsOf({ samples, rate }: Layer, onset: Seconds, duration: Seconds): Decibels[] {
  const frame = Math.round(FRAME * rate);
  const from = Math.round(onset * rate);
  return Array.from({ length: Math.floor(duration / FRAME) }, (_, k) => {
    let sum = 0;
    for (let i = from + k * frame; i < from + (k + 1) * frame; i++) sum += (samples[i] ?? 0) ** 2;
    return powerToDecibels(sum / frame + 1e-14);
  });
}

/** Height at a place between bins, straight between them, 0 to 60 dB; what is out of range is 0. */
function heightAt({ raw, binHertz }: Relief, hertz: number): number {
  const bin = hertz / binHertz;
  const low = Math.floor(bin);
  if (low + 1 >= raw.length) return 0;
  return Math.max(0, Math.min(60, raw[low] + (bin - low) * (raw[low + 1] - raw[low])));
}

/** First partials asked about the one found, cents; stiffness asked, as multiples of the usual: none, and a string's. */
const SHIFTS: readonly Cents[] = Array.from({ length: 21 }, (_, i) => 3 * (i - 10));
const HARMONIC = [-0.1, 0, 0.08];
const STRING = [0.3, 0.4, 0.5, 0.6, 0.75, 0.9, 1.1, 1.35, 1.6, 2, 2.4];

function stiffnessOf(relief: Relief, { midi, firstPartial, inharmonicity }: Candidate) {
  const most = midi < 40 ? 24 : midi < 52 ? 16 : midi < 64 ? 12 : midi < 76 ? 8 : 5;
  const best = (factors: readonly number[]): { score: number; factor: number; first: number } => {
    let found = { score: -1, factor: 0, first: firstPartial };
    for (const factor of factors) {
      for (const cents of SHIFTS) {
        const first = firstPartial * centsToRatio(cents);
        let score = 0;
        for (let n = 1; n <= most; n++) score += heightAt(relief, partial(first, n, factor * inharmonicity));
        if (score > found.score) found = { score, factor, first };
      }
    }
    return found;
  };
  const string = best(STRING);
  const harmonic = best(HARMONIC);
  const { first, factor } = string.score >= harmonic.score ? string : harmonic;
  const b = factor * inharmonicity;
  let partials = 0;
  for (let n = 1; n <= 10; n++) if (heightAt(relief, partial(first, n, b)) >= 12) partials++;
  const rawAt = (n: number): number =>
    Math.min(60, relief.raw[Math.round(partial(first, n, b) / relief.binHertz)] ?? 0);
  return {
    stiff: (string.score - harmonic.score) / Math.max(1, string.score, harmonic.score),
    stiffness: factor,
    partials,
    upper: Math.max(rawAt(2), rawAt(3)),
    first: rawAt(1),
    strongest: Array.from({ length: most }, (_, i) => rawAt(i + 1)).reduce((a, b) => Math.max(a, b)),
    strange: strangeShare(relief, first, b, most),
  };
}

/** What lies no further from a tooth than this is its own: bins, or a share of its frequency. */
const NEAR_BINS = 5;
const NEAR_SHARE = 0.006;

function strangeShare({ height, binHertz }: Relief, first: number, b: number, most: number): number {
  const top = Math.min(height.length - 1, Math.round(partial(first, most, b) / binHertz) + 4);
  const near = new Uint8Array(top + 1);
  for (let n = 1; n <= most; n++) {
    const bin = partial(first, n, b) / binHertz;
    const spread = Math.max(NEAR_BINS, bin * NEAR_SHARE);
    for (let k = Math.max(0, Math.floor(bin - spread)); k <= Math.min(top, Math.ceil(bin + spread)); k++) near[k] = 1;
  }
  let all = 0;
  let beside = 0;
  for (let k = Math.ceil(60 / binHertz); k <= top; k++) {
    const over = Math.max(0, height[k] - 10);
    all += over;
    if (!near[k]) beside += over;
  }
  return all > 0 ? beside / all : 1;
}

/** How well the strongest partials keep their frequencies: coherence of their phases over a lag of up to 80 ms. */
function steadiness(
  { samples, rate }: Layer,
  start: Seconds,
  duration: Seconds,
  relief: Relief,
  { firstPartial, inharmonicity, midi }: Candidate,
): number | null {
  const window = Math.max(0.04, 2.5 / firstPartial);
  const hop = 0.008;
  const frames = Math.floor((duration - window) / hop) + 1;
  if (frames < 8) return null;
  const lag = Math.min(10, frames >> 1);
  const tops = Array.from({ length: midi < 60 ? 12 : 6 }, (_, i) => {
    const centre = partial(firstPartial, i + 1, inharmonicity) / relief.binHertz;
    const reach = Math.max(2, centre * 0.015);
    let at = -1;
    for (let k = Math.max(1, Math.floor(centre - reach)); k <= centre + reach && k < relief.raw.length; k++) {
      if (at < 0 || relief.raw[k] > relief.raw[at]) at = k;
    }
    return { hertz: at * relief.binHertz, raw: at < 0 ? 0 : relief.raw[at] };
  })
    .filter(({ hertz, raw }) => raw > 12 && hertz > 60 && hertz < 0.42 * rate)
    .sort((a, b) => b.raw - a.raw)
    .slice(0, 4);
  if (tops.length === 0) return 0;
  const length = Math.round(window * rate);
  const hann = Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / length));
  const first = Math.round(start * rate);
  const span = Math.round((frames - 1) * hop * rate) + length + 1;
  const cosine = new Float64Array(span);
  const sine = new Float64Array(span);
  let coherent = 0;
  let whole = 0;
  for (const { hertz } of tops) {
    const re = new Float64Array(frames);
    const im = new Float64Array(frames);
    const step = (2 * Math.PI * hertz) / rate;
    for (let i = 0; i < span; i++) {
      const x = samples[first + i] ?? 0;
      cosine[i] = x * Math.cos(step * i);
      sine[i] = x * Math.sin(step * i);
    }
    for (let f = 0; f < frames; f++) {
      const from = Math.round((start + f * hop) * rate) - first;
      for (let i = 0; i < length; i++) {
        re[f] += hann[i] * cosine[from + i];
        im[f] -= hann[i] * sine[from + i];
      }
    }
    let sumRe = 0;
    let sumIm = 0;
    let sum = 0;
    for (let f = 0; f + lag < frames; f++) {
      const a = Math.hypot(re[f], im[f]);
      const b = Math.hypot(re[f + lag], im[f + lag]);
      // Each product counts by its root, so that the loud start does not speak alone.
      const scale = 1 / Math.sqrt(a * b + 1e-30);
      sumRe += (re[f] * re[f + lag] + im[f] * im[f + lag]) * scale;
      sumIm += (re[f] * im[f + lag] - im[f] * re[f + lag]) * scale;
      sum += a * b * scale;
    }
    coherent += Math.hypot(sumRe, sumIm);
    whole += sum;
  }
  return whole > 0 ? coherent / whole : 0;
}
