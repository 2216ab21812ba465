/**
 * Damage to sound files, seeded: what disks, interrupted copies, wrong transfers and broken writers do, and for the
 * formats with checksums also damage under a checksum that was made true again, which reaches the decoders.
 */

import { readFlacFrames, readFlacInfo } from '../../src/soundfiles/flacFrames.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';
import { joined, mp3Bounds, number, placesOf, sealPage } from './material.ts';

/** One kind of damage: new bytes from whole ones, which stay as they are. */
export type Damage = (bytes: Uint8Array, random: RandomStream) => Uint8Array;

const below = (random: RandomStream, limit: number) => Math.floor(random.between(0, limit));
const EXTREMES = [0, 1, 2, 0x7f, 0x80, 0xff, 0xffff, 0x7fff_ffff, 0x8000_0000, 0xffff_ffff];

function flips(bytes: Uint8Array, random: RandomStream, from = 0, to = bytes.length): Uint8Array {
  const copy = bytes.slice();
  for (let n = 1 + below(random, 12); n > 0; n--) copy[from + below(random, to - from)] ^= 1 << below(random, 8);
  return copy;
}

function stretch(bytes: Uint8Array, random: RandomStream): readonly [from: number, to: number] {
  const from = below(random, bytes.length);
  return [from, Math.min(bytes.length, from + 1 + below(random, 1 + bytes.length / 4))];
}

const zeroed: Damage = (bytes, random) => bytes.slice().fill(0, ...stretch(bytes, random));
const cut: Damage = (bytes, random) => bytes.slice(0, below(random, bytes.length));

function removed(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const [from, to] = stretch(bytes, random);
  return joined(bytes.subarray(0, from), bytes.subarray(to));
}

function inserted(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const at = below(random, bytes.length);
  const foreign = Uint8Array.from({ length: 1 + below(random, 300) }, () => below(random, 256));
  return joined(bytes.subarray(0, at), foreign, bytes.subarray(at));
}

function swapped(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const [a, b, c] = [1, 2, 3].map(() => below(random, bytes.length)).sort((x, y) => x - y);
  return joined(bytes.subarray(0, a), bytes.subarray(b, c), bytes.subarray(a, b), bytes.subarray(c));
}

function doubled(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const [from, to] = stretch(bytes, random);
  return joined(bytes.subarray(0, to), bytes.subarray(from));
}

/** A field of one, two or four bytes near the beginning set to something extreme. */
function headerField(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const size = [1, 2, 4][below(random, 3)];
  const field = number(EXTREMES[below(random, EXTREMES.length)] % 256 ** size, size, random.chance(0.5));
  const copy = bytes.slice();
  copy.set(field, below(random, 80));
  return copy;
}

/** Ogg: bits turned in the first or any page, with a true checksum again. */
function sealedPage(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const pages = placesOf(bytes, 'OggS');
  const page = random.chance(0.5) ? below(random, Math.min(2, pages.length)) : below(random, pages.length);
  const end = pages[page + 1] ?? bytes.length;
  const from = pages[page] + 27 + bytes[pages[page] + 26];
  // Lengths stay as they were, so that the page itself still holds together.
  return sealPage(
    random.chance(0.2) ? flips(bytes, random, pages[page] + 4, pages[page] + 22) : flips(bytes, random, from, end),
    pages[page],
  );
}

/** FLAC: bits turned within one frame behind its header, with a true checksum (bit by bit: RFC 9639, 9.3) again. */
function sealedFrame(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const { frames } = readFlacFrames(bytes, readFlacInfo(bytes, 0));
  const frame = frames[below(random, frames.length)].bytes;
  const from = frame.byteOffset - bytes.byteOffset;
  const end = from + frame.length - 2;
  const copy = flips(bytes, random, from + 8, end);
  let crc = 0;
  for (let i = from; i < end; i++) {
    crc ^= copy[i] << 8;
    for (let bit = 0; bit < 8; bit++) crc = ((crc << 1) ^ (crc & 0x8000 ? 0x8005 : 0)) & 0xffff;
  }
  copy.set([crc >> 8, crc & 255], end);
  return copy;
}

/** MP3: bits turned in the coded spectrum of one frame, which no checksum of its own covers. */
function spectrum(bytes: Uint8Array, random: RandomStream): Uint8Array {
  const bounds = mp3Bounds(bytes);
  const frame = 1 + below(random, bounds.length - 2);
  // Behind the longest head: four bytes of header, two of checksum, 32 of side information.
  return flips(bytes, random, bounds[frame] + 38, bounds[frame + 1]);
}

/** Damage that fits every file. */
export const DAMAGES: Readonly<Record<string, Damage>> = {
  flips: (bytes, random) => flips(bytes, random),
  'flips in the header': (bytes, random) => flips(bytes, random, 0, Math.min(200, bytes.length)),
  zeroed,
  cut,
  removed,
  inserted,
  swapped,
  doubled,
  'header field': headerField,
};

/** Damage under a true checksum, by the format that has one. */
export const SEALED_DAMAGES: Readonly<Record<'ogg' | 'flac' | 'mp3', Damage>> = {
  ogg: sealedPage,
  flac: sealedFrame,
  mp3: spectrum,
};
