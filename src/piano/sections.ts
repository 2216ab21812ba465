/**
 * The sections of a piano: the stretches of keys between the breaks of its plate, and what they are called.
 *
 * Conventions: a break is the first key of the section above it, so that n breaks part n + 1 sections. Names as
 * technicians use them (common practice, no source).
 */

import { HIGHEST_KEY, LOWEST_KEY, isKey, keyName } from './keys.ts';
import type { MidiNote } from '../units.ts';

/** The keys that a piano has, both ends included. */
export interface Compass {
  readonly lowest: MidiNote;
  readonly highest: MidiNote;
}

/** A0 to C8. */
export const KEYS_88: Compass = { lowest: LOWEST_KEY, highest: HIGHEST_KEY };
/** A0 to A7: many older pianos. */
export const KEYS_85: Compass = { lowest: LOWEST_KEY, highest: 105 };

/** A stretch of keys between two breaks, both ends included. */
export interface Section extends Compass {
  readonly name: string;
}

/**
 * Where the sections of a grand usually break: B2, B4, G6. An assumption for a piano whose breaks nobody has entered
 * (common practice, no source): makers place them several keys apart, so a screen that uses them says so.
 */
export const USUAL_BREAKS: readonly MidiNote[] = [47, 71, 91];

/**
 * The sections from bass to treble.
 *
 * @param breaks - first key of each section after the lowest, rising; empty for a piano taken as one.
 * @throws RangeError naming the key, if a break lies outside the compass or below the one before; if the compass is none.
 */
export function sectionsOf(breaks: readonly MidiNote[], compass: Compass = KEYS_88): Section[] {
  assertCompass(compass);
  const firsts = [compass.lowest, ...breaks];
  for (const [i, first] of breaks.entries()) {
    if (!isKey(first)) throw new RangeError(`${first} is no piano key; expected breaks from 21 (A0) to 108 (C8)`);
    if (first <= firsts[i] || first > compass.highest) {
      throw new RangeError(
        `a section cannot begin at ${keyName(first)}; expected a key above ${keyName(firsts[i])} and up to ` +
          `${keyName(compass.highest)}: breaks stand from bass to treble`,
      );
    }
  }
  return firsts.map((lowest, i) => ({
    name: nameOf(i, firsts.length),
    lowest,
    highest: i + 1 < firsts.length ? firsts[i + 1] - 1 : compass.highest,
  }));
}

/**
 * The section that a key stands in.
 * @throws RangeError if the key lies in none of them.
 */
export function sectionAt(midi: MidiNote, sections: readonly Section[]): Section {
  const found = sections.find(({ lowest, highest }) => midi >= lowest && midi <= highest);
  if (!found) {
    throw new RangeError(`${isKey(midi) ? keyName(midi) : midi} lies in no section; expected a key of this piano`);
  }
  return found;
}

/** @throws RangeError if the ends are no keys, or stand the wrong way round. */
export function assertCompass({ lowest, highest }: Compass): void {
  if (!isKey(lowest) || !isKey(highest) || lowest > highest) {
    throw new RangeError(
      `${lowest} to ${highest} is no compass; expected two keys from 21 (A0) to 108 (C8), low first`,
    );
  }
}

function nameOf(index: number, count: number): string {
  if (count === 1) return 'Whole compass';
  if (index === 0) return 'Bass';
  if (count === 2) return 'Treble';
  if (index === 1) return 'Tenor';
  if (count === 3) return 'Treble';
  if (index === count - 1) return 'High treble';
  return count === 4 ? 'Treble' : `Treble ${index - 1}`;
}
