/**
 * What every sound must satisfy, whatever file it came from, and the words for sizes that the readers share.
 *
 * Conventions: rates in hertz, times in seconds from the first sample, samples nominally within ±1.
 */

import type { Hertz } from '../units.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';

/** The lowest and highest sample rates that are read: below, a stroke's click is lost; above lies no recorder's use. */
export const LOWEST_RATE: Hertz = 8_000;
export const HIGHEST_RATE: Hertz = 96_000;

/**
 * The largest sample that is believed. Float files that hold whole numbers of up to 32 bits stay below it; what lies
 * above is damage, and its squares would overflow later.
 */
const LARGEST_SAMPLE = 2 ** 31;

/** What a refusal of foreign content names as expected. */
export const READABLE = 'a WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3 recording';

/**
 * Refuses a sample rate outside {@link LOWEST_RATE} to {@link HIGHEST_RATE}.
 *
 * @throws SoundFileError `bad-rate`.
 */
export function checkRate(sampleRate: number): void {
  if (sampleRate >= LOWEST_RATE && sampleRate <= HIGHEST_RATE) return;
  throw new SoundFileError(
    'bad-rate',
    `a sample rate of ${sampleRate} Hz`,
    `${LOWEST_RATE} to ${HIGHEST_RATE} Hz (44100 or 48000 Hz are usual)`,
  );
}

/**
 * Refuses a sound without samples, and one that holds a sample which is no number or beyond belief.
 *
 * @throws SoundFileError `empty`; `not-finite` with the channel (from 1) and time of the first such sample; `damaged`
 *   for a finite sample beyond ±2³¹.
 */
export function checkSamples(sound: Sound): void {
  const frames = sound.channels[0]?.length ?? 0;
  if (frames === 0) throw new SoundFileError('empty', 'a recording without any samples', 'recorded sound');
  let first = frames;
  let where = 0;
  sound.channels.forEach((samples, channel) => {
    for (let i = 0; i < first; i++) {
      if (!(Math.abs(samples[i]) <= LARGEST_SAMPLE)) {
        first = i;
        where = channel;
      }
    }
  });
  if (first === frames) return;
  const sample = sound.channels[where][first];
  throw new SoundFileError(
    Number.isFinite(sample) ? 'damaged' : 'not-finite',
    `a sample of ${sample} in channel ${where + 1} at ${secondsInWords(first / sound.sampleRate)}`,
    'samples that are numbers within ±1',
  );
}

/** A time or length in words, to the millisecond: `1.234 s`. */
export function secondsInWords(seconds: number): string {
  return `${seconds.toFixed(3)} s`;
}

/** The four characters at `at` as text, unprintable ones as dots; shorter at the end of the bytes. */
export function fourCharacters(bytes: Uint8Array, at: number): string {
  let text = '';
  for (let i = at; i < Math.min(at + 4, bytes.length); i++) {
    text += bytes[i] >= 0x20 && bytes[i] < 0x7f ? String.fromCharCode(bytes[i]) : '.';
  }
  return text;
}

/** Whether the bytes at `at` spell `text` (one byte a character). */
export function spells(bytes: Uint8Array, at: number, text: string): boolean {
  if (at + text.length > bytes.length) return false;
  for (let i = 0; i < text.length; i++) if (bytes[at + i] !== text.charCodeAt(i)) return false;
  return true;
}
