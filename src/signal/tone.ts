/**
 * A note's tone: what follows its attack, learned from its own strokes, so that it can be taken away.
 *
 * What is left when a stroke's own tone is subtracted shows what else the string did: a second contact of the hammer 12 dB
 * down is hidden under the tone that it falls into, and stands out of the remainder. The tone is the median of the
 * aligned strokes after whitening (see whitening), where each part of the spectrum has a like say in the fit; the louder
 * half and the softer half of the strokes each have their own, since a harder blow is brighter. To one stroke both
 * are fitted through a short filter of least squares, which takes up what is left of the difference in colour.
 *
 * Conventions: samples at the attack's own rate; times are those of the template's zero, seconds.
 */

import { amplitudeToDecibels, type Decibels, type Hertz, type Seconds } from '../units.ts';
import type { Attack } from './attack.ts';
import { filterAll, lowPass, type Section } from './biquad.ts';
import { resampleAt } from './matching.ts';
import type { Pyramid } from './pyramid.ts';
import { residual } from './whitening.ts';

/** A whitened stretch of a recording. */
export interface Whitened {
  readonly data: Float32Array;
  /** Sample of the layer at which `data` begins. */
  readonly start: number;
  readonly rate: number;
}

/** A stroke as the tone needs it. */
export interface ToneStroke {
  readonly seconds: Seconds;
  /** Scale of its attack. */
  readonly gain: Decibels;
  /** Until the next stroke, or until its key was let go. */
  readonly until: Seconds;
}

/** The tone of a note, from {@link LEAD} before its zero on: the louder strokes' and the softer ones', or one wave where there are few. */
export interface Tone {
  readonly waves: readonly Float32Array[];
  readonly rate: number;
  /** The factored normal equations by number of samples fitted: few numbers occur, often. */
  readonly factors: Map<number, Float64Array[]>;
}

/** The waves begin so long before the zero. */
export const LEAD: Seconds = 0.006;

/** The tone is taken from here on: before it the attack itself stands, and with it the knock of the key. */
export const TONE_FROM: Seconds = 0.025;
const LEAST_STROKES = 3;
/** From so many strokes on the louder and the softer half are learned apart. */
const STROKES_FOR_TWO = 6;
/** Taps to either side of the filter through which a wave is fitted. */
const SIDE_TAPS = 4;
/** The length fitted is a whole multiple of this, so that the equations can be used again. */
const FITTED_STEP: Seconds = 0.01;
/** Added to the normal equations, as a share of the waves' energy. */
const RIDGE = 1e-3;

/** Whitens a stretch with the note's own filter. */
export function whiten(pyramid: Pyramid, attack: Attack, from: Seconds, to: Seconds): Whitened {
  const { samples, rate } = pyramid.atLeast(attack.rate * 0.999);
  const start = Math.round(from * rate);
  const end = Math.max(start + 1, Math.round(to * rate));
  return { data: residual(samples, attack.filter, start, end), start, rate };
}

/** Learns the tone over `length` seconds; `null` with fewer than three strokes that ring so long. */
export function learnTone(white: Whitened, strokes: readonly ToneStroke[], length: Seconds): Tone | null {
  const ringing = strokes.filter(({ until }) => until >= length).sort((a, b) => a.gain - b.gain);
  if (ringing.length < LEAST_STROKES) return null;
  const half = ringing.length >> 1;
  const parts = ringing.length >= STROKES_FOR_TWO ? [ringing.slice(half), ringing.slice(0, half)] : [ringing];
  const count = Math.round((LEAD + length) * white.rate) + SIDE_TAPS;
  return { waves: parts.map((part) => medianWave(white, part, count)), rate: white.rate, factors: new Map() };
}

/** Sample by sample the median of the strokes, each at the scale of its attack. */
function medianWave(white: Whitened, strokes: readonly ToneStroke[], count: number): Float32Array {
  const pieces = strokes.map((stroke) => {
    const piece = resampleAt(white.data, (stroke.seconds - LEAD) * white.rate - white.start, count);
    const scale = 10 ** (-stroke.gain / 20);
    return piece.map((v) => v * scale);
  });
  const wave = new Float32Array(count);
  const column = new Float64Array(pieces.length);
  const middle = pieces.length >> 1;
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < pieces.length; k++) column[k] = pieces[k][i];
    column.sort();
    wave[i] = pieces.length % 2 ? column[middle] : (column[middle - 1] + column[middle]) / 2;
  }
  return wave;
}

/**
 * What is left of a stroke when its tone is fitted and subtracted, from {@link TONE_FROM} after its zero up to `until`.
 * Past the end of what is known of the tone it is left as it is: the ringing is whitened away there. The fit is made up to
 * `fitUntil`, where something else begins before `until`.
 */
export function withoutTone(
  white: Whitened,
  tone: Tone,
  seconds: Seconds,
  until: Seconds,
  fitUntil = until,
): Float32Array {
  const { rate, data, start } = white;
  const skipped = Math.round((LEAD + TONE_FROM) * rate);
  const whole = Math.max(0, Math.floor((until - TONE_FROM) * rate));
  const count = Math.min(whole, tone.waves[0].length - skipped - SIDE_TAPS);
  const left = resampleAt(data, (seconds - LEAD) * rate - start + skipped, whole);
  const taps = 2 * SIDE_TAPS + 1;
  const waves = tone.waves.map((wave) => wave.subarray(skipped - SIDE_TAPS));
  const step = Math.max(1, Math.round(FITTED_STEP * rate));
  const fitted = Math.min(count, step * Math.max(1, Math.floor((fitUntil - TONE_FROM) / FITTED_STEP)));
  let factor = tone.factors.get(fitted);
  if (!factor) {
    factor = factored(gramOf(waves, taps, fitted));
    tone.factors.set(fitted, factor);
  }
  const weights = solved(factor, projections(waves, taps, left, fitted));
  const fit = new Float32Array(count);
  waves.forEach((wave, w) => {
    for (let k = 0; k < taps; k++) {
      const weight = weights[w * taps + k];
      for (let i = 0; i < count; i++) fit[i] += weight * wave[k + i];
    }
  });
  for (let i = 0; i < count; i++) left[i] -= fit[i];
  return left;
}

/** Scalar products of all waves at all shifts; along a diagonal each follows from the one before. */
function gramOf(waves: readonly Float32Array[], taps: number, count: number): Float64Array[] {
  const gram = Array.from({ length: waves.length * taps }, () => new Float64Array(waves.length * taps));
  waves.forEach((a, v) => {
    for (let w = 0; w <= v; w++) {
      const b = waves[w];
      for (let k = 0; k < taps; k++) {
        for (let l = 0; l < taps; l++) {
          const row = gram[v * taps + k];
          const at = w * taps + l;
          if (k === 0 || l === 0) row[at] = dot(a, k, b, l, count);
          else {
            const before = gram[v * taps + k - 1][at - 1];
            row[at] = before - a[k - 1] * b[l - 1] + a[k - 1 + count] * b[l - 1 + count];
          }
        }
      }
    }
  });
  return gram;
}

function projections(waves: readonly Float32Array[], taps: number, target: Float32Array, count: number): Float64Array {
  const x = new Float64Array(waves.length * taps);
  waves.forEach((wave, w) => {
    for (let k = 0; k < taps; k++) x[w * taps + k] = dot(wave, k, target, 0, count);
  });
  return x;
}

/** Cholesky factor of the normal equations (lower triangle, in place), a little ridge added. */
function factored(a: Float64Array[]): Float64Array[] {
  const n = a.length;
  const ridge = (RIDGE * a.reduce((sum, row, i) => sum + row[i], 0)) / n + 1e-30;
  for (let i = 0; i < n; i++) {
    a[i][i] += ridge;
    for (let j = 0; j <= i; j++) {
      let sum = a[i][j];
      for (let k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
      a[i][j] = i === j ? Math.sqrt(Math.max(sum, 1e-30)) : sum / a[j][j];
    }
  }
  return a;
}

/** Solves with a Cholesky factor, in place. */
function solved(a: readonly Float64Array[], x: Float64Array): Float64Array {
  const n = x.length;
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] -= a[i][k] * x[k];
    x[i] /= a[i][i];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] -= a[k][i] * x[k];
    x[i] /= a[i][i];
  }
  return x;
}

function dot(a: Float32Array, fromA: number, b: Float32Array, fromB: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < count; i++) sum += a[fromA + i] * b[fromB + i];
  return sum;
}

/** The body of the tone's beginning, for {@link bodyGain}. */
export interface Body {
  readonly wave: Float32Array;
  readonly sections: readonly Section[];
}

/** So much of the beginning says how loud a stroke is. */
export const BODY: Seconds = 0.05;
const BODY_PARTIALS = 3;
const LEAST_BODY: Hertz = 400;
/** A place may be off by so many samples. */
const BODY_SHIFT = 2;

/**
 * The beginning of the tone below its third partial (400 Hz at least): there a stroke's loudness lies, while the whole of a
 * whitened attack says how bright it is.
 */
export function bodyOf({ waves, rate }: Tone, fundamental: Hertz): Body {
  const cut = Math.min(0.4 * rate, Math.max(LEAST_BODY, BODY_PARTIALS * fundamental));
  const low = lowPass(cut, Math.SQRT1_2, rate);
  const wave = waves[waves.length - 1].slice(0, Math.round((LEAD + BODY) * rate));
  return { wave: filterAll(wave, [low, low], wave), sections: [low, low] };
}

/** Scale at which the body occurs in `piece`, which begins {@link LEAD} before a stroke's zero; dB, `null` where it does not. */
export function bodyGain({ wave, sections }: Body, piece: Float32Array): Decibels | null {
  const low = filterAll(piece, sections, new Float32Array(piece.length));
  const count = Math.min(wave.length, low.length) - 2 * BODY_SHIFT;
  const energy = dot(wave, BODY_SHIFT, wave, BODY_SHIFT, count);
  let best = 0;
  for (let shift = 0; shift <= 2 * BODY_SHIFT; shift++) {
    best = Math.max(best, dot(wave, BODY_SHIFT, low, shift, count));
  }
  return best > 0 && energy > 0 ? amplitudeToDecibels(best / energy) : null;
}
