/**
 * The noises of the action: finger-key contact, key bottom, release and damper.
 *
 * Sources: the contact as a thump of 95 to 205 Hz that starts abruptly and grows until the tone, its level and bands: read
 * from untrimmed recordings of one grand. As a click: five damped vibrations, modelled. Key resonances near 290 and 440 Hz,
 * keybed 95 and 330 Hz: Askenfelt 1993, read at second hand. Release noise broad, 60 to 1000 Hz, 50 to 200 ms. Levels of
 * knock and release are chosen within the spread of secondary notes.
 */

import { decibelsToAmplitude, type Hertz, type Seconds } from '../units.ts';
import type { RandomStream } from './random.ts';

/** Adds A e^(-t/tau) sin(2 pi f t) from `start`, which may fall between samples. */
export function addRing(
  out: Float64Array,
  sampleRate: Hertz,
  start: Seconds,
  frequency: Hertz,
  tau: Seconds,
  amplitude: number,
): void {
  const to = Math.min(out.length, Math.ceil((start + 9 * tau) * sampleRate));
  for (let i = Math.max(0, Math.ceil(start * sampleRate)); i < to; i++) {
    const time = i / sampleRate - start;
    out[i] += amplitude * Math.exp(-time / tau) * Math.sin(2 * Math.PI * frequency * time);
  }
}

/** A short click: five damped vibrations over `low` to `high` hertz, dying within 0.4 to 3 ms, highest amplitude `peak`. */
export function addClick(
  out: Float64Array,
  sampleRate: Hertz,
  start: Seconds,
  low: Hertz,
  high: Hertz,
  peak: number,
  random: RandomStream,
): void {
  const from = Math.max(0, Math.ceil(start * sampleRate));
  const click = new Float64Array(Math.ceil(0.03 * sampleRate));
  const offset = start - from / sampleRate;
  for (let i = 0; i < 5; i++) {
    const share = i / 4;
    const frequency = low * (high / low) ** share * Math.exp(random.normal(0, 0.06));
    const tau = 0.003 * (0.4 / 3) ** share * Math.exp(random.normal(0, 0.15));
    const sign = random.chance(0.5) ? 1 : -1;
    addRing(click, sampleRate, offset, frequency, tau, sign * random.between(0.6, 1.4));
  }
  addScaled(out, from, click, peak);
}

/**
 * A thump: begins abruptly at `start`, grows until `end` (the onset) and dies after it. With a second stage it stays small
 * until `secondStage` before the end.
 */
export function addThump(
  out: Float64Array,
  sampleRate: Hertz,
  start: Seconds,
  end: Seconds,
  secondStage: Seconds | null,
  frequency: Hertz,
  peak: number,
  random: RandomStream,
): void {
  const from = Math.max(0, Math.ceil(start * sampleRate));
  const thump = new Float64Array(Math.ceil((end - start + 0.12) * sampleRate));
  const rough = coloured(thump.length, sampleRate, 250, 1500, random);
  // Main vibration, the key's resonances, and a fainter one above: about -9, -12 and -15 dB, as recorded by bands.
  const parts = [frequency, 2.1 * frequency, 290, 440, 1100].map((f, i) => ({
    omega: 2 * Math.PI * f * Math.exp(random.normal(0, 0.04)),
    size: [1, 0.3, 0.28, 0.22, 0.12][i] * random.between(0.7, 1.3),
  }));
  const length = end - start;
  for (let i = 0; i < thump.length; i++) {
    const time = (from + i) / sampleRate - start;
    if (time < 0) continue;
    const place = Math.min(1, time / length);
    const low = secondStage !== null && length - time > secondStage ? 0.25 : 0.4 + 0.6 * place;
    const envelope = low * Math.min(1, time / 0.0008) * (time > length ? Math.exp(-(time - length) / 0.025) : 1);
    let value = 0.18 * rough[i];
    for (const { omega, size } of parts) value += size * Math.sin(omega * time);
    thump[i] = envelope * value;
  }
  addScaled(out, from, thump, peak);
}

/** The key at its bottom: keybed and body, highest amplitude `peak`. */
export function addKnock(
  out: Float64Array,
  sampleRate: Hertz,
  start: Seconds,
  peak: number,
  random: RandomStream,
): void {
  const from = Math.max(0, Math.ceil(start * sampleRate));
  const knock = new Float64Array(Math.ceil(0.25 * sampleRate));
  const offset = start - from / sampleRate;
  const rings = [
    [95, 0.03, 1],
    [160, 0.025, 0.7],
    [330, 0.015, 0.5],
    [900, 0.006, 0.2],
  ] as const;
  for (const [frequency, tau, size] of rings) {
    const own = frequency * Math.exp(random.normal(0, 0.05));
    addRing(knock, sampleRate, offset, own, tau, size * random.between(0.7, 1.3));
  }
  addScaled(out, from, knock, peak);
}

/** The key comes up: a swell of 60 to 1000 Hz, 50 to 200 ms long, and the key's own stop at its end. */
export function addRelease(
  out: Float64Array,
  sampleRate: Hertz,
  start: Seconds,
  peak: number,
  random: RandomStream,
): void {
  const from = Math.max(0, Math.ceil(start * sampleRate));
  const length = random.between(0.05, 0.2);
  const swell = coloured(Math.ceil(2.5 * length * sampleRate), sampleRate, 60, 1000, random);
  for (let i = 0; i < swell.length; i++) {
    const time = i / sampleRate;
    swell[i] *= Math.min(1, time / (0.3 * length)) * Math.exp(-time / (0.5 * length));
  }
  addScaled(out, from, swell, peak);
  const stop = new Float64Array(Math.ceil(0.15 * sampleRate));
  addRing(stop, sampleRate, random.between(0, 1) / sampleRate, random.between(85, 150), 0.018, 1);
  addScaled(out, from + Math.round(random.between(0.025, 0.045) * sampleRate), stop, 0.6 * peak);
}

/** Level of the key-bottom knock re the intended tone: louder beside soft tones, within the variant's limits. */
export function knockPeak(limitsDb: readonly [number, number], velocity: number, random: RandomStream): number {
  const soft = Math.min(1, Math.max(0, Math.log(5 / velocity) / Math.log(5 / 0.3)));
  const level = limitsDb[0] + (limitsDb[1] - limitsDb[0]) * soft + random.normal(0, 2);
  return decibelsToAmplitude(Math.min(-12, Math.max(-35, level)));
}

/** White noise between two one-pole corners. */
function coloured(length: number, sampleRate: Hertz, low: Hertz, high: Hertz, random: RandomStream): Float64Array {
  const noise = new Float64Array(length);
  const rise = Math.exp((-2 * Math.PI * low) / sampleRate);
  const fall = 1 - Math.exp((-2 * Math.PI * high) / sampleRate);
  let smooth = 0;
  let smoother = 0;
  let drift = 0;
  for (let i = 0; i < length; i++) {
    smooth += fall * (random.normal() - smooth);
    smoother += fall * (smooth - smoother);
    drift = rise * drift + (1 - rise) * smoother;
    noise[i] = smoother - drift;
  }
  let peak = 0;
  for (const value of noise) peak = Math.max(peak, Math.abs(value));
  return peak > 0 ? noise.map((value) => value / peak) : noise;
}

/** Adds `part` with its highest amplitude made `peak`. */
function addScaled(out: Float64Array, from: number, part: Float64Array, peak: number): void {
  let highest = 0;
  for (const value of part) highest = Math.max(highest, Math.abs(value));
  if (highest === 0) return;
  const gain = peak / highest;
  const to = Math.min(part.length, out.length - from);
  for (let i = 0; i < to; i++) out[from + i] += gain * part[i];
}
