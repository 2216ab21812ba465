/**
 * The frames of an MP3 stream: found and checked one by one, without decoding them.
 *
 * A decoder looks for the next frame that it can read and fills what it lost with silence; here each frame must stand
 * where the one before it ends, in the same format, and find the sound of earlier frames that it leans on. Without a
 * tag of its encoder (`mp3Tag.ts`) an MP3 file does not say how long it is: a file cut exactly between two frames, or
 * bits turned within the coded spectrum of a frame without checksum, then go unnoticed.
 *
 * Sources: ISO/IEC 11172-3, section 2.4.1.3 (header) and tables of 2.4.2.3; ISO/IEC 13818-3, section 2.4 (lower
 * sampling rates); both from memory, held against files of two encoders in the tests. MPEG 2.5 is common practice.
 */

import { secondsInWords, spells } from './checks.ts';
import { readSideInfo, sideInfoBytes, sideInfoChecksum } from './mp3SideInfo.ts';
import { SoundFileError } from './sound.ts';

/** What stays the same from frame to frame. */
export interface Mp3Format {
  readonly sampleRate: number;
  readonly channels: number;
  /** Frames (samples a channel) in one frame of the stream. */
  readonly frameLength: number;
  /** Lower sampling rates (MPEG 2 and 2.5): half as long frames, another side information. */
  readonly isLower: boolean;
}

/** One frame of the stream. */
export interface Mp3Header extends Mp3Format {
  readonly bytes: number;
  readonly hasChecksum: boolean;
}

export interface Mp3Frames {
  readonly format: Mp3Format;
  readonly frames: readonly Uint8Array[];
  /** Set when the frames do not run whole to the end. */
  readonly fault: { readonly code: 'damaged' | 'truncated'; readonly found: string } | null;
}

export const HEADER_BYTES = 4;
/** kbit/s by their code, layer III; code 0 is "free", code 15 is forbidden. */
const BITRATES = [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320];
const LOWER_BITRATES = [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160];
const SAMPLE_RATES = [44_100, 48_000, 32_000];

/**
 * The frame header at `at`, or null if none of layer III stands there.
 *
 * @throws SoundFileError `unsupported` for a frame of free bit rate, whose length is not written anywhere.
 */
export function readMp3Header(bytes: Uint8Array, at: number): Mp3Header | null {
  if (at + HEADER_BYTES > bytes.length || bytes[at] !== 0xff || (bytes[at + 1] & 0xe6) !== 0xe2) return null;
  const version = (bytes[at + 1] >> 3) & 3;
  const rateCode = bytes[at + 2] >> 4;
  const sampleCode = (bytes[at + 2] >> 2) & 3;
  if (version === 1 || rateCode === 15 || sampleCode === 3) return null;
  if (rateCode === 0)
    throw new SoundFileError('unsupported', 'an MP3 file of free bit rate', 'a fixed or variable bit rate');
  const isLower = version !== 3;
  const sampleRate = SAMPLE_RATES[sampleCode] / (version === 3 ? 1 : version === 2 ? 2 : 4);
  const frameLength = isLower ? 576 : 1152;
  const bitrate = 1000 * (isLower ? LOWER_BITRATES : BITRATES)[rateCode];
  return {
    sampleRate,
    channels: bytes[at + 3] >> 6 === 3 ? 1 : 2,
    frameLength,
    isLower,
    bytes: Math.floor(((frameLength / 8) * bitrate) / sampleRate) + ((bytes[at + 2] >> 1) & 1),
    hasChecksum: (bytes[at + 1] & 1) === 0,
  };
}

/**
 * Walks over all frames from byte `from` to byte `end`; stops at the first fault and returns it beside the frames
 * before it.
 *
 * @throws SoundFileError `unsupported` for a stream that changes its sample rate or channels, has a free bit rate, or
 *   is followed by a second recording with tags of its own.
 */
export function readMp3Frames(bytes: Uint8Array, from: number, end: number, format: Mp3Format): Mp3Frames {
  const frames: Uint8Array[] = [];
  const stop = (code: 'damaged' | 'truncated', found: string): Mp3Frames => ({
    format,
    frames,
    fault: { code, found },
  });
  // Bytes of coded spectrum before this frame, and how many of them are spoken for.
  let reservoir = 0;
  let used = 0;
  for (let at = from; at < end;) {
    const name = `MP3 frame ${frames.length + 1} (byte ${at})`;
    const header = readMp3Header(bytes, at);
    if (!header) {
      if (spells(bytes, at, 'ID3')) throw severalRecordings(frames.length, format);
      if (end - at < HEADER_BYTES) return stop('truncated', `${name} breaks off within its header`);
      return stop('damaged', `no MP3 frame stands where ${name} should begin`);
    }
    checkSame(header, format, frames.length);
    if (at + header.bytes > end) {
      return stop('truncated', `${name} breaks off: ${end - at} of its ${header.bytes} bytes are there`);
    }
    const frame = bytes.subarray(at, at + header.bytes);
    if (infoAt(frame, header) !== null) throw severalRecordings(frames.length, format);
    if (header.hasChecksum && sideInfoChecksum(frame, header) !== ((frame[4] << 8) | frame[5])) {
      return stop('damaged', `the checksum of ${name} does not agree with its content`);
    }
    const dataAt = HEADER_BYTES + (header.hasChecksum ? 2 : 0) + sideInfoBytes(header);
    const info = dataAt <= frame.length ? readSideInfo(frame, header) : null;
    if (!info) return stop('damaged', `${name} holds impossible values`);
    const begins = reservoir - info.mainDataBegin;
    if (begins < used) {
      const lost = begins < 0 ? info.mainDataBegin - reservoir : used - begins;
      const why = frames.length === 0 ? 'the recording was cut out of a longer one' : 'sound is missing before it';
      return stop('damaged', `${name} leans on ${lost} bytes of earlier sound that are not there: ${why}`);
    }
    reservoir += frame.length - dataAt;
    used = begins + Math.ceil(info.mainDataBits / 8);
    if (used > reservoir) return stop('damaged', `${name} announces more sound than it holds`);
    frames.push(frame);
    at += header.bytes;
  }
  return { format, frames, fault: null };
}

/** Where `Xing`, `Info` or `VBRI` stands in a frame that tells of the stream instead of holding sound, or null. */
export function infoAt(frame: Uint8Array, header: Mp3Header): number | null {
  const xing = HEADER_BYTES + sideInfoBytes(header);
  if (spells(frame, xing, 'Xing') || spells(frame, xing, 'Info')) return xing;
  return spells(frame, HEADER_BYTES + 32, 'VBRI') ? HEADER_BYTES + 32 : null;
}

function checkSame(header: Mp3Header, format: Mp3Format, before: number): void {
  const where = `after ${secondsInWords((before * format.frameLength) / format.sampleRate)}`;
  if (header.sampleRate !== format.sampleRate) {
    const found = `an MP3 file whose sample rate changes from ${format.sampleRate} to ${header.sampleRate} Hz ${where}`;
    throw new SoundFileError('unsupported', found, 'one sample rate throughout');
  }
  if (header.channels !== format.channels) {
    const found = `an MP3 file that changes from ${format.channels} to ${header.channels} channels ${where}`;
    throw new SoundFileError('unsupported', found, 'the same channels throughout');
  }
}

function severalRecordings(before: number, { frameLength, sampleRate }: Mp3Format): SoundFileError {
  return new SoundFileError(
    'unsupported',
    `an MP3 file in which a second recording begins after ${secondsInWords((before * frameLength) / sampleRate)}`,
    'one recording a file',
  );
}
