/**
 * The frames of a FLAC stream: found and checked without decoding them.
 *
 * A frame names neither its length nor its successor. Its end is where the checksum over all its bytes, its own
 * footer included, comes out as zero *and* the header of the following frame (or the end of the file) stands. Frames
 * are numbered, so that none can be missing unnoticed.
 *
 * Source: RFC 9639 (FLAC): section 8.2 (STREAMINFO), 9.1 (frame header, CRC-8 with polynomial 0x07), 9.3 (footer,
 * CRC-16 with polynomial 0x8005); both unreflected, initial value 0.
 */

import { SoundFileError } from './sound.ts';
import { beforeTags } from './tags.ts';

/** The STREAMINFO block. */
export interface FlacInfo {
  readonly sampleRate: number;
  readonly channels: number;
  readonly bits: number;
  /** Frames (samples a channel) of the whole recording; 0 where the writer did not know. */
  readonly length: number;
  /** Byte offset of the first frame. */
  readonly framesAt: number;
}

/** One frame: its bytes and how many samples a channel it holds. */
export interface FlacFrame {
  readonly bytes: Uint8Array;
  readonly length: number;
}

export interface FlacFrames {
  readonly frames: readonly FlacFrame[];
  /** Samples a channel in `frames`. */
  readonly length: number;
  /** Set when the frames do not run whole to the end of the file. */
  readonly fault: { readonly code: 'damaged' | 'truncated'; readonly found: string } | null;
}

interface FrameHeader {
  readonly length: number;
  /** Number of the frame, or of its first sample if `isVariable`. */
  readonly number: number;
  readonly isVariable: boolean;
}

const CRC8_TABLE = Uint8Array.from({ length: 256 }, (_, byte) => {
  let remainder = byte;
  for (let bit = 0; bit < 8; bit++) remainder = (remainder << 1) ^ (remainder & 0x80 ? 0x107 : 0);
  return remainder;
});
const CRC16_TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let remainder = byte << 8;
  for (let bit = 0; bit < 8; bit++) remainder = (remainder << 1) ^ (remainder & 0x8000 ? 0x18005 : 0);
  return remainder;
});
/** Sample sizes by their code (RFC 9639, table 18); 0 stands for "as in STREAMINFO", −1 is reserved. */
const SAMPLE_BITS = [0, 8, 12, -1, 16, 20, 24, 32];
/** Sample rates by their code (RFC 9639, table 16), codes 12 to 15 excepted. */
const SAMPLE_RATES = [0, 88200, 176400, 192000, 8000, 16000, 22050, 24000, 32000, 44100, 48000, 96000];

/**
 * Reads the metadata blocks of a stream that begins with `fLaC` at byte `at`.
 *
 * @throws SoundFileError `truncated` if the file ends within them, `bad-header` if STREAMINFO is missing or impossible.
 */
export function readFlacInfo(bytes: Uint8Array, at: number): FlacInfo {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const infoAt = at + 8;
  let blockAt = at + 4;
  for (;;) {
    if (blockAt + 4 > bytes.length) throw cutInMetadata(bytes);
    const type = bytes[blockAt] & 0x7f;
    const size = view.getUint32(blockAt) & 0xffffff;
    if (blockAt === at + 4 && (type !== 0 || size !== 34)) {
      throw new SoundFileError(
        'bad-header',
        `a first FLAC block of type ${type}, ${size} bytes`,
        'STREAMINFO, 34 bytes',
      );
    }
    if (blockAt + 4 + size > bytes.length) throw cutInMetadata(bytes);
    if (type === 127) throw new SoundFileError('bad-header', 'a FLAC metadata block of type 127', 'types 0 to 126');
    const isLast = bytes[blockAt] >= 0x80;
    blockAt += 4 + size;
    if (isLast) break;
  }
  const packed = view.getUint32(infoAt + 10);
  const bits = ((packed >>> 4) & 31) + 1;
  if (bits < 4) throw new SoundFileError('bad-header', `a FLAC header with ${bits}-bit samples`, '4 to 32 bits');
  return {
    sampleRate: packed >>> 12,
    channels: ((packed >>> 9) & 7) + 1,
    bits,
    length: (packed & 15) * 2 ** 32 + view.getUint32(infoAt + 14),
    framesAt: blockAt,
  };
}

function cutInMetadata(bytes: Uint8Array): SoundFileError {
  return new SoundFileError(
    'truncated',
    `a FLAC file that breaks off in its header, after ${bytes.length} bytes`,
    'the sound behind the header',
  );
}

/**
 * Walks over all frames, checking each one's header, number and checksum; stops at the first fault and returns it
 * beside the frames before it. An ID3v1 or APE tag at the end of the file is passed over.
 */
export function readFlacFrames(bytes: Uint8Array, info: FlacInfo): FlacFrames {
  const end = beforeTags(bytes, info.framesAt);
  const frames: FlacFrame[] = [];
  let length = 0;
  let at = info.framesAt;
  while (at < end) {
    const name = `FLAC frame ${frames.length + 1} (byte ${at})`;
    const header = frameHeader(bytes, at, end, info);
    if (!header) {
      const cut = at + 16 > end;
      return { frames, length, fault: { code: cut ? 'truncated' : 'damaged', found: `${name} has no sound header` } };
    }
    if (header.number !== (header.isVariable ? length : frames.length)) {
      const found = `${name} is numbered ${header.number}, so that sound is missing`;
      return { frames, length, fault: { code: 'damaged', found } };
    }
    const next = endOfFrame(bytes, at, end, info);
    if (next === null) {
      // Without a further frame behind it the file may have been cut within this one.
      const goesOn = laterFrame(bytes, at + 1, end, info, header);
      const found = goesOn
        ? `the checksum of ${name} does not agree with its content`
        : `${name} breaks off or is damaged`;
      return { frames, length, fault: { code: goesOn ? 'damaged' : 'truncated', found } };
    }
    frames.push({ bytes: bytes.subarray(at, next), length: header.length });
    length += header.length;
    at = next;
  }
  return { frames, length, fault: null };
}

/** Where the frame at `at` ends, or null if nowhere. */
function endOfFrame(bytes: Uint8Array, at: number, end: number, info: FlacInfo): number | null {
  let crc = 0;
  for (let i = at; i < end; i++) {
    crc = ((crc << 8) & 0xffff) ^ CRC16_TABLE[(crc >> 8) ^ bytes[i]];
    if (crc === 0 && (i + 1 === end || (bytes[i + 1] === 0xff && frameHeader(bytes, i + 1, end, info)))) return i + 1;
  }
  return null;
}

/** Whether a frame numbered later than `before` begins anywhere from byte `from` on. */
function laterFrame(bytes: Uint8Array, from: number, end: number, info: FlacInfo, before: FrameHeader): boolean {
  for (let i = bytes.indexOf(0xff, from); i >= 0 && i < end; i = bytes.indexOf(0xff, i + 1)) {
    const header = frameHeader(bytes, i, end, info);
    if (header && header.number > before.number && header.isVariable === before.isVariable) return true;
  }
  return false;
}

/** The frame header at `at` (RFC 9639, 9.1), or null if none stands there that fits the stream. */
function frameHeader(bytes: Uint8Array, at: number, end: number, info: FlacInfo): FrameHeader | null {
  if (bytes[at] !== 0xff || (bytes[at + 1] & 0xfe) !== 0xf8) return null;
  const sizeCode = bytes[at + 2] >> 4;
  const rateCode = bytes[at + 2] & 15;
  const channelCode = bytes[at + 3] >> 4;
  const bits = SAMPLE_BITS[(bytes[at + 3] >> 1) & 7];
  const channels = channelCode < 8 ? channelCode + 1 : 2;
  if (sizeCode === 0 || rateCode === 15 || channelCode > 10 || bits < 0 || bytes[at + 3] & 1) return null;
  if (channels !== info.channels || (bits > 0 && bits !== info.bits)) return null;
  const coded = codedNumber(bytes, at + 4);
  if (!coded) return null;
  let next = coded.next;
  const bigEndian = (size: number) => {
    let value = 0;
    for (let i = 0; i < size; i++) value = value * 256 + bytes[next++];
    return value;
  };
  let length = sizeCode < 6 ? (sizeCode === 1 ? 192 : 144 << sizeCode) : 1 << sizeCode;
  if (sizeCode === 6) length = bigEndian(1) + 1;
  if (sizeCode === 7) length = bigEndian(2) + 1;
  let rate = SAMPLE_RATES[rateCode];
  if (rateCode === 12) rate = bigEndian(1) * 1000;
  if (rateCode === 13) rate = bigEndian(2);
  if (rateCode === 14) rate = bigEndian(2) * 10;
  if (next >= end || (rateCode > 0 && rate !== info.sampleRate)) return null;
  let crc = 0;
  for (let i = at; i < next; i++) crc = CRC8_TABLE[crc ^ bytes[i]];
  return crc === bytes[next] ? { length, number: coded.value, isVariable: (bytes[at + 1] & 1) === 1 } : null;
}

/** A number in the extended UTF-8 of FLAC: up to 36 bits in 1 to 7 bytes (RFC 9639, 9.1.5). */
function codedNumber(bytes: Uint8Array, at: number): { value: number; next: number } | null {
  const first = bytes[at];
  if (first < 0x80) return { value: first, next: at + 1 };
  const leading = Math.clz32(~(first << 24));
  if (leading < 2 || leading > 7) return null;
  let value = leading < 7 ? first & (0x7f >> leading) : 0;
  for (let i = 1; i < leading; i++) {
    if ((bytes[at + i] & 0xc0) !== 0x80) return null;
    value = value * 64 + (bytes[at + i] & 0x3f);
  }
  return { value, next: at + leading };
}
