/**
 * Score of note names: which key was played against which was said.
 *
 * Conventions: MIDI numbers, whole; a note that was not named is `null` and counts as a failure. An octave error is a
 * wrong name of the right pitch class.
 */

import type { MidiNote } from '../units.ts';

/** C2 to B6, the middle five octaves, in which no octave error is forgiven. */
export const MIDDLE_OCTAVES = { low: 36, high: 95 } as const;

/** One note: what it was and what it was called. */
export interface NamedNote {
  readonly reference: MidiNote;
  readonly estimate: MidiNote | null;
  /** Where this came from, for the list of misses. */
  readonly label: string;
}

export interface NamingScore {
  readonly n: number;
  readonly right: number;
  /** right / n. */
  readonly share: number;
  readonly unnamed: number;
  readonly octaveErrors: number;
  readonly octaveErrorsInMiddle: number;
  /** One semitone off: what a mistuned piano provokes. */
  readonly semitoneErrors: number;
  /** Every note that was not named rightly, in the order given. */
  readonly misses: readonly NamedNote[];
}

/**
 * Scores a list of named notes.
 * @throws RangeError if the list is empty or a name is no whole MIDI number from 0 to 127.
 */
export function scoreNames(notes: readonly NamedNote[]): NamingScore {
  if (notes.length === 0) throw new RangeError('no notes to judge; expected at least one');
  for (const { reference, estimate, label } of notes) {
    checkMidi(`reference of ${label}`, reference);
    if (estimate !== null) checkMidi(`estimate of ${label}`, estimate);
  }
  const misses = notes.filter(({ reference, estimate }) => reference !== estimate);
  const octave = misses.filter(({ reference, estimate }) => estimate !== null && (estimate - reference) % 12 === 0);
  return {
    n: notes.length,
    right: notes.length - misses.length,
    share: (notes.length - misses.length) / notes.length,
    unnamed: misses.filter(({ estimate }) => estimate === null).length,
    octaveErrors: octave.length,
    octaveErrorsInMiddle: octave.filter(
      ({ reference }) => reference >= MIDDLE_OCTAVES.low && reference <= MIDDLE_OCTAVES.high,
    ).length,
    semitoneErrors: misses.filter(
      ({ reference, estimate }) => estimate !== null && Math.abs(estimate - reference) === 1,
    ).length,
    misses,
  };
}

/**
 * The name that most of a take's strokes carry; `null` where there is none, or two are equally frequent: a take whose
 * strokes disagree half and half has no name.
 */
export function majorityName(names: readonly (MidiNote | null)[]): MidiNote | null {
  const votes = new Map<MidiNote | null, number>();
  for (const name of names) votes.set(name, (votes.get(name) ?? 0) + 1);
  const ranked = [...votes].sort((a, b) => b[1] - a[1]);
  if (ranked.length === 0 || (ranked.length > 1 && ranked[0][1] === ranked[1][1])) return null;
  return ranked[0][0];
}

function checkMidi(what: string, midi: number): void {
  if (Number.isInteger(midi) && midi >= 0 && midi <= 127) return;
  const guess = midi > 127 ? '; it looks like a frequency in hertz' : '';
  throw new RangeError(`${what} is ${midi}; expected a whole MIDI number from 0 to 127${guess}`);
}
