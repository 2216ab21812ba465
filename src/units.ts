/**
 * Units: the types that people confuse, and the only converters between them.
 *
 * Conventions: outside a detector everything is in seconds, hertz, cents and decibels; inside, in frames and bins.
 * Branded numbers are plain numbers at run time. Levels are decibels of amplitude, 20·log10.
 */

declare const brand: unique symbol;
type Branded<Name extends string> = number & { readonly [brand]?: Name };

export type Seconds = Branded<'seconds'>;
export type Frames = Branded<'frames'>;
export type Hertz = Branded<'hertz'>;
export type Cents = Branded<'cents'>;
export type Decibels = Branded<'decibels'>;
export type Millimetres = Branded<'millimetres'>;
/** MIDI note number: A0 = 21, A4 = 69, C8 = 108. */
export type MidiNote = Branded<'midi'>;

/** Millimetres of an inch, exactly (international inch, 1959; from memory). */
const INCH: Millimetres = 25.4;

/** Inches of a length. */
export function millimetresToInches(length: Millimetres): number {
  return length / INCH;
}

/** Millimetres of a length in inches. */
export function inchesToMillimetres(inches: number): Millimetres {
  return inches * INCH;
}

/** Seconds of a frame count at a sample rate. */
export function framesToSeconds(frames: Frames, sampleRate: Hertz): Seconds {
  return frames / sampleRate;
}

/** Frames (not rounded) of a time at a sample rate. */
export function secondsToFrames(seconds: Seconds, sampleRate: Hertz): Frames {
  return seconds * sampleRate;
}

/** Amplitude ratio to decibels, 20·log10. Zero gives -Infinity. */
export function amplitudeToDecibels(amplitude: number): Decibels {
  return 20 * Math.log10(amplitude);
}

/** Power ratio to decibels, 10·log10. Zero gives -Infinity. */
export function powerToDecibels(power: number): Decibels {
  return 10 * Math.log10(power);
}

/** Decibels to amplitude ratio. */
export function decibelsToAmplitude(decibels: Decibels): number {
  return 10 ** (decibels / 20);
}

/** Interval from `from` to `to` in cents: 1200·log2(to/from). */
export function centsBetween(from: Hertz, to: Hertz): Cents {
  return 1200 * Math.log2(to / from);
}

/** Frequency ratio of an interval in cents. */
export function centsToRatio(cents: Cents): number {
  return 2 ** (cents / 1200);
}

/**
 * Equal-tempered frequency of a MIDI note, A4 = 440 Hz (ISO 16): f = 440·2^((m − 69)/12).
 * `cents` shifts it; `midi` may be fractional.
 */
export function midiToHertz(midi: MidiNote, cents: Cents = 0): Hertz {
  return 440 * 2 ** ((midi - 69) / 12 + cents / 1200);
}

/** MIDI note number, fractional, of a frequency: the inverse of {@link midiToHertz}. */
export function hertzToMidi(hertz: Hertz): MidiNote {
  return 69 + 12 * Math.log2(hertz / 440);
}
