/**
 * Cue points in a WAV file: places in the sound with a label each, which editors of sound show and jump to.
 *
 * Conventions: places are frames from the start of the sound; labels are plain letters (ASCII), because the format names no
 * alphabet. The chunks stand after the sound, so that a reader that knows none of them reads the sound as before.
 *
 * Source: IBM and Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (1991), chapter 3, "Cue-Points Chunk"
 * (`cue `: dwName, dwPosition, fccChunk, dwChunkStart, dwBlockStart, dwSampleOffset) and "Associated Data Chunk" (`LIST`
 * of type `adtl`, with `labl`: dwName and a text that ends in zero). From memory.
 */

import type { Frames } from '../units.ts';
import { fourCharacters, spells } from './checks.ts';

/** A place in the sound. */
export interface CuePoint {
  readonly frame: Frames;
  readonly label: string;
}

const HEADER = 12;
const POINT_BYTES = 24;
const LARGEST_FILE = 0xffff_fffe;
const LARGEST_FRAME = 0xffff_ffff;
const PLAIN = /^[\x20-\x7e]*$/;

/**
 * The file with these cue points, numbered from 1 in the order given; without any it is the same file.
 * @param wav - a little-endian WAV file (`RIFF`) that holds no cue points yet; left unchanged
 * @throws RangeError for another file, for a frame that is no whole number from 0 to 2^32 − 1, for a label of other than plain letters,
 *   and for more than 4 GB.
 */
export function withCuePoints(wav: Uint8Array, points: readonly CuePoint[]): Uint8Array<ArrayBuffer> {
  if (!spells(wav, 0, 'RIFF') || !spells(wav, 8, 'WAVE'))
    throw new RangeError('no WAV file (RIFF, WAVE); expected one');
  if (chunksOf(wav).some(({ id }) => id === 'cue ')) throw new RangeError('a WAV file with cue points; expected none');
  if (points.length === 0) return wav.slice();
  for (const { frame, label } of points) {
    if (!Number.isInteger(frame) || frame < 0 || frame > LARGEST_FRAME)
      throw new RangeError(`a cue point at frame ${frame}; expected a whole number from 0 to ${LARGEST_FRAME}`);
    if (!PLAIN.test(label)) throw new RangeError(`the label "${label}"; expected plain letters (ASCII)`);
  }
  const labels = points.map(({ label }) => even(8 + 4 + label.length + 1));
  const listBytes = 4 + labels.reduce((sum, bytes) => sum + bytes, 0);
  const cueBytes = 4 + POINT_BYTES * points.length;
  const start = even(wav.length);
  const size = start + 8 + cueBytes + 8 + listBytes;
  if (size > LARGEST_FILE) throw new RangeError(`a WAV file of ${size} bytes; expected at most ${LARGEST_FILE}`);

  const bytes = new Uint8Array(size);
  bytes.set(wav);
  const view = new DataView(bytes.buffer);
  const spell = (at: number, text: string) => [...text].forEach((letter, i) => (bytes[at + i] = letter.charCodeAt(0)));
  view.setUint32(4, size - 8, true);
  spell(start, 'cue ');
  view.setUint32(start + 4, cueBytes, true);
  view.setUint32(start + 8, points.length, true);
  points.forEach(({ frame }, i) => {
    const at = start + 12 + POINT_BYTES * i;
    view.setUint32(at, i + 1, true);
    view.setUint32(at + 4, frame, true);
    spell(at + 8, 'data');
    // dwChunkStart and dwBlockStart stay 0: the sound stands in one chunk, uncompressed.
    view.setUint32(at + 20, frame, true);
  });
  let at = start + 8 + cueBytes;
  spell(at, 'LIST');
  view.setUint32(at + 4, listBytes, true);
  spell(at + 8, 'adtl');
  at += 12;
  points.forEach(({ label }, i) => {
    spell(at, 'labl');
    view.setUint32(at + 4, 4 + label.length + 1, true);
    view.setUint32(at + 8, i + 1, true);
    spell(at + 12, label);
    at += labels[i];
  });
  return bytes;
}

/**
 * The cue points of a little-endian WAV file with their labels (empty where none stands), in the order of the file.
 * @throws RangeError for a file that is no such WAV file, or whose cue points break off.
 */
export function readCuePoints(wav: Uint8Array): CuePoint[] {
  if (!spells(wav, 0, 'RIFF') || !spells(wav, 8, 'WAVE'))
    throw new RangeError('no WAV file (RIFF, WAVE); expected one');
  const view = new DataView(wav.buffer, wav.byteOffset, wav.byteLength);
  const chunks = chunksOf(wav);
  const cue = chunks.find(({ id }) => id === 'cue ');
  if (!cue) return [];
  const count = cue.size >= 4 ? view.getUint32(cue.at, true) : 0;
  if (cue.size < 4 + POINT_BYTES * count)
    throw new RangeError(`${count} cue points in ${cue.size} bytes; expected ${4 + POINT_BYTES * count} bytes`);
  const labels = new Map<number, string>();
  for (const list of chunks.filter(({ id, at }) => id === 'LIST' && spells(wav, at, 'adtl'))) {
    for (const { id, at, size } of chunksOf(wav, list.at + 4, list.at + list.size)) {
      if (id === 'labl' && size >= 5) labels.set(view.getUint32(at, true), textOf(wav.subarray(at + 4, at + size)));
    }
  }
  return Array.from({ length: count }, (_, i) => {
    const at = cue.at + 4 + POINT_BYTES * i;
    return { frame: view.getUint32(at + 20, true), label: labels.get(view.getUint32(at, true)) ?? '' };
  });
}

interface Chunk {
  readonly id: string;
  /** Offset and size of the content. */
  readonly at: number;
  readonly size: number;
}

/** The chunks that are whole, from `from` to `to`. */
function chunksOf(wav: Uint8Array, from = HEADER, to = wav.length): Chunk[] {
  const view = new DataView(wav.buffer, wav.byteOffset, wav.byteLength);
  const chunks: Chunk[] = [];
  for (let at = from; at + 8 <= to;) {
    const size = view.getUint32(at + 4, true);
    if (at + 8 + size > to) break;
    chunks.push({ id: fourCharacters(wav, at), at: at + 8, size });
    at += 8 + even(size);
  }
  return chunks;
}

function textOf(bytes: Uint8Array): string {
  const end = bytes.indexOf(0);
  return String.fromCharCode(...bytes.subarray(0, end < 0 ? bytes.length : end));
}

/** Chunks stand at even places. */
function even(size: number): number {
  return size + (size % 2);
}
