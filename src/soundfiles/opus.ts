/**
 * Ogg Opus: header, packets and positions checked here, the sound itself decoded by libopus (compiled to WebAssembly).
 *
 * Start and end are the stream's own: the pre-skip of its header taken off the front, the position of the last page the
 * end. The decoder is handed packets, not the file. Rate: always 48 kHz, whatever was recorded.
 *
 * Source: RFC 7845, sections 4 (positions: 4.2 gaps, 4.3 pre-skip and start, 4.4 end) and 5.
 */

import { OpusDecoder } from 'opus-decoder';
import { secondsInWords, spells } from './checks.ts';
import type { OggPage, OggStream } from './oggPages.ts';
import { OPUS_RATE, opusPacketLength, readOpusHeader } from './opusPackets.ts';
import type { OpusHeader } from './opusPackets.ts';
import { cutPieces } from './pieces.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';

/** Packets decoded at once: about half a second of sound, so that the pieces held twice in memory stay small. */
const PACKETS_AT_ONCE = 32;
/** Bytes of a packet that the decoder has room for, per channel: more than any encoder makes. */
const ROOM_BYTES = 3_840;

/**
 * Reads the pages of an Opus stream.
 *
 * @throws SoundFileError `bad-header`, `unsupported` (see `readOpusHeader`), `empty`, `truncated` (seconds found are
 *   named), `damaged`.
 */
export async function readOpus({ pages, fault }: OggStream): Promise<Sound> {
  const header = readOpusHeader(pages[0].packets[0] ?? pages[0].body);
  if (fault) {
    const seconds = Math.max(0, (pages.at(-1)?.granule ?? 0) - header.preSkip) / OPUS_RATE;
    throw new SoundFileError(fault.code, `after ${secondsInWords(seconds)} of sound, ${fault.found}`, WHOLE);
  }
  const { packets, end } = checkPackets(pages, header);
  const length = end - header.preSkip;
  if (length <= 0) throw new SoundFileError('empty', 'an Opus stream of zero length', 'recorded sound');
  try {
    const channels = await decode(packets, header, length);
    return { sampleRate: OPUS_RATE, channels, lossy: { codec: 'Opus', startKnown: true } };
  } catch (error) {
    if (error instanceof SoundFileError) throw error;
    throw undecodable(error instanceof Error ? error.message : String(error));
  }
}

const WHOLE = 'a whole Ogg Opus file';

function undecodable(reason: string): SoundFileError {
  return new SoundFileError('damaged', `Opus content that cannot be decoded (${reason})`, WHOLE);
}

interface OpusPacket {
  readonly bytes: Uint8Array;
  readonly length: number;
}

/**
 * Parts the header packets from the sound, and holds the length of every packet against the positions of the pages.
 * `end` is where the sound ends, in frames from the start of the first packet.
 */
function checkPackets(pages: readonly OggPage[], { streams, channels, preSkip }: OpusHeader) {
  let headers = 0;
  let frames = 0;
  let start: number | null = null;
  let end = 0;
  const packets: OpusPacket[] = [];
  pages.forEach((page, index) => {
    for (const bytes of page.packets) {
      if (headers < 2) {
        if (headers === 1 && !spells(bytes, 0, 'OpusTags')) {
          throw new SoundFileError('bad-header', 'no comment header', 'the two headers of an Opus stream');
        }
        headers++;
        continue;
      }
      const length = opusPacketLength(bytes, streams);
      const after = `after ${secondsInWords(Math.max(0, frames - preSkip) / OPUS_RATE)} of sound`;
      if (length === null) {
        throw new SoundFileError('damaged', `${after}, an Opus packet whose parts do not add up`, WHOLE);
      }
      if (bytes.length > ROOM_BYTES * channels) {
        const most = `packets of at most ${ROOM_BYTES * channels} bytes`;
        throw new SoundFileError('unsupported', `${after}, an Opus packet of ${bytes.length} bytes`, most);
      }
      packets.push({ bytes, length });
      frames += length;
    }
    if (page.granule === null || frames === 0) return;
    // The first position tells where a stream that was joined midway begins; none begins before zero.
    start ??= page.isLast ? 0 : page.granule - frames;
    end = page.granule - start;
    if (start < 0 || end > frames || (end < frames && !page.isLast)) {
      const found = `position ${page.granule} on page ${index + 1} after ${frames} frames: sound is missing`;
      throw new SoundFileError('damaged', found, WHOLE);
    }
  });
  if (headers < 2) throw new SoundFileError('bad-header', 'no comment header', 'the two headers of an Opus stream');
  if (frames === 0) throw new SoundFileError('empty', 'an Opus stream without sound', 'recorded sound');
  return { packets, end };
}

async function decode(packets: readonly OpusPacket[], header: OpusHeader, length: number): Promise<Float32Array[]> {
  const decoder = new OpusDecoder({
    channels: header.channels,
    streamCount: header.streams,
    coupledStreamCount: header.coupled,
    channelMappingTable: [...header.mapping],
  });
  await decoder.ready;
  const pieces: Float32Array[][] = [];
  for (let i = 0; i < packets.length; i += PACKETS_AT_ONCE) {
    const some = packets.slice(i, i + PACKETS_AT_ONCE);
    const awaited = some.reduce((sum, packet) => sum + packet.length, 0);
    const { channelData, samplesDecoded, errors } = decoder.decodeFrames(some.map(({ bytes }) => bytes));
    if (errors.length > 0) throw undecodable(errors[0].message);
    if (samplesDecoded !== awaited) throw undecodable(`${samplesDecoded} frames of ${awaited} announced`);
    pieces.push(channelData);
  }
  // Only here: an instance that threw is in an unknown state and is left to the garbage collector.
  decoder.free();
  return Array.from({ length: header.channels }, (_, channel) =>
    cutPieces(
      pieces.map((piece) => piece[channel]),
      header.preSkip,
      length,
      header.gain,
    ),
  );
}
