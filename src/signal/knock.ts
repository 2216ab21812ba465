/**
 * The knock of the key's bottom, as a level: in the treble only, where no partial of the note lies beneath it.
 *
 * Taken from 50 to 220 Hz, an octave and more under the lowest partial of the notes asked, with a low-pass that leaves of
 * the tone 45 dB less at C5 and yet less above: so the tone is taken away. What is heard there is the key's bottom and the soundboard's answer to
 * the hammer together; when it comes is not told.
 */

import {
  amplitudeToDecibels,
  powerToDecibels,
  type Decibels,
  type Hertz,
  type MidiNote,
  type Seconds,
} from '../units.ts';
import { filterAll, highPass, lowPass } from './biquad.ts';
import type { Layer } from './pyramid.ts';

/** From C5 up the first partial stands an octave over the band. */
export const KNOCK_FROM_KEY: MidiNote = 72;
const LOW: Hertz = 50;
const HIGH: Hertz = 220;
const BEFORE: Seconds = 0.06;
const SETTLE: Seconds = 0.025;
const AFTER: Seconds = 0.08;
/** The band must rise by so much over what was there before. */
const LEAST_RISE: Decibels = 6;

/**
 * Peak of the knock within 80 ms after `onset`, dB re full scale; `null` where the band does not rise by 6 dB, or the
 * recording does not hold the stretch.
 */
export function knockLevel({ samples, rate }: Layer, onset: Seconds): Decibels | null {
  const from = Math.round((onset - BEFORE) * rate);
  const to = Math.round((onset + AFTER) * rate);
  if (from < 0 || to > samples.length) return null;
  const band = new Float32Array(to - from);
  const low = lowPass(HIGH, Math.SQRT1_2, rate);
  filterAll(samples.slice(from, to), [highPass(LOW, Math.SQRT1_2, rate), low, low, low], band);
  const settled = Math.round(SETTLE * rate);
  const start = Math.round(BEFORE * rate);
  let before = 1e-14;
  let after = 0;
  let peak = 0;
  for (let i = settled; i < start; i++) before += band[i] * band[i];
  for (let i = start; i < band.length; i++) {
    after += band[i] * band[i];
    peak = Math.max(peak, Math.abs(band[i]));
  }
  const rise = powerToDecibels(after / (band.length - start)) - powerToDecibels(before / (start - settled));
  return rise >= LEAST_RISE ? amplitudeToDecibels(peak) : null;
}
