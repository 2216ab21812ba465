/**
 * Which key sounds: an inharmonic comb on the spectrum, and in the bass the difference function of YIN beside it.
 *
 * The spectrum of a window after the onset is taken in dB above its own floor. For every key, at several tunings and
 * inharmonicities, the comb asks how high its partials stand, how little stands half-way between them, and how much of
 * all that stands lies on the comb, less the room that the comb takes up by itself: that last part kills sub-octaves.
 * Fundamentals may be missing: no partial is needed. In the bass, where the comb's teeth are narrower than the
 * spectrum's bins, the period of the wave is asked as well.
 *
 * Sources: partials of a stiff string, Fletcher 1964 (see piano/strings); A. de Cheveigné & H. Kawahara, "YIN, a
 * fundamental frequency estimator for speech and music", JASA 111 (2002), equations 6 and 8 for the difference
 * function. Weights of the comb are this project's own.
 */

import { centsToRatio, type Cents, type Hertz, type MidiNote, type Seconds } from '../units.ts';
import { fourier, powerOfTwo } from './fourier.ts';
import type { Layer, Pyramid } from './pyramid.ts';

/** A key as the scorer needs it: where its first partial is expected, and the inharmonicity there. */
export interface Candidate {
  readonly midi: MidiNote;
  readonly firstPartial: Hertz;
  readonly inharmonicity: number;
}

export interface KeyScore {
  readonly midi: MidiNote;
  /** Higher is likelier; comparable within one window. About 1 to 2 for a clear note, below 0.5 for noise. */
  readonly score: number;
  /** Tuning at which the comb fitted best, cents from the candidate's expected first partial. */
  readonly cents: Cents;
}

const FLOOR_SHARE = 0.4;
const FLOOR_REACH: Hertz = 200;
const FLOOR_STEP: Hertz = 150;
const CEILING = 35;
const LOWEST: Hertz = 60;
/** Tunings asked, cents; each tooth reaches half a step more to either side. */
const TUNINGS: readonly Cents[] = [-40, -20, 0, 20, 40];
/** The last keys are often tuned far above the usual, and no key above C8 takes such a tone: ask them further up. */
const SHARP_FROM: MidiNote = 106;
const SHARP_TUNINGS: readonly Cents[] = [60, 80, 100, 120, 140];
const BASS_FACTORS = [0.45, 0.75, 1.15];
const MIDDLE_FACTORS = [0.8, 1.15];
/** Share of all that stands in a spectrum which a comb is at least measured against. */
const LEAST_WITHIN = 0.35;
/** Of a bass key's first partials above 60 Hz, this share must stand this high, dB. */
const PRESENT_OF = 10;
const PRESENT = 13;
const PRESENT_SHARE = 0.6;
/** From here up a string always sounds its fundamental, at least this high over the floor, dB. */
const FUNDAMENTAL_FROM: MidiNote = 50;
const FUNDAMENTAL_HEIGHT = 18;
const YIN_BELOW: MidiNote = 50;
/** A wave is periodic enough when 1 − d′ reaches this; less is held against a bass key, more is no merit: so are octaves below. */
const PERIODIC = 0.8;
const YIN_WEIGHT = 0.9;
/** Rate of the layer on which the spectrum is taken. */
const SPECTRUM_RATE: Hertz = 20000;
const YIN_RATE: Hertz = 5000;

/** A window's spectrum, in dB above its own floor, clipped to 0..35. */
export interface Relief {
  /** Clipped to 0..35 dB. */
  readonly height: Float32Array;
  /** The same without the ceiling, for finding the tops of peaks. */
  readonly raw: Float32Array;
  readonly binHertz: Hertz;
  /** Σ over bins of weighted height, for coverage. */
  readonly total: number;
  readonly weighted: Float64Array;
}

/**
 * Scores every candidate on the window from `start` of `duration` seconds (0.05 to 0.7). Best first.
 */
export function scoreKeys(
  pyramid: Pyramid,
  start: Seconds,
  duration: Seconds,
  candidates: readonly Candidate[],
  tunings: readonly Cents[] = TUNINGS,
): { readonly scores: KeyScore[]; readonly relief: Relief } {
  const relief = reliefOf(pyramid.atLeast(SPECTRUM_RATE), start, duration);
  const period = periodicity(pyramid.atLeast(YIN_RATE), start, duration);
  const scores = candidates.map((candidate) => scoreKey(relief, period, candidate, tunings));
  scores.sort((a, b) => b.score - a.score);
  return { scores, relief };
}

/** Spectrum of a Hann window in dB above a running quantile (40 % within ±200 Hz) of itself. */
export function reliefOf({ samples, rate }: Layer, start: Seconds, duration: Seconds): Relief {
  const from = Math.max(0, Math.round(start * rate));
  const count = Math.max(0, Math.min(Math.round(duration * rate), samples.length - from));
  const n = powerOfTwo(0.34 * rate);
  const windowed = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    windowed[i] = samples[from + i] * (0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / count));
  }
  const transform = fourier(n);
  const spectrum = transform.forward(windowed, 0, count, transform.spectrum());
  const bins = n / 2;
  const binHertz = rate / n;
  const decibels = new Float32Array(bins);
  for (let k = 0; k < bins; k++) {
    decibels[k] = 10 * Math.log10(spectrum[2 * k] ** 2 + spectrum[2 * k + 1] ** 2 + 1e-14);
  }
  const height = new Float32Array(bins);
  const raw = new Float32Array(bins);
  const reach = Math.round(FLOOR_REACH / binHertz);
  const step = Math.max(1, Math.round(FLOOR_STEP / binHertz));
  let previous = quantileAround(decibels, 0, reach);
  for (let k = 0; k < bins; k += step) {
    const next = quantileAround(decibels, Math.min(bins - 1, k + step), reach);
    for (let j = k; j < Math.min(bins, k + step); j++) {
      const floor = previous + ((next - previous) * (j - k)) / step;
      const above = decibels[j] - floor;
      raw[j] = above;
      height[j] = above <= 0 ? 0 : above > CEILING ? CEILING : above;
    }
    previous = next;
  }
  const lowest = Math.ceil(LOWEST / binHertz);
  height.fill(0, 0, lowest >> 1);
  const weighted = new Float64Array(bins + 1);
  for (let k = 0; k < bins; k++) {
    const h = height[k] > 8 ? (height[k] - 8) ** 0.8 / Math.sqrt(1 + (k * binHertz) / 500) : 0;
    weighted[k + 1] = weighted[k] + h;
  }
  return { height, raw, binHertz, weighted, total: weighted[bins] };
}

function quantileAround(values: Float32Array, centre: number, reach: number): number {
  const window = values.slice(Math.max(0, centre - reach), Math.min(values.length, centre + reach + 1)).sort();
  return window[Math.floor(FLOOR_SHARE * (window.length - 1))];
}

function scoreKey(
  relief: Relief,
  period: Periodicity | null,
  { midi, firstPartial, inharmonicity }: Candidate,
  tunings: readonly Cents[],
): KeyScore {
  const factors = midi < 45 ? BASS_FACTORS : midi < 60 ? MIDDLE_FACTORS : [1];
  let best = -Infinity;
  let bestCents: Cents = 0;
  for (const cents of midi >= SHARP_FROM ? [...tunings, ...SHARP_TUNINGS] : tunings) {
    for (const factor of factors) {
      const score = combScore(relief, firstPartial * centsToRatio(cents), inharmonicity * factor, midi);
      if (score > best) {
        best = score;
        bestCents = cents;
      }
    }
  }
  if (period && midi < YIN_BELOW) best += YIN_WEIGHT * Math.min(0, period.at(firstPartial) - PERIODIC);
  return { midi, score: best, cents: bestCents };
}

/** Partial `n` of a stiff string whose first sounds at `first`: n·f_1·√((1 + B·n²)/(1 + B)). */
export function partial(first: Hertz, n: number, b: number): Hertz {
  return n * first * Math.sqrt((1 + b * n * n) / (1 + b));
}

/** Height on the teeth over height between them, plus coverage. */
function combScore(relief: Relief, first: Hertz, b: number, midi: MidiNote): number {
  const { height, binHertz, weighted, total } = relief;
  const most = midi < 45 ? 24 : midi < 60 ? 14 : 8;
  const tolerance = midi >= 90 ? 35 : 13;
  const top = height.length - 3;
  let sum = 0;
  let weights = 0;
  let covered = 0;
  let room = 0;
  let lastBin = 0;
  let asked = 0;
  let present = 0;
  let fundamental = 0;
  for (let n = 1; n <= most; n++) {
    const f = partial(first, n, b);
    const bin = f / binHertz;
    if (bin > top) break;
    const spread = Math.max(1, (bin * tolerance) / 1731);
    const lo = Math.max(lastBin + 1, Math.round(bin - spread));
    const hi = Math.min(top, Math.round(bin + spread));
    let peak = 0;
    for (let k = lo; k <= hi; k++) if (height[k] > peak) peak = height[k];
    const between = height[Math.round((f - first / 2) / binHertz)] ?? 0;
    if (n <= PRESENT_OF && f > LOWEST) {
      asked++;
      if (peak > PRESENT) present++;
      if (n === 1) fundamental = peak;
    }
    const weight = (f < 80 && midi < 40 ? 0.3 : 1) / Math.sqrt(n + 1);
    sum += weight * (peak - 0.7 * between);
    weights += weight;
    if (hi >= lo) {
      covered += weighted[hi + 2] - weighted[Math.max(0, lo - 1)];
      room += hi - lo + 3;
    }
    lastBin = hi;
  }
  if (weights === 0) return -Infinity;
  // Partials beyond the last tooth are not held against a bass key, unless nearly all stands there.
  const within = Math.max(weighted[Math.min(lastBin + 3, weighted.length - 1)], LEAST_WITHIN * total);
  const coverage = within > 0 ? covered / within : 0;
  const occupied = room / Math.max(room, lastBin + 2);
  const score = sum / weights / CEILING + coverage - 0.6 * occupied;
  // A key below a tone finds its teeth on every second or fifth partial only; above C3 its fundamental is missing too.
  const support =
    midi < FUNDAMENTAL_FROM ? present / Math.max(1, asked) / PRESENT_SHARE : fundamental / FUNDAMENTAL_HEIGHT;
  return score * (0.5 + 0.5 * Math.min(1, support));
}

/**
 * The first partial and the inharmonicity that fit a window's peaks best, near a candidate's: weighted least squares of
 * (f_n/n)² on n², whose intercept is f0² and whose slope over intercept is B (after Fletcher & Rossing). Peaks further
 * than 30 cents (or 1.5 bins) from where the comb expects them are not the note's. `null` with fewer than one peak.
 */
export function fitFirstPartial(
  relief: Relief,
  candidate: Candidate,
  cents: Cents,
): { hertz: Hertz; b: number } | null {
  const { height, raw, binHertz } = relief;
  const { midi, inharmonicity } = candidate;
  const most = midi < 45 ? 24 : midi < 60 ? 12 : midi < 84 ? 6 : 2;
  const factors = midi < 60 ? [0.35, 0.5, 0.7, 0.9, 1.15, 1.5] : [1];
  let found: { hertz: Hertz; b: number } | null = null;
  let best = 0;
  for (const factor of factors) {
    for (const shift of [cents - 10, cents, cents + 10]) {
      const expected = candidate.firstPartial * centsToRatio(shift);
      const b = inharmonicity * factor;
      let sw = 0;
      let sx = 0;
      let sy = 0;
      let sxx = 0;
      let sxy = 0;
      let peaks = 0;
      for (let n = 1; n <= most; n++) {
        const f = partial(expected, n, b);
        const bin = f / binHertz;
        const reach = Math.max(1.5, (bin * 30) / 1731);
        let top = -1;
        const hi = Math.min(height.length - 2, Math.floor(bin + reach));
        for (let k = Math.max(1, Math.ceil(bin - reach)); k <= hi; k++) if (top < 0 || raw[k] > raw[top]) top = k;
        if (top < 1 || height[top] < 10 || raw[top] < raw[top - 1] || raw[top] < raw[top + 1]) continue;
        const curvature = raw[top - 1] - 2 * raw[top] + raw[top + 1];
        const place = top + (curvature < 0 ? (0.5 * (raw[top - 1] - raw[top + 1])) / curvature : 0);
        const off = Math.abs(place - bin) / reach;
        const w = height[top] * (1 - 0.9 * off) * (f < 80 ? 0.2 : 1);
        const y = ((place * binHertz) / n) ** 2;
        const x = n * n;
        // The relative error of f_n/n falls with n: a bin is a smaller part of a higher partial.
        const wn = w * n;
        sw += wn;
        sx += wn * x;
        sy += wn * y;
        sxx += wn * x * x;
        sxy += wn * x * y;
        peaks += w;
      }
      if (peaks <= best) continue;
      const det = sw * sxx - sx * sx;
      const slope = det > 1e-9 * sw * sxx ? (sw * sxy - sx * sy) / det : NaN;
      const intercept = (sy - slope * sx) / sw;
      const fitted = slope / intercept;
      const plausible = fitted > 0.2 * inharmonicity && fitted < 2.5 * inharmonicity;
      const hertz = plausible ? Math.sqrt(intercept * (1 + fitted)) : Math.sqrt(sy / (sw + b * sx)) * Math.sqrt(1 + b);
      if (!(hertz > 0)) continue;
      best = peaks;
      found = { hertz, b: plausible ? fitted : b };
    }
  }
  return found;
}

interface Periodicity {
  /** 1 − d′ at the period of `hertz` within ±70 cents: near 1 for a periodic wave. */
  at(hertz: Hertz): number;
}

/** YIN's cumulative-mean-normalised difference function of a window, by autocorrelation. */
function periodicity({ samples, rate }: Layer, start: Seconds, duration: Seconds): Periodicity | null {
  const from = Math.max(0, Math.round(start * rate));
  const count = Math.min(Math.round(Math.min(duration, 0.35) * rate), samples.length - from);
  const longest = Math.ceil(rate / 26);
  const window = count - longest;
  if (window < longest) return null;
  const n = powerOfTwo(count + window);
  const transform = fourier(n);
  const head = transform.forward(samples, from, window, transform.spectrum());
  const whole = transform.forward(samples, from, count, transform.spectrum());
  for (let k = 0; k <= n; k += 2) {
    const re = head[k] * whole[k] + head[k + 1] * whole[k + 1];
    const im = head[k] * whole[k + 1] - head[k + 1] * whole[k];
    whole[k] = re;
    whole[k + 1] = im;
  }
  const correlation = transform.inverse(whole);
  let energy = 0;
  for (let i = 0; i < window; i++) energy += samples[from + i] ** 2;
  const first = energy;
  const normalised = new Float64Array(longest + 1);
  normalised[0] = 1;
  let cumulative = 0;
  for (let lag = 1; lag <= longest; lag++) {
    energy += samples[from + lag + window - 1] ** 2 - samples[from + lag - 1] ** 2;
    const difference = Math.max(0, first + energy - 2 * correlation[2 * lag]);
    cumulative += difference;
    normalised[lag] = cumulative > 0 ? (difference * lag) / cumulative : 1;
  }
  return {
    at(hertz) {
      const lag = rate / hertz;
      let least = 1;
      for (let i = Math.floor(lag * 0.96); i <= Math.min(longest, Math.ceil(lag * 1.04)); i++) {
        if (normalised[i] < least) least = normalised[i];
      }
      return 1 - least;
    },
  };
}
