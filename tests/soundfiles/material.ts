/**
 * Files for the tests of sound files: built by hand byte by byte, or taken from the sample packages.
 */

import { readFileSync, readdirSync } from 'node:fs';
import { expect } from 'vitest';
import { SoundFileError, readSound } from '../../src/soundfiles/index.ts';
import type { SoundErrorCode } from '../../src/soundfiles/index.ts';
import { readMp3Header } from '../../src/soundfiles/mp3Frames.ts';
import { oggChecksum } from '../../src/soundfiles/oggPages.ts';

const packages = new URL('../../node_modules/@audio-samples/', import.meta.url);

/** All files of a sample package, in order of their names. */
export function packageFiles(pack: string): string[] {
  return readdirSync(new URL(`${pack}/audio/`, packages)).sort();
}

/** The bytes of one file of a sample package. */
export function packageFile(pack: string, file: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`${pack}/audio/${encodeURIComponent(file)}`, packages)));
}

/** The bytes of a file in `fixtures/`; how they were made stands in its README. */
export function fixture(file: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`fixtures/${file}`, import.meta.url)));
}

/**
 * Strokes in whole numbers only, so that every machine makes the same: a falling triangle wave under a little noise
 * (linear congruential, Numerical Recipes' constants), struck anew every `period` samples.
 */
export function wholeStrokes(frames: number, channel: number, bits: number, period = 1600): Int32Array {
  const full = 2 ** (bits - 1) - 1;
  let state = (12345 + 7919 * channel) >>> 0;
  return Int32Array.from({ length: frames }, (_, i) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    const decay = period - (i % period);
    const swing = Math.abs(((i * (5 + channel)) % 64) - 32) - 16;
    const noise = (state >>> 28) - 8;
    return Math.max(-full - 1, Math.min(full, Math.floor((full * decay * swing) / (20 * period)) + noise));
  });
}

/** The same as floats, by the convention of the readers. */
export function strokes(frames: number, channel: number, bits: number, period?: number): Float32Array {
  return Float32Array.from(wholeStrokes(frames, channel, bits, period), (value) => value / 2 ** (bits - 1));
}

/** Text, one byte a character. */
export function latin(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}

/** Bytes in a row. */
export function joined(...parts: readonly (Uint8Array | readonly number[])[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** A number in `size` bytes. */
export function number(value: number, size: number, littleEndian = true): Uint8Array {
  const bytes = Uint8Array.from({ length: size }, (_, i) => Math.floor(value / 256 ** i) % 256);
  return littleEndian ? bytes : bytes.reverse();
}

/** A RIFF chunk: name, size (its own, unless another is to be written), content, padding to even length. */
export function chunk(id: string, content: Uint8Array | readonly number[], size = content.length, littleEndian = true) {
  return joined(latin(id), number(size, 4, littleEndian), content, content.length % 2 ? [0] : []);
}

/** A RIFF file of chunks. */
export function riff(chunks: readonly Uint8Array[], id = 'RIFF', form = 'WAVE'): Uint8Array {
  const content = joined(...chunks);
  return joined(latin(id), number(content.length + 4, 4, id !== 'RIFX'), latin(form), content);
}

/** The fields of a "fmt " chunk; what is left out is 48 kHz, mono, 16-bit PCM, and what follows from it. */
export interface FormatFields {
  readonly tag?: number;
  readonly channels?: number;
  readonly rate?: number;
  readonly bits?: number;
  readonly frameBytes?: number;
  readonly extra?: Uint8Array;
  readonly littleEndian?: boolean;
}

export function formatChunk(fields: FormatFields = {}): Uint8Array {
  const { tag = 1, channels = 1, rate = 48_000, bits = 16, extra = new Uint8Array(0), littleEndian = true } = fields;
  const frameBytes = fields.frameBytes ?? Math.ceil((channels * bits) / 8);
  const content = joined(
    number(tag, 2, littleEndian),
    number(channels, 2, littleEndian),
    number(rate, 4, littleEndian),
    number((rate * frameBytes) % 2 ** 32, 4, littleEndian),
    number(frameBytes, 2, littleEndian),
    number(bits, 2, littleEndian),
    extra,
  );
  return chunk('fmt ', content, content.length, littleEndian);
}

/** A page of Ogg with a true checksum; `lacing` is made from the packets' lengths, each packet ending on the page. */
export function oggPage(packets: readonly Uint8Array[], flags: number, granule: bigint, serial: number, page: number) {
  const lacing = packets.flatMap(({ length }) => [...Array<number>(Math.floor(length / 255)).fill(255), length % 255]);
  const position = new Uint8Array(8);
  new DataView(position.buffer).setBigInt64(0, granule, true);
  const bytes = joined(
    latin('OggS'),
    [0, flags],
    position,
    number(serial, 4),
    number(page, 4),
    [0, 0, 0, 0, lacing.length],
    lacing,
    ...packets,
  );
  return sealPage(bytes, 0);
}

/** Writes the true checksum into the Ogg page at `at`, in place. */
export function sealPage(bytes: Uint8Array, at: number): Uint8Array {
  const segments = bytes[at + 26];
  const length = bytes.subarray(at + 27, at + 27 + segments).reduce((sum, size) => sum + size, 27 + segments);
  new DataView(bytes.buffer).setUint32(at + 22, oggChecksum(bytes, at, length), true);
  return bytes;
}

/** Offsets of all places where `text` stands. */
export function placesOf(bytes: Uint8Array, text: string): number[] {
  const haystack = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const places: number[] = [];
  for (let at = haystack.indexOf(text, 0, 'latin1'); at >= 0; at = haystack.indexOf(text, at + 1, 'latin1')) {
    places.push(at);
  }
  return places;
}

/** MP3: bounds of every frame, found by walking from the first header: frame i is bytes bounds[i] to bounds[i + 1]. */
export function mp3Bounds(bytes: Uint8Array): number[] {
  const header = (at: number) => readMp3Header(bytes, at);
  const first = bytes.findIndex((_, i) => header(i) !== null && header(i + header(i)!.bytes) !== null);
  const bounds = [first];
  for (let next = header(first); next; next = header(bounds.at(-1)!)) bounds.push(bounds.at(-1)! + next.bytes);
  // Behind the last frame stands nothing, or an ID3v1 tag.
  expect([0, 128]).toContain(bytes.length - bounds.at(-1)!);
  return bounds;
}

/** Expects two long arrays to hold the same samples: quicker than comparing them one by one. */
export function expectSame(found: Float32Array, expected: Float32Array): void {
  const bytes = (samples: Float32Array) => Buffer.from(samples.buffer, samples.byteOffset, samples.byteLength);
  expect(found.length).toBe(expected.length);
  expect(bytes(found).equals(bytes(expected)), 'the same samples').toBe(true);
}

/** Expects that the bytes are refused with this code, in words that fit; returns the error. */
export async function refused(bytes: Uint8Array, code: SoundErrorCode, words: RegExp): Promise<SoundFileError> {
  const error: unknown = await readSound(bytes).then(
    (sound) => new Error(`read ${sound.channels.length} channels of ${sound.channels[0].length} samples`),
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(SoundFileError);
  const refusal = error as SoundFileError;
  expect({ code: refusal.code, message: refusal.message }).toEqual({ code, message: expect.stringMatching(words) });
  expect(refusal.found).not.toBe('');
  expect(refusal.expected).not.toBe('');
  return refusal;
}
