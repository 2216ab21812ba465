/**
 * A second witness for the note: YIN as the pitchfinder library has it, from C2 to C6.
 *
 * Where the comb's lead is small, an independent period detector is asked. It names no note by itself: on piano tones it
 * reads sharp by the inharmonicity, fails at both ends of the compass, and its octave is not to be trusted. Where it
 * disagrees by more than a quarter tone even with octaves set aside, the name is doubtful.
 */

import { YIN } from 'pitchfinder';
import { centsBetween, type Hertz, type MidiNote, type Seconds } from '../units.ts';
import type { Pyramid } from './pyramid.ts';

const FRAME = 2048;
const LOWEST: MidiNote = 36;
const HIGHEST: MidiNote = 84;
const QUARTER_TONE = 50;

/**
 * Whether the witness agrees that the tone from `start` has its first partial at `hertz`: `null` where it cannot be
 * asked (outside C2 to C6, less than 2048 samples at about 12 kHz left, or no period found).
 */
export function witnessAgrees(pyramid: Pyramid, start: Seconds, midi: MidiNote, hertz: Hertz): boolean | null {
  if (midi < LOWEST || midi > HIGHEST) return null;
  const { samples, rate } = pyramid.atLeast(10800);
  const from = Math.round(start * rate);
  if (from < 0 || from + FRAME > samples.length) return null;
  const found = YIN({ sampleRate: rate, threshold: 0.15 })(samples.subarray(from, from + FRAME));
  if (found === null || !(found > 0)) return null;
  const cents = centsBetween(hertz, found);
  const withinOctave = cents - 1200 * Math.round(cents / 1200);
  return Math.abs(withinOctave) <= QUARTER_TONE;
}
