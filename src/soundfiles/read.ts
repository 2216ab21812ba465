/**
 * The one way from the bytes of a file to sound, the same in Node and in a browser.
 *
 * The format is told from the content. Either the whole recording comes back, or an error that says what is wrong:
 * never a part of it, and never silence in place of what was lost.
 */

import { checkSamples } from './checks.ts';
import { readFlac } from './flac.ts';
import { readMp3 } from './mp3.ts';
import { readOgg } from './ogg.ts';
import { recognise } from './recognise.ts';
import type { Recognised } from './recognise.ts';
import type { Sound } from './sound.ts';
import { readWav } from './wav.ts';

const READERS: Readonly<Record<Recognised['format'], (bytes: Uint8Array, at: number) => Sound | Promise<Sound>>> = {
  wav: readWav,
  flac: readFlac,
  ogg: readOgg,
  mp3: readMp3,
};

/**
 * Reads a WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3 file.
 *
 * @param bytes - the whole file; left unchanged.
 * @returns all channels at the file's own rate (Opus: 48 kHz, always); every sample is finite, and there is at least one.
 * @throws SoundFileError (as a rejection) with one of the codes of `SOUND_ERROR_CODES`; nothing else.
 */
export async function readSound(bytes: Uint8Array): Promise<Sound> {
  const { format, at } = recognise(bytes);
  const sound = await READERS[format](bytes, at);
  checkSamples(sound);
  return sound;
}
