/**
 * The sound track of an MP4 file (M4A among them), as far as its boxes describe it. Nothing is decoded here.
 *
 * Sources: ISO/IEC 14496-12, sections 4.2 (boxes), 8.4.2 `mdhd`, 8.4.3 `hdlr`, 8.5.2 `stsd`, 8.6.6 `elst`; ISO/IEC
 * 14496-1, 7.2.6.6 (object types in `esds`). From memory, held against a file of one encoder in the tests.
 */

import { fourCharacters, spells } from './checks.ts';

export interface Mp4Track {
  /** Four characters that name the coding: `mp4a`, `alac`, `Opus`. */
  readonly coding: string;
  /** In `mp4a`: what is in it (0x40 and 0x66 to 0x68 AAC, 0x69 and 0x6b MP3); null elsewhere. */
  readonly objectType: number | null;
  readonly sampleRate: number;
  /** Frames of sound that the track holds, the encoder's silence in front and behind included; null where not said. */
  readonly frames: number | null;
  /** The part of them that is to be heard, by the file's only edit; null without one, or with several. */
  readonly heard: { readonly skipped: number; readonly length: number } | null;
}

interface Box {
  readonly type: string;
  /** Where the content begins and ends. */
  readonly from: number;
  readonly to: number;
}

/** The boxes in a stretch of bytes. What does not fit into it ends the list. */
function boxesIn(bytes: Uint8Array, from: number, to: number): Box[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const boxes: Box[] = [];
  let at = from;
  while (at + 8 <= to) {
    let size = view.getUint32(at);
    let header = 8;
    if (size === 1 && at + 16 <= to) {
      size = Number(view.getBigUint64(at + 8));
      header = 16;
    }
    if (size === 0) size = to - at;
    if (size < header || at + size > to) break;
    boxes.push({ type: fourCharacters(bytes, at + 4), from: at + header, to: at + size });
    at += size;
  }
  return boxes;
}

/** The first sound track, or null if the bytes hold none. */
export function readMp4Track(bytes: Uint8Array): Mp4Track | null {
  const inside = (box: Box | undefined, type: string): Box | undefined =>
    box && boxesIn(bytes, box.from, box.to).find((child) => child.type === type);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const moov = boxesIn(bytes, 0, bytes.length).find(({ type }) => type === 'moov');
  if (!moov) return null;
  const timescale = headerOf(view, inside(moov, 'mvhd'))?.timescale ?? null;
  for (const trak of boxesIn(bytes, moov.from, moov.to).filter(({ type }) => type === 'trak')) {
    const mdia = inside(trak, 'mdia');
    const hdlr = inside(mdia, 'hdlr');
    const media = headerOf(view, inside(mdia, 'mdhd'));
    const stsd = inside(inside(inside(mdia, 'minf'), 'stbl'), 'stsd');
    if (!hdlr || !spells(bytes, hdlr.from + 8, 'soun') || !media || !stsd || stsd.from + 44 > stsd.to) continue;
    const entry = boxesIn(bytes, stsd.from + 8, stsd.to).find(({ from, to }) => from + 28 <= to);
    if (!entry) continue;
    // The entry's own rate has 16 bits before the point; what is faster stands in the media header alone.
    const sampleRate = view.getUint16(entry.from + 24) || media.timescale;
    const toFrames = (units: number, scale: number) => Math.round((units / scale) * sampleRate);
    const edit = onlyEdit(view, inside(inside(trak, 'edts'), 'elst'));
    return {
      coding: entry.type,
      objectType: entry.type === 'mp4a' ? objectTypeOf(bytes, entry) : null,
      sampleRate,
      frames: media.duration > 0 ? toFrames(media.duration, media.timescale) : null,
      heard:
        edit && timescale
          ? { skipped: toFrames(edit.start, media.timescale), length: toFrames(edit.duration, timescale) }
          : null,
    };
  }
  return null;
}

/** Time scale and duration of a `mvhd` or `mdhd`; null if it is not whole or has no scale. */
function headerOf(view: DataView, box: Box | undefined): { timescale: number; duration: number } | null {
  if (!box || box.from + 20 > box.to) return null;
  const isLong = view.getUint8(box.from) === 1;
  if (isLong && box.from + 32 > box.to) return null;
  const timescale = view.getUint32(box.from + (isLong ? 20 : 12));
  const duration = isLong ? Number(view.getBigUint64(box.from + 24)) : view.getUint32(box.from + 16);
  return timescale > 0 ? { timescale, duration } : null;
}

/** Start (in the media's scale) and duration (in the film's) of the one edit that a track has; null else. */
function onlyEdit(view: DataView, box: Box | undefined): { start: number; duration: number } | null {
  if (!box || box.from + 20 > box.to || view.getUint32(box.from + 4) !== 1) return null;
  const isLong = view.getUint8(box.from) === 1;
  if (isLong && box.from + 28 > box.to) return null;
  const duration = isLong ? Number(view.getBigUint64(box.from + 8)) : view.getUint32(box.from + 8);
  const start = isLong ? Number(view.getBigInt64(box.from + 16)) : view.getInt32(box.from + 12);
  // A negative start is a pause before the sound.
  return start >= 0 && duration > 0 ? { start, duration } : null;
}

/** The object type in the `esds` box of an `mp4a` entry: the byte behind the tag 4 and its length. */
function objectTypeOf(bytes: Uint8Array, entry: Box): number | null {
  for (let at = entry.from + 28; at + 12 <= entry.to; at++) {
    if (!spells(bytes, at, 'esds')) continue;
    for (let i = at + 8; i + 6 < entry.to; i++) {
      if (bytes[i] !== 4) continue;
      let next = i + 1;
      while (next < entry.to && bytes[next] === 0x80) next++;
      return bytes[next + 1] ?? null;
    }
  }
  return null;
}
