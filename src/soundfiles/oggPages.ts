/**
 * The Ogg container: pages checked one by one, packets put together again.
 *
 * Every page carries a checksum, a running number and (the last one) an end flag, so nothing that is missing or
 * altered needs to go unnoticed. The decoder's own reader skips what it does not understand; this one refuses it.
 *
 * Source: RFC 3533, section 6 (page format; CRC polynomial 0x04c11db7, initial value 0, unreflected).
 */

import { spells } from './checks.ts';
import { SoundFileError } from './sound.ts';

/** One page, checked. */
export interface OggPage {
  /** Byte offset of the page in the file. */
  readonly at: number;
  readonly body: Uint8Array;
  /** The packets that end on this page, whole. */
  readonly packets: readonly Uint8Array[];
  /** Frames of the stream up to the last packet that ends here; null where none ends. */
  readonly granule: number | null;
  readonly isLast: boolean;
}

/** The pages of one logical stream, as far as they are sound, and what is wrong after them. */
export interface OggStream {
  readonly pages: readonly OggPage[];
  /** Set when the stream does not run whole to its end flag. */
  readonly fault: { readonly code: 'damaged' | 'truncated'; readonly found: string } | null;
}

const HEADER_BYTES = 27;
const CONTINUED = 1;
const FIRST = 2;
const LAST = 4;

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let remainder = byte << 24;
  for (let bit = 0; bit < 8; bit++) remainder = (remainder << 1) ^ (remainder < 0 ? 0x04c11db7 : 0);
  return remainder >>> 0;
});

/**
 * Checksum of an Ogg page of `length` bytes at `at`, its own checksum field (bytes 22 to 25) taken as zero.
 * RFC 3533, section 6, field 7.
 */
export function oggChecksum(bytes: Uint8Array, at: number, length: number): number {
  let crc = 0;
  for (let i = 0; i < length; i++) {
    const byte = i >= 22 && i < 26 ? 0 : bytes[at + i];
    crc = (crc << 8) ^ CRC_TABLE[(crc >>> 24) ^ byte];
  }
  return crc >>> 0;
}

/**
 * Reads the pages of a file that holds one logical stream. Reading stops at the first fault, which is returned beside
 * the pages before it; bytes after the page with the end flag are ignored unless a further stream begins there.
 *
 * @throws SoundFileError `unsupported` for several streams, one after the other or side by side.
 */
export function readOggPages(bytes: Uint8Array): OggStream {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const pages: OggPage[] = [];
  const stop = (code: 'damaged' | 'truncated', found: string): OggStream => ({ pages, fault: { code, found } });
  let unfinished: Uint8Array[] = [];
  let serial = 0;
  let number = 0;
  let granuleBefore = 0;
  let at = 0;
  for (;;) {
    if (at >= bytes.length) return stop('truncated', 'the page that ends the stream is missing');
    if (!spells(bytes, at, 'OggS')) {
      const cut = bytes.length - at < 4 && spells(bytes, at, 'OggS'.slice(0, bytes.length - at));
      if (cut) return stop('truncated', `the file breaks off within the header of page ${pages.length + 1}`);
      return stop('damaged', `no Ogg page where page ${pages.length + 1} should begin (byte ${at})`);
    }
    const bodyAt = at + HEADER_BYTES + (bytes[at + 26] ?? 0);
    if (at + HEADER_BYTES > bytes.length || bodyAt > bytes.length) {
      return stop('truncated', `the file breaks off within the header of page ${pages.length + 1}`);
    }
    const lacing = bytes.subarray(at + HEADER_BYTES, bodyAt);
    const end = lacing.reduce((sum, size) => sum + size, bodyAt);
    if (end > bytes.length) return stop('truncated', `the file breaks off within page ${pages.length + 1}`);
    if (view.getUint32(at + 22, true) !== oggChecksum(bytes, at, end - at)) {
      return stop('damaged', `the checksum of page ${pages.length + 1} (byte ${at}) does not agree with its content`);
    }
    const flags = bytes[at + 5];
    if (pages.length === 0) {
      serial = view.getUint32(at + 14, true);
    } else {
      if (serial !== view.getUint32(at + 14, true) || flags & FIRST) throw severalStreams();
      if (view.getUint32(at + 18, true) !== number + 1) {
        return stop('damaged', `page ${number + 1} of the stream is missing before byte ${at}`);
      }
      if (Boolean(flags & CONTINUED) !== unfinished.length > 0) {
        return stop('damaged', `page ${pages.length + 1} does not continue what page ${pages.length} left open`);
      }
    }
    number = view.getUint32(at + 18, true);
    const body = bytes.subarray(bodyAt, end);
    const split = splitPackets(body, lacing, unfinished);
    unfinished = split.unfinished;
    const stamp = view.getBigInt64(at + 6, true);
    const granule = stamp === -1n ? null : Number(stamp);
    if (granule !== null && (granule < granuleBefore || granule > Number.MAX_SAFE_INTEGER)) {
      return stop('damaged', `the position of page ${pages.length + 1} (${granule}) lies before the page before it`);
    }
    granuleBefore = granule ?? granuleBefore;
    const isLast = (flags & LAST) !== 0;
    pages.push({ at, body, packets: split.packets, granule, isLast });
    at = end;
    if (isLast) {
      if (spells(bytes, at, 'OggS')) throw severalStreams();
      return { pages, fault: null };
    }
  }
}

function severalStreams(): SoundFileError {
  return new SoundFileError('unsupported', 'an Ogg file with several streams', 'an Ogg file with one stream');
}

/** Cuts a page's body into packets: a lacing value below 255 ends one (RFC 3533, section 5). */
function splitPackets(body: Uint8Array, lacing: Uint8Array, before: readonly Uint8Array[]) {
  const packets: Uint8Array[] = [];
  let parts = [...before];
  let from = 0;
  let to = 0;
  for (const size of lacing) {
    to += size;
    if (size < 255) {
      parts.push(body.subarray(from, to));
      packets.push(parts.length === 1 ? parts[0] : joined(parts));
      parts = [];
      from = to;
    }
  }
  if (lacing.length > 0 && lacing[lacing.length - 1] === 255) parts.push(body.subarray(from, to));
  return { packets, unfinished: parts };
}

function joined(parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
