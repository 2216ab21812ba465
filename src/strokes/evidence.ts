/**
 * Whether a group of sounds is struck strings of a piano: how far its tones lie from what such strings do.
 *
 * Each feature of `struck.ts` has a limit that struck strings keep and a tolerance; what exceeds the limits is added up
 * in tolerances. Below {@link STRING_WITHIN} nothing speaks against a string; from {@link OTHER_FROM} on it is none.
 *
 * Limits were chosen on recorded strokes of one grand (every second key, 12 to 60 dB over noise) against speech, workshop
 * noises and instruments, and judged on other voices, instruments and seeds, on another grand and an upright: see
 * `tests/accuracy/otherSounds.ts`. A plucked string as stiff as a piano's (a harp's) is not told apart by its tone.
 */

import type { ToneShape } from '../signal/struck.ts';
import { median } from '../statistics/order.ts';
import type { MidiNote } from '../units.ts';

/** What a sound that is no piano string most likely was. */
export const SOUND_KINDS = ['speech', 'instrument', 'knock'] as const;
export type SoundKind = (typeof SOUND_KINDS)[number];

/** Features of a group: medians of its strokes'. */
export type GroupShape = { readonly [K in keyof ToneShape]: K extends 'steady' ? number | null : number };

export const STRING_WITHIN = 1;
export const OTHER_FROM = 2.5;
/** Below this key a string shows enough partials to tell its stiffness. */
const TREBLE_FROM: MidiNote = 84;
/** From here up there are too few partials for their harmony to mean anything. */
const TOP_FROM: MidiNote = 96;
/** Shorter tones blur their partials. */
const SHORT = 0.12;
/** So much of a tone beside its own comb is another note's. */
const SEVERAL_FROM = 0.45;
/** A held tone's partials stand this high over the floor, dB: a voice that speaks smears its own. */
const HELD_FROM = 36;

/** The group's own shape: the median of each feature. `null` without any. */
export function groupShape(shapes: readonly ToneShape[]): GroupShape | null {
  if (shapes.length === 0) return null;
  const of = (key: Exclude<keyof ToneShape, 'steady'>): number => median(shapes.map((shape) => shape[key]));
  const steady = shapes.flatMap((shape) => (shape.steady === null ? [] : [shape.steady]));
  return {
    duration: of('duration'),
    climb: of('climb'),
    swell: of('swell'),
    fall: of('fall'),
    stiff: of('stiff'),
    stiffness: of('stiffness'),
    partials: of('partials'),
    upper: of('upper'),
    first: of('first'),
    strongest: of('strongest'),
    strange: of('strange'),
    steady: steady.length ? median(steady) : null,
  };
}

/** By how many tolerances `value` exceeds `limit`. */
const over = (value: number, limit: number, tolerance: number): number => Math.max(0, (value - limit) / tolerance);

/** How far a group named `midi` lies from struck strings, in tolerances: 0 for none. */
export function distanceFromString(shape: GroupShape, midi: MidiNote): number {
  const { swell, climb, stiff, stiffness, steady, first, upper, strongest, partials, strange, fall, duration } = shape;
  // Strings that beat swell a little, late: the two say the same and count once.
  const always = Math.max(over(swell, 3, 1.5), over(climb, 0.09, 0.03)) + (duration < SHORT ? 0.5 : 0);
  if (midi >= TREBLE_FROM) {
    return (
      always +
      over(-fall, -5, 2) +
      over(-first, -23, 4) +
      over(strange, 0.78, 0.06) +
      (steady === null ? 0 : over(-steady, -0.15, 0.1)) +
      (midi < TOP_FROM && partials >= 3 ? over(-stiff, 0, 0.08) : 0)
    );
  }
  const least = midi < 36 ? 5 : midi < 60 ? 6 : midi < 72 ? 4 : 3;
  return (
    always +
    over(-stiff, -0.1, 0.04) +
    over(stiffness, 1.3, 0.3) +
    (steady === null ? 0.7 : over(-steady, -0.75, 0.12)) +
    over(first - upper, 20, 6) +
    over(-partials, -least, 1) +
    over(-strongest, midi < 36 ? -18 : -25, 5) +
    over(strange, 0.5, 0.1) +
    over(fall, 25, 5)
  );
}

/** True where much of the tone belongs to no partial of the one note: other notes sound with it. */
export function holdsSeveralNotes({ strange, partials }: GroupShape, midi: MidiNote): boolean {
  return midi < 72 && partials >= 5 && strange >= SEVERAL_FROM;
}

/** What a group that is no string most likely is. */
export function soundKind({ partials, strongest, fall, strange }: GroupShape): SoundKind {
  if (fall > 25 && (partials <= 3 || strange > 0.8)) return 'knock';
  if (partials <= 2 && strange > 0.8) return 'knock';
  return strongest >= HELD_FROM ? 'instrument' : 'speech';
}
