/**
 * Tags before and behind the sound, which hold words and pictures, never sound.
 *
 * Sources: ID3v2.4 structure document, section 3.1 (a size of four bytes of seven bits, a footer by flag); ID3v1 and
 * APEv2 by common practice.
 */

import { spells } from './checks.ts';

const APE_BYTES = 32;

/** Where the content begins after ID3v2 tags and an APE tag at the start; 0 if there are none. May lie past the end. */
export function afterTags(bytes: Uint8Array): number {
  let at = 0;
  while (spells(bytes, at, 'ID3') && bytes.length >= at + 10) {
    const size = bytes.subarray(at + 6, at + 10).reduce((sum, byte) => (sum << 7) | (byte & 0x7f), 0);
    at += 10 + size + (bytes[at + 5] & 0x10 ? 10 : 0);
  }
  if (spells(bytes, at, 'APETAGEX') && bytes.length >= at + APE_BYTES) at += APE_BYTES + uint32(bytes, at + 12);
  return at;
}

/** Where the content ends before an ID3v1 and an APE tag at the end of the file, but not before `from`. */
export function beforeTags(bytes: Uint8Array, from: number): number {
  const id3 = bytes.length - 128;
  let end = id3 >= from && spells(bytes, id3, 'TAG') ? id3 : bytes.length;
  const ape = end - APE_BYTES;
  if (ape >= from && spells(bytes, ape, 'APETAGEX')) {
    const headed = (uint32(bytes, ape + 20) & 0x8000_0000) !== 0;
    end = Math.max(from, end - uint32(bytes, ape + 12) - (headed ? APE_BYTES : 0));
  }
  return end;
}

function uint32(bytes: Uint8Array, at: number): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(at, true);
}
