/**
 * The keys of a piano: names, numbers, registers.
 *
 * Key numbers run from 1 (A0) to 88 (C8); MIDI numbers from 21 to 108. Names use sharps.
 */

import type { MidiNote } from '../units.ts';

export const LOWEST_KEY: MidiNote = 21;
export const HIGHEST_KEY: MidiNote = 108;

const PITCH_CLASSES = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'] as const;

/**
 * Name of a key with its octave, "A0" to "C8".
 * @throws RangeError if `midi` is not a whole number from 21 to 108.
 */
export function keyName(midi: MidiNote): string {
  assertKey(midi);
  return `${PITCH_CLASSES[midi % 12]}${Math.floor(midi / 12) - 1}`;
}

/** Key number from 1 (A0) to 88 (C8). */
export function keyNumber(midi: MidiNote): number {
  assertKey(midi);
  return midi - 20;
}

/**
 * MIDI number of a key name such as "A#4", "Bb2" or "c8".
 * @throws RangeError if the text names no key of a piano.
 */
export function parseKeyName(text: string): MidiNote {
  const match = /^([a-gA-G])([#b]?)(-?\d+)$/.exec(text.trim());
  if (match) {
    const natural = PITCH_CLASSES.indexOf(match[1].toUpperCase() as (typeof PITCH_CLASSES)[number]);
    const midi = natural + (match[2] === '#' ? 1 : match[2] === 'b' ? -1 : 0) + (Number(match[3]) + 1) * 12;
    if (isKey(midi)) return midi;
  }
  throw new RangeError(`"${text}" names no piano key; expected a name from A0 to C8 such as "F#4"`);
}

/** True for a whole number from 21 to 108. */
export function isKey(midi: number): boolean {
  return Number.isInteger(midi) && midi >= LOWEST_KEY && midi <= HIGHEST_KEY;
}

/** True for the black keys. */
export function isBlackKey(midi: MidiNote): boolean {
  return [1, 3, 6, 8, 10].includes(midi % 12);
}

function assertKey(midi: MidiNote): void {
  if (!isKey(midi)) throw new RangeError(`${midi} is no piano key; expected a whole number from 21 (A0) to 108 (C8)`);
}
