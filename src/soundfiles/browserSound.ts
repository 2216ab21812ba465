/**
 * Sound that is not decoded here, but that a browser may decode by itself: what it is, and how to cut what comes out.
 *
 * For AAC there is no decoder whose licence goes with this project's and that is kept up; every browser has one.
 *
 * Sources: `mp4Boxes.ts`; RFC 8794 (EBML) and the Matroska codec identifiers; ISO/IEC 13818-7, 6.2 (ADTS header, from
 * memory).
 */

import { fourCharacters, spells } from './checks.ts';
import { readMp4Track, type Mp4Track } from './mp4Boxes.ts';
import type { Sound } from './sound.ts';
import { afterTags } from './tags.ts';

/** A file for the browser's decoder. */
export interface BrowserSound {
  /** For a person: `an M4A file with AAC sound`. */
  readonly name: string;
  /** The rate to decode at, so that nothing is resampled; 48 kHz where the file was not asked. */
  readonly sampleRate: number;
  /** Name of the lossy codec; null for sound compressed without loss, or not at all. */
  readonly codec: string | null;
  readonly track: Mp4Track | null;
}

const EBML = '\x1a\x45\xdf\xa3';
const UNKNOWN_CODEC = 'an unknown codec';
const WEBM_CODECS: readonly (readonly [id: string, codec: string | null])[] = [
  ['A_OPUS', 'Opus'],
  ['A_VORBIS', 'Vorbis'],
  ['A_AAC', 'AAC'],
  ['A_FLAC', null],
  ['A_PCM', null],
];
/** Codings in MP4 that lose nothing. */
const LOSSLESS_MP4 = ['alac', 'fLaC', 'lpcm', 'ipcm', 'fpcm', 'sowt', 'twos'];
/** Codecs stand in the head of a WebM file. */
const HEAD_BYTES = 4096;
const ADTS_RATES = [96_000, 88_200, 64_000, 48_000, 44_100, 32_000, 24_000, 22_050, 16_000, 12_000, 11_025, 8_000];
/** Frames that one AAC block can hold. */
const BLOCK_FRAMES = 2048;
/** Lengths in a file may be rounded to milliseconds; the silence of an encoder is far longer. */
const ROUNDING_SECONDS = 0.003;

/** What a file is for a browser's decoder, or null if it is nothing of the kind. */
export function browserSound(bytes: Uint8Array): BrowserSound | null {
  if (spells(bytes, 4, 'ftyp')) return mp4Sound(bytes);
  if (spells(bytes, 0, EBML)) {
    const head = String.fromCharCode(...bytes.subarray(0, HEAD_BYTES));
    const known = WEBM_CODECS.find(([id]) => head.includes(id));
    const name = `a WebM or Matroska file${known?.[1] ? ` with ${known[1]} sound` : ''}`;
    return { name, sampleRate: 48_000, codec: known ? known[1] : UNKNOWN_CODEC, track: null };
  }
  const at = afterTags(bytes);
  if (bytes[at] === 0xff && (bytes[at + 1] & 0xf6) === 0xf0) {
    const rate = ADTS_RATES[(bytes[at + 2] >> 2) & 15];
    return rate ? { name: 'an AAC sound file (ADTS)', sampleRate: rate, codec: 'AAC', track: null } : null;
  }
  return null;
}

function mp4Sound(bytes: Uint8Array): BrowserSound {
  const brand = fourCharacters(bytes, 8).trim();
  const kind = ['M4A', 'M4B'].includes(brand) ? 'an M4A file' : `an MP4 or QuickTime file (brand "${brand}")`;
  const track = readMp4Track(bytes);
  if (!track)
    return { name: `${kind} without a readable sound track`, sampleRate: 48_000, codec: UNKNOWN_CODEC, track };
  const codec = codecOf(track);
  const name = `${kind} with ${codec ?? track.coding.toUpperCase()} sound`;
  return { name, sampleRate: track.sampleRate, codec, track };
}

function codecOf({ coding, objectType }: Mp4Track): string | null {
  if (LOSSLESS_MP4.includes(coding)) return null;
  if (coding !== 'mp4a') return coding;
  return objectType === 0x69 || objectType === 0x6b ? 'MP3' : 'AAC';
}

/**
 * The sound as the file means it, from what a browser's decoder gave.
 *
 * Whether a decoder leaves out the silence that the encoder put in front differs between browsers, and shows in the
 * length: if all frames of the track came out, it is cut here by the file's edit; if the edit's, it was cut already.
 *
 * @param channels - as decoded at `sound.sampleRate`.
 */
export function cutBrowserSound(sound: BrowserSound, channels: readonly Float32Array[]): Sound {
  const { track, sampleRate, codec } = sound;
  const decoded = channels[0]?.length ?? 0;
  const near = (frames: number) => Math.abs(decoded - frames) <= ROUNDING_SECONDS * sampleRate;
  const asDecoded = (startKnown: boolean): Sound => ({
    sampleRate,
    channels,
    lossy: codec === null ? null : { codec, startKnown },
  });
  if (!track?.heard) return asDecoded(false);
  const { skipped, length } = track.heard;
  if (near(length)) return asDecoded(true);
  // The last block comes out whole, also beyond what the track counts; where the start was cut, less comes out.
  const all = track.frames !== null && decoded >= track.frames && decoded < track.frames + BLOCK_FRAMES;
  if (!all) return asDecoded(false);
  const cut = channels.map((samples) => samples.slice(skipped, skipped + length));
  return { ...asDecoded(true), channels: cut };
}
