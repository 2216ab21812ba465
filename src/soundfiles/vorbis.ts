/**
 * Ogg Vorbis: headers and length checked here, the sound itself decoded by libvorbis (compiled to WebAssembly).
 *
 * The length is the stream's own: the granule of the last page, counted from the start that the first page of sound
 * implies. The decoder is handed packets, not the file, because its file reader guesses block sizes to trim the end.
 *
 * Sources: Vorbis I specification, sections 4.2 (headers) and A.2 (granule positions: end trimmed, start trimmed or
 * offset); RFC 3533 (Ogg).
 */

import { OggVorbisDecoder } from '@wasm-audio-decoders/ogg-vorbis';
import { checkRate, secondsInWords, spells } from './checks.ts';
import type { OggPage, OggStream } from './oggPages.ts';
import { cutPieces } from './pieces.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';

/** Pages decoded at once: some seconds of sound, so that the pieces held twice in memory stay small. */
const PAGES_AT_ONCE = 32;

type DecoderPage = Parameters<OggVorbisDecoder['decodeOggPages']>[0][number];

/**
 * Reads the pages of a Vorbis stream.
 *
 * @param stream - at least one page, the first of which begins with a Vorbis identification header.
 * @throws SoundFileError `bad-header`, `bad-rate`, `empty`, `truncated` (seconds found are named), `damaged`.
 */
export async function readVorbis({ pages, fault }: OggStream): Promise<Sound> {
  const sampleRate = checkFirstPacket(pages[0].packets[0] ?? pages[0].body);
  if (fault) {
    const seconds = (pages.at(-1)?.granule ?? 0) / sampleRate;
    throw new SoundFileError(
      fault.code,
      `after ${secondsInWords(seconds)} of sound, ${fault.found}`,
      'a whole Ogg Vorbis file',
    );
  }
  const sound = sortPackets(pages);
  try {
    const channels = await decode(pages[0], sound);
    return { sampleRate, channels, lossy: { codec: 'Vorbis', startKnown: true } };
  } catch (error) {
    if (error instanceof SoundFileError) throw error;
    throw undecodable(error instanceof Error ? error.message : String(error));
  }
}

function undecodable(reason: string): SoundFileError {
  return new SoundFileError('damaged', `Vorbis content that cannot be decoded (${reason})`, 'a whole Ogg Vorbis file');
}

/** Checks the identification header (Vorbis I, 4.2.2) and returns the sample rate. */
function checkFirstPacket(packet: Uint8Array): number {
  const view = new DataView(packet.buffer, packet.byteOffset, packet.byteLength);
  if (packet.length < 30 || view.getUint32(7, true) !== 0 || (packet[29] & 1) === 0) {
    throw new SoundFileError('bad-header', 'a Vorbis header of unknown form', 'Vorbis I, version 0');
  }
  const short = packet[28] & 15;
  const long = packet[28] >> 4;
  if (packet[11] === 0 || short < 6 || long > 13 || short > long) {
    throw new SoundFileError(
      'bad-header',
      `a Vorbis header with ${packet[11]} channels and blocks of 2^${short} and 2^${long} samples`,
      'at least one channel and blocks of 2^6 to 2^13 samples',
    );
  }
  const sampleRate = view.getUint32(12, true);
  checkRate(sampleRate);
  return sampleRate;
}

/** A page of sound: its packets, and the granule of the last one. */
interface SoundPage {
  readonly packets: readonly Uint8Array[];
  readonly granule: number | null;
}

interface SoundPackets {
  readonly setup: Uint8Array;
  readonly pages: readonly SoundPage[];
}

/** Parts the three header packets (Vorbis I, 4.2.1) from the sound. Packets without a byte hold nothing (4.3.1). */
function sortPackets(pages: readonly OggPage[]): SoundPackets {
  const headers: Uint8Array[] = [];
  const sound: SoundPage[] = [];
  for (const page of pages) {
    const packets = page.packets.filter((packet) => packet.length > 0);
    headers.push(...packets.splice(0, 3 - headers.length));
    if (packets.length > 0) sound.push({ packets, granule: page.granule });
  }
  if (!spells(headers[1] ?? new Uint8Array(0), 0, '\x03vorbis') || !spells(headers[2] ?? headers[0], 0, '\x05vorbis')) {
    throw new SoundFileError('bad-header', 'no comment and setup header', 'the three headers of a Vorbis stream');
  }
  if (sound.length === 0) throw new SoundFileError('empty', 'a Vorbis stream without sound', 'recorded sound');
  return { setup: headers[2], pages: sound };
}

async function decode(first: OggPage, sound: SoundPackets): Promise<Float32Array[]> {
  const decoder = new OggVorbisDecoder();
  await decoder.ready;
  const pieces: Float32Array[][] = [];
  let frames = 0;
  const feed = async (pages: readonly DecoderPage[]) => {
    const { channelData, samplesDecoded, errors } = await decoder.decodeOggPages([...pages]);
    if (errors.length > 0) throw undecodable(errors[0].message);
    pieces.push(channelData);
    frames += samplesDecoded;
  };
  const forDecoder = ({ packets }: SoundPage) => decoderPage(new Uint8Array(0), packets, sound.setup);

  // Up to the first page with a position: how many frames end there tells where the stream starts.
  const opening = sound.pages.findIndex((page) => page.granule !== null) + 1 || sound.pages.length;
  await feed([decoderPage(first.body, [], sound.setup), ...sound.pages.slice(0, opening).map(forDecoder)]);
  const framesInOpening = frames;
  for (let i = opening; i < sound.pages.length; i += PAGES_AT_ONCE) {
    await feed(sound.pages.slice(i, i + PAGES_AT_ONCE).map(forDecoder));
  }
  // Only here: an instance that threw is in an unknown state and is left to the garbage collector.
  decoder.free();

  const span = streamSpan(sound.pages, opening, framesInOpening);
  if (frames < span.skipped + span.length) {
    throw undecodable(`${frames - span.skipped} frames of ${span.length} announced`);
  }
  if (span.length === 0) throw new SoundFileError('empty', 'a Vorbis stream of zero length', 'recorded sound');
  return Array.from({ length: first.body[11] }, (_, channel) =>
    cutPieces(
      pieces.map((piece) => piece[channel]),
      span.skipped,
      span.length,
    ),
  );
}

/**
 * Frames to leave out at the start and frames to keep (Vorbis I, A.2): the last granule is the end; a first granule
 * smaller than what was decoded up to it cuts the start, a greater one (a stream that was joined midway) offsets it.
 * If one page is both first and last, the end is cut.
 */
function streamSpan(pages: readonly SoundPage[], opening: number, framesInOpening: number) {
  const first = pages[opening - 1].granule ?? framesInOpening;
  const end = pages.findLast((page) => page.granule !== null)?.granule ?? framesInOpening;
  if (opening === pages.length) return { skipped: 0, length: Math.min(first, framesInOpening) };
  const offset = first - framesInOpening;
  return { skipped: Math.max(0, -offset), length: end - Math.max(0, offset) };
}

/** A page in the decoder's terms: it reads the body (first page only), the packets, and the setup header beside them. */
function decoderPage(body: Uint8Array, packets: readonly Uint8Array[], setup: Uint8Array): DecoderPage {
  const header = {
    bitDepth: 32,
    bitrate: 0,
    channels: 0,
    channelMode: '',
    sampleRate: 0,
    bitrateMaximum: 0,
    bitrateMinimum: 0,
    bitrateNominal: 0,
    blocksize0: 0,
    blocksize1: 0,
    data: body,
    vorbisComments: new Uint8Array(0),
    vorbisSetup: setup,
  };
  const counts = { samples: 0, duration: 0, totalBytesOut: 0, totalSamples: 0, totalDuration: 0, crc32: 0 };
  return {
    ...counts,
    data: body,
    codecFrames: packets.map((data) => ({ ...counts, data, header, frameNumber: 0 })),
    absoluteGranulePosition: 0,
    isContinuedPacket: false,
    isFirstPage: body.length > 0,
    // Never the last page: trimming is done by `streamSpan`.
    isLastPage: false,
    pageSequenceNumber: 0,
    rawData: body,
    streamSerialNumber: 0,
  };
}
