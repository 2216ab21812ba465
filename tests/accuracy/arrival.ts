/**
 * Where a recorded stroke begins: the reference pick of the measuring material.
 *
 * The pick is the first arrival of hammer energy, not the crest of the tone: in the lowest octave the transverse wave
 * comes 16 ms after the hammer's touch (half a period of the string, less the strike point's share), while the
 * longitudinal and the bending waves are there at once. It is found on the loud layer, which stands highest over the
 * file's own noise, by the Akaike picker of seismology (Maeda 1985, Zisin 38:365: the cut that best splits the record
 * into two pieces of constant variance) above 300 Hz, behind causal filters only.
 *
 * Independent picks of the same key at other loudnesses differ by milliseconds in the bass; so the softer layers are
 * not picked but laid upon the loud one: normalised cross-correlation from 3 ms before to 30 ms after, in three
 * bands, the median lag of those that correlate. How far the bands disagree is the reference's own uncertainty, and is
 * printed beside every figure that compares layers. Neither part is the project's detector or its template.
 * Vorbis smears up to a few milliseconds of pre-echo: the absolute pick is uncertain by 1 to 3 ms, a constant of the
 * file, which cancels wherever one constant per note and recorded stroke is taken out.
 */

import { highPass, lowPass } from './filters.ts';
import { LAYERS, loadTone, SAMPLE_RATE, type Layer } from './samples.ts';

/** A recorded stroke's place in its file. */
export interface Arrival {
  /** First arrival, frames from the start of the file, with fraction. */
  readonly frame: number;
  /** Disagreement of the bands that laid this layer upon the loud one, seconds; 0 for the loud one itself; `null` if fewer than two bands correlated. */
  readonly uncertaintySeconds: number | null;
}

const BANDS = [
  [250, 1000],
  [1000, 3000],
  [3000, 8000],
] as const;
const REFERENCE_LAYER: Layer = 12;
/** The picker looks no further than this: every file begins 5 to 20 ms before its tone. */
const SEARCH_SECONDS = 0.06;
const BEFORE = Math.round(0.003 * SAMPLE_RATE);
const AFTER = Math.round(0.03 * SAMPLE_RATE);
/** Where in its file a softer stroke may begin: some are cut a little into their first arrival. */
const EARLIEST = Math.round(-0.005 * SAMPLE_RATE);
const LATEST = Math.round(0.04 * SAMPLE_RATE);
/** Least correlation at which a band's lag is believed. */
const CORRELATED = 0.7;

/** The Akaike pick: frame of the split that minimises k·ln var(x[0..k)) + (n - k)·ln var(x[k..n)). */
export function firstArrival(samples: Float32Array, sampleRate: number): number {
  const end = Math.min(samples.length, Math.round(SEARCH_SECONDS * sampleRate));
  const band = highPass(highPass(samples.subarray(0, end), 300, sampleRate), 300, sampleRate);
  let crest = 0;
  for (let i = 0; i < end; i++) if (Math.abs(band[i]) > Math.abs(band[crest])) crest = i;
  const sums = new Float64Array(crest + 1);
  for (let i = 0; i < crest; i++) sums[i + 1] = sums[i] + band[i] * band[i];
  const floor = 1e-12;
  let best = 0;
  let least = Infinity;
  for (let k = 32; k < crest - 8; k++) {
    const before = sums[k] / k + floor;
    const after = (sums[crest] - sums[k]) / (crest - k) + floor;
    const criterion = k * Math.log(before) + (crest - k) * Math.log(after);
    if (criterion < least) {
      least = criterion;
      best = k;
    }
  }
  return best;
}

const cache = new Map<string, Promise<Arrival>>();

/** The reference pick of one recorded stroke. */
export function arrivalOf(midi: number, layer: Layer): Promise<Arrival> {
  const key = `${midi} ${layer}`;
  let arrival = cache.get(key);
  if (!arrival) {
    arrival = findArrival(midi, layer);
    cache.set(key, arrival);
  }
  return arrival;
}

async function findArrival(midi: number, layer: Layer): Promise<Arrival> {
  const loud = await loadTone(midi, REFERENCE_LAYER);
  const frame = firstArrival(loud, SAMPLE_RATE);
  if (layer === REFERENCE_LAYER) return { frame, uncertaintySeconds: 0 };
  // A softer layer is laid upon the next louder one: neighbours are alike, the extremes are not.
  const neighbour = LAYERS[LAYERS.indexOf(layer) + 1];
  const upon = await arrivalOf(midi, neighbour);
  const own = await loadTone(midi, layer);
  const around = await loadTone(midi, neighbour);
  const frames: number[] = [];
  for (const [low, high] of BANDS) {
    const a = bandOf(around, low, high);
    const b = bandOf(own, low, high);
    const found = likest(a, Math.round(upon.frame), b);
    if (found.correlation >= CORRELATED) frames.push(found.frame);
  }
  if (frames.length === 0) return { frame: firstArrival(own, SAMPLE_RATE), uncertaintySeconds: null };
  frames.sort((x, y) => x - y);
  const middle = (frames[(frames.length - 1) >> 1] + frames[frames.length >> 1]) / 2;
  const spread = frames.length < 2 ? null : (frames[frames.length - 1] - frames[0]) / SAMPLE_RATE;
  const before = upon.uncertaintySeconds;
  return {
    frame: middle + (upon.frame - Math.round(upon.frame)),
    uncertaintySeconds: spread === null || before === null ? null : Math.hypot(spread, before),
  };
}

function bandOf(samples: Float32Array, low: number, high: number): Float32Array {
  const head = samples.subarray(0, Math.round(0.1 * SAMPLE_RATE));
  return lowPass(highPass(head, low, SAMPLE_RATE), high, SAMPLE_RATE);
}

/** Frame of `b` around which it looks most like `a` around `startA`, refined by a parabola. */
function likest(a: Float32Array, startA: number, b: Float32Array): { frame: number; correlation: number } {
  const correlations = new Float64Array(LATEST - EARLIEST + 1);
  let best = 0;
  for (let place = 0; place < correlations.length; place++) {
    const startB = EARLIEST + place;
    let ab = 0;
    let aa = 0;
    let bb = 0;
    for (let i = -BEFORE; i < AFTER; i++) {
      const x = a[startA + i] ?? 0;
      const y = b[startB + i] ?? 0;
      ab += x * y;
      aa += x * x;
      bb += y * y;
    }
    correlations[place] = ab / Math.sqrt(aa * bb + 1e-30);
    if (correlations[place] > correlations[best]) best = place;
  }
  const [left, top, right] = [correlations[best - 1] ?? 0, correlations[best], correlations[best + 1] ?? 0];
  const bend = left - 2 * top + right;
  const part = bend < 0 ? (0.5 * (left - right)) / bend : 0;
  return { frame: EARLIEST + best + part, correlation: top };
}
