/**
 * The side information of an MP3 frame: how much coded spectrum belongs to it, and where that begins.
 *
 * A frame's spectrum may begin in bytes that earlier frames left over (the bit reservoir). Whether those bytes are
 * there, and whether no two frames claim the same, shows frames that were lost, which nothing else in the stream does.
 *
 * Sources: ISO/IEC 11172-3, sections 2.4.1.4 to 2.4.1.7 (fields, in order) and 2.4.3.1 (checksum: polynomial 0x8005,
 * initial value 0xffff, over the last two bytes of the header and the side information); ISO/IEC 13818-3, 2.4.1.7 (lower
 * sampling rates). From memory, held against files of two encoders in the tests.
 */

import type { Mp3Format, Mp3Header } from './mp3Frames.ts';

export interface SideInfo {
  /** Bytes before this frame's own room at which its spectrum begins. */
  readonly mainDataBegin: number;
  /** Bits of spectrum and scale factors. */
  readonly mainDataBits: number;
}

/** A granule has 576 lines, coded in pairs. */
const MOST_PAIRS = 288;
/** Bits of a granule and channel behind `part2_3_length` (12 bits) and `big_values` (9 bits). */
const REST_BITS = 38;
const LOWER_REST_BITS = 42;

/** Bytes of the side information: 17 or 32, at lower sampling rates 9 or 17. */
export function sideInfoBytes({ isLower, channels }: Mp3Format): number {
  if (isLower) return channels === 1 ? 9 : 17;
  return channels === 1 ? 17 : 32;
}

/** Reads the side information of a whole frame; null if it holds more pairs of lines than there are. */
export function readSideInfo(frame: Uint8Array, header: Mp3Header): SideInfo | null {
  const { isLower, channels, hasChecksum } = header;
  let bit = 8 * (hasChecksum ? 6 : 4);
  const next = (count: number): number => {
    let value = 0;
    for (let i = 0; i < count; i++, bit++) value = (value << 1) | ((frame[bit >> 3] >> (7 - (bit & 7))) & 1);
    return value;
  };
  const mainDataBegin = next(isLower ? 8 : 9);
  // Private bits, and with full rates which scale factors the second granule shares.
  bit += isLower ? channels : (channels === 1 ? 5 : 3) + 4 * channels;
  let mainDataBits = 0;
  for (let part = 0; part < (isLower ? 1 : 2) * channels; part++) {
    mainDataBits += next(12);
    if (next(9) > MOST_PAIRS) return null;
    bit += isLower ? LOWER_REST_BITS : REST_BITS;
  }
  return { mainDataBegin, mainDataBits };
}

/** The checksum that the two bytes behind the header should hold, if the frame has one. */
export function sideInfoChecksum(frame: Uint8Array, format: Mp3Format): number {
  let crc = 0xffff;
  const add = (byte: number) => {
    crc ^= byte << 8;
    for (let i = 0; i < 8; i++) crc = ((crc << 1) ^ (crc & 0x8000 ? 0x8005 : 0)) & 0xffff;
  };
  add(frame[2]);
  add(frame[3]);
  for (let i = 6; i < 6 + sideInfoBytes(format); i++) add(frame[i]);
  return crc;
}
