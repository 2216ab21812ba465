/**
 * Level and brightness of a stroke, from the samples about its onset.
 */

import { amplitudeToDecibels, powerToDecibels, type Decibels, type Seconds } from '../units.ts';
import { highPass } from './biquad.ts';
import type { Layer } from './pyramid.ts';

const WINDOW: Seconds = 0.05;
/** Power ratio, 12 dB. */
const OVER_BEFORE = 15.8;
const BRIGHT_ABOVE = 2000;
/** Samples at or above this are taken as clipped. */
export const CLIPPED = 0.999;

/** Largest magnitude within 60 ms after `onset`, dB re full scale; -Infinity in silence. */
export function peakLevel({ samples, rate }: Layer, onset: Seconds): Decibels {
  let peak = 0;
  const to = Math.min(samples.length, Math.round((onset + 0.06) * rate));
  for (let i = Math.max(0, Math.round(onset * rate)); i < to; i++) peak = Math.max(peak, Math.abs(samples[i]));
  return amplitudeToDecibels(peak);
}

/**
 * Mean power of the 60 ms after `onset` less that of the 30 ms before, dB re full scale; `null` where what rang before is
 * within 12 dB of it, or the window runs out of the recording: then the stroke's own level cannot be read off.
 */
export function ownLevel({ samples, rate }: Layer, onset: Seconds): Decibels | null {
  const power = (from: Seconds, to: Seconds) => {
    const [a, b] = [Math.round(from * rate), Math.round(to * rate)];
    if (a < 0 || b > samples.length) return NaN;
    let sum = 0;
    for (let i = a; i < b; i++) sum += samples[i] * samples[i];
    return sum / (b - a);
  };
  const before = power(onset - 0.034, onset - 0.004);
  const after = power(onset, onset + 0.06);
  return after > OVER_BEFORE * before ? powerToDecibels(after - before) : null;
}

/** True if three or more samples within 60 ms after `onset` stand at full scale. */
export function isClipped({ samples, rate }: Layer, onset: Seconds): boolean {
  let count = 0;
  const to = Math.min(samples.length, Math.round((onset + 0.06) * rate));
  for (let i = Math.max(0, Math.round(onset * rate)); i < to; i++) if (Math.abs(samples[i]) >= CLIPPED) count++;
  return count >= 3;
}

/**
 * Brightness: energy above 2 kHz (second-order high-pass) over all energy, in the 50 ms from the onset; dB, at most 0.
 * `null` where the recording does not reach 4 kHz, or ends before the window.
 */
export function brightness({ samples, rate }: Layer, onset: Seconds): Decibels | null {
  const from = Math.round(onset * rate);
  const count = Math.round(WINDOW * rate);
  if (rate < 8000 || from < 0 || from + count > samples.length) return null;
  const [b0, b1, b2, a1, a2] = highPass(BRIGHT_ABOVE, Math.SQRT1_2, rate);
  let s1 = 0;
  let s2 = 0;
  let high = 0;
  let all = 0;
  for (let i = from; i < from + count; i++) {
    const x = samples[i];
    const y = b0 * x + s1;
    s1 = b1 * x - a1 * y + s2;
    s2 = b2 * x - a2 * y;
    high += y * y;
    all += x * x;
  }
  return all > 0 && high > 0 ? Math.min(0, powerToDecibels(high / all)) : null;
}
