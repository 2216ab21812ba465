/**
 * What the room sounds like between the strokes: its level, and whether a mains hum stands in it.
 *
 * The quietest stretches of about a third of a second are looked at; their power spectrum and flatness are taken with
 * Meyda (Hann window). Hum is power at the multiples of 50 or 60 Hz up to 600 Hz standing over the bins between them.
 */

import Meyda from 'meyda';
import { median } from '../statistics/order.ts';
import { powerToDecibels, type Decibels, type Hertz } from '../units.ts';
import type { Pyramid } from './pyramid.ts';

export interface RoomNoise {
  /** Mean power of the quietest stretches, dB re full scale. */
  readonly level: Decibels;
  /** 1 for white noise, near 0 for tones (ratio of geometric to arithmetic mean of the spectrum). */
  readonly flatness: number;
  /** Mains frequency whose multiples stand out, or `null`. */
  readonly hum: Hertz | null;
  /** How far they stand out, dB. */
  readonly humOver: Decibels;
}

const FRAME = 2048;
const STRETCHES = 5;
const HUM_UP_TO: Hertz = 600;
/** Median over the multiples of what stands over their surroundings, from which it is a hum. */
const HUM_FROM: Decibels = 12;
const STEADY = 3;

/** Looks at the room of a recording; `null` when it is shorter than a second. */
export function roomNoise(pyramid: Pyramid): RoomNoise | null {
  const { samples, rate } = pyramid.atLeast(5400);
  const count = Math.floor(samples.length / FRAME);
  if (samples.length < rate || count < 2) return null;
  const powers = Array.from({ length: count }, (_, k) => {
    let power = 0;
    for (let i = k * FRAME; i < (k + 1) * FRAME; i++) power += samples[i] * samples[i];
    return { k, power: power / FRAME };
  }).sort((a, b) => a.power - b.power);
  const quiet = powers.slice(0, Math.min(STRETCHES, Math.ceil(count / 4)));

  const spectrum = new Float64Array(FRAME / 2);
  const flatness: number[] = [];
  for (const { k } of quiet) {
    const features = Meyda.extract(['powerSpectrum', 'spectralFlatness'], samples.subarray(k * FRAME, (k + 1) * FRAME));
    if (!features?.powerSpectrum) continue;
    for (let i = 0; i < spectrum.length; i++) spectrum[i] += features.powerSpectrum[i] / quiet.length;
    if (Number.isFinite(features.spectralFlatness)) flatness.push(features.spectralFlatness!);
  }
  const families = [50, 60].map((mains) => ({ mains, over: standsOver(spectrum, rate / FRAME, mains) }));
  families.sort((a, b) => b.over - a.over);
  const [{ mains, over }] = families;
  // A room's noise stands still; what changes from stretch to stretch is a tone dying away.
  const steady = quiet[quiet.length - 1].power < STEADY * quiet[0].power;
  return {
    level: powerToDecibels(median(quiet.map(({ power }) => power)) + 1e-14),
    flatness: flatness.length ? median(flatness) : 0,
    hum: steady && over >= HUM_FROM && over > families[1].over + 3 ? mains : null,
    humOver: over,
  };
}

/** Mean of the two strongest rises at the first multiples of `mains` over the bins half-way between. */
function standsOver(spectrum: Float64Array, binHertz: Hertz, mains: Hertz): Decibels {
  const rises: Decibels[] = [];
  for (let n = 1; n * mains <= HUM_UP_TO; n++) {
    const bin = Math.round((n * mains) / binHertz);
    const half = Math.round(mains / 2 / binHertz);
    const at = Math.max(spectrum[bin - 1] ?? 0, spectrum[bin], spectrum[bin + 1] ?? 0);
    const between = ((spectrum[bin - half] ?? 0) + (spectrum[bin + half] ?? 0)) / 2;
    rises.push(powerToDecibels((at + 1e-20) / (between + 1e-20)));
  }
  rises.sort((a, b) => b - a);
  return (rises[0] + rises[1]) / 2;
}
