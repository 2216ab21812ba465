/**
 * Opus packets and the header of their stream, checked without decoding.
 *
 * A packet says in its first bytes how many frames it holds and how long they are. The decoder conceals what it cannot
 * read: it fills gaps with sound of its own making. So a packet whose parts do not add up is refused before.
 *
 * Sources: RFC 6716, section 3 (packet format; requirements R1 to R7 in 3.4); RFC 7845, section 5.1 (header).
 */

import { spells } from './checks.ts';
import { SoundFileError } from './sound.ts';

/** All Opus is decoded at this rate: positions and lengths in a file count in it, whatever was recorded. */
export const OPUS_RATE = 48_000;

export interface OpusHeader {
  readonly channels: number;
  /** Frames at 48 kHz to leave out at the start. */
  readonly preSkip: number;
  /** Factor on every sample. */
  readonly gain: number;
  readonly streams: number;
  readonly coupled: number;
  readonly mapping: readonly number[];
}

const MOST_FRAMES_IN_PACKET = 5_760;
const MOST_FRAME_BYTES = 1_275;

/**
 * Reads the identification header.
 *
 * @throws SoundFileError `bad-header` for a header that cannot be; `unsupported` for a later version, and for channels
 *   that are not loudspeakers (mapping families other than 0 and 1).
 */
export function readOpusHeader(packet: Uint8Array): OpusHeader {
  if (!spells(packet, 0, 'OpusHead') || packet.length < 19) {
    throw new SoundFileError('bad-header', `an Opus header of ${packet.length} bytes`, 'at least 19 bytes');
  }
  const view = new DataView(packet.buffer, packet.byteOffset, packet.byteLength);
  if (packet[8] >> 4 !== 0) {
    throw new SoundFileError('unsupported', `an Opus stream of version ${packet[8] >> 4}`, 'version 0');
  }
  const channels = packet[9];
  const family = packet[18];
  if (family > 1) {
    throw new SoundFileError(
      'unsupported',
      `Opus sound of channel mapping family ${family}`,
      'mono, stereo or surround',
    );
  }
  const common = { channels, preSkip: view.getUint16(10, true), gain: 10 ** (view.getInt16(16, true) / 256 / 20) };
  if (family === 0) {
    if (channels < 1 || channels > 2) throw badChannels(`${channels} channels`);
    return { ...common, streams: 1, coupled: channels - 1, mapping: channels === 1 ? [0] : [0, 1] };
  }
  const streams = packet[19] ?? 0;
  const coupled = packet[20] ?? 0;
  const mapping = [...packet.subarray(21, 21 + channels)];
  if (channels < 1 || channels > 8 || mapping.length < channels) throw badChannels(`${channels} channels`);
  if (streams < 1 || coupled > streams || mapping.some((index) => index !== 255 && index >= streams + coupled)) {
    throw badChannels(`${streams} streams, ${coupled} of them coupled, for ${channels} channels`);
  }
  return { ...common, streams, coupled, mapping };
}

function badChannels(found: string): SoundFileError {
  return new SoundFileError('bad-header', `an Opus header with ${found}`, '1 or 2 channels, or up to 8 with their map');
}

/**
 * Frames at 48 kHz that a packet of `streams` streams holds, or null if its parts do not add up.
 * All but the last stream of a packet are self-delimited (RFC 6716, appendix B); all are equally long.
 */
export function opusPacketLength(packet: Uint8Array, streams: number): number | null {
  let at = 0;
  let length: number | null = null;
  for (let stream = 0; stream < streams; stream++) {
    const part = readPart(packet, at, stream < streams - 1);
    if (!part || (length !== null && part.length !== length)) return null;
    length = part.length;
    at = part.next;
  }
  return length;
}

function readPart(packet: Uint8Array, from: number, isDelimited: boolean): { length: number; next: number } | null {
  if (from >= packet.length) return null;
  const toc = packet[from];
  const frameLength = lengthOf(toc >> 3);
  let at = from + 1;
  /** A length of one or two bytes (RFC 6716, 3.2.1), or −1 beyond the end. */
  const size = (): number => {
    if (at >= packet.length) return -1;
    const first = packet[at++];
    if (first < 252) return first;
    return at < packet.length ? 4 * packet[at++] + first : -1;
  };
  const code = toc & 3;
  let count = code === 0 ? 1 : 2;
  let isVariable = code === 2;
  let padding = 0;
  if (code === 3) {
    if (at >= packet.length) return null;
    const byte = packet[at++];
    count = byte & 63;
    isVariable = byte >= 128;
    if (byte & 64) {
      for (;;) {
        if (at >= packet.length) return null;
        const more = packet[at++];
        padding += more === 255 ? 254 : more;
        if (more !== 255) break;
      }
    }
  }
  if (count < 1 || count * frameLength > MOST_FRAMES_IN_PACKET) return null;
  const sizes: number[] = [];
  if (isVariable) for (let i = 0; i < count - 1; i++) sizes.push(size());
  if (isDelimited) {
    const last = size();
    while (sizes.length < count) sizes.push(last);
  } else {
    const left = packet.length - at - padding - sizes.reduce((sum, value) => sum + value, 0);
    const open = count - sizes.length;
    if (left < 0 || left % open !== 0) return null;
    for (let i = 0; i < open; i++) sizes.push(left / open);
  }
  if (sizes.some((value) => value < 0 || value > MOST_FRAME_BYTES)) return null;
  const next = at + sizes.reduce((sum, value) => sum + value, 0) + padding;
  return next <= packet.length ? { length: count * frameLength, next } : null;
}

/** Frames at 48 kHz in one frame of a configuration (RFC 6716, table 2). */
function lengthOf(configuration: number): number {
  if (configuration < 12) return [480, 960, 1920, 2880][configuration & 3];
  if (configuration < 16) return [480, 960][configuration & 1];
  return [120, 240, 480, 960][configuration & 3];
}
