/**
 * MP3: structure checked here, the sound itself decoded by libmpg123 (compiled to WebAssembly).
 *
 * The decoder is handed checked frames, not the file. Start and end are cut here: by the counts of the encoder where
 * it left them, else only the decoder's own delay is taken off, and the sound says that its start is not known.
 */

import { MPEGDecoder } from 'mpg123-decoder';
import { checkRate, secondsInWords } from './checks.ts';
import { infoAt, readMp3Frames, readMp3Header } from './mp3Frames.ts';
import type { Mp3Format } from './mp3Frames.ts';
import { DECODER_DELAY, readMp3Tag, reflectedChecksum } from './mp3Tag.ts';
import type { Mp3Tag } from './mp3Tag.ts';
import { cutPieces } from './pieces.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';
import { beforeTags } from './tags.ts';

/** Frames decoded at once: about a second of sound, so that the pieces held twice in memory stay small. */
const FRAMES_AT_ONCE = 32;

/**
 * Reads an MP3 file (MPEG 1, 2 or 2.5, layer III).
 *
 * @param bytes - the whole file.
 * @param at - where the first frame should stand in it (behind an ID3 tag, if there is one).
 * @throws SoundFileError `truncated` (seconds found are named), `damaged`, `bad-rate`, `empty`, `unsupported` (free bit
 *   rate, changing sample rate or channels, several recordings in a row).
 */
export async function readMp3(bytes: Uint8Array, at: number): Promise<Sound> {
  const end = beforeTags(bytes, Math.min(at, bytes.length));
  if (at >= end)
    throw new SoundFileError('truncated', 'an MP3 file that ends with its tag', 'the sound behind the tag');
  const first = readMp3Header(bytes, at);
  if (!first) {
    throw new SoundFileError('damaged', `no MP3 frame where the first should begin (byte ${at})`, 'a whole MP3 file');
  }
  checkRate(first.sampleRate);
  const firstFrame = bytes.subarray(at, Math.min(end, at + first.bytes));
  const tagAt = infoAt(firstFrame, first);
  const tag = tagAt === null ? null : readMp3Tag(firstFrame, tagAt);
  const soundAt = tag ? at + first.bytes : at;
  const { frames, fault } = readMp3Frames(bytes, soundAt, end, first);
  if (fault)
    throw new SoundFileError(
      fault.code,
      `after ${lasting(frames.length, first)}, ${fault.found}`,
      expected(tag, first),
    );
  checkWhole(bytes.subarray(at, end), soundAt - at, frames.length, tag, first);
  if (frames.length === 0) throw new SoundFileError('empty', 'an MP3 file without any sound', 'recorded sound');

  const span = spanOf(frames.length * first.frameLength, tag);
  if (span.length <= 0) throw new SoundFileError('empty', 'an MP3 file of zero length', 'recorded sound');
  try {
    const channels = await decode(frames, first, span);
    return { sampleRate: first.sampleRate, channels, lossy: { codec: 'MP3', startKnown: tag?.added != null } };
  } catch (error) {
    if (error instanceof SoundFileError) throw error;
    throw undecodable(error instanceof Error ? error.message : String(error));
  }
}

function lasting(frames: number, { frameLength, sampleRate }: Mp3Format): string {
  return `${secondsInWords((frames * frameLength) / sampleRate)} of sound`;
}

function expected(tag: Mp3Tag | null, format: Mp3Format): string {
  return tag?.frames ? `a whole MP3 file with ${lasting(tag.frames, format)}` : 'a whole MP3 file';
}

function undecodable(reason: string): SoundFileError {
  return new SoundFileError('damaged', `MP3 content that cannot be decoded (${reason})`, 'a whole MP3 file');
}

/** Holds what was found against what the encoder said: frames, bytes, and the checksum over all of them. */
function checkWhole(stream: Uint8Array, tagBytes: number, found: number, tag: Mp3Tag | null, format: Mp3Format): void {
  // Some writers count the frame of the tag; their count of bytes then still agrees.
  if (tag?.frames != null && tag.frames !== found && tag.bytes !== stream.length) {
    const code = found < tag.frames ? 'truncated' : 'damaged';
    throw new SoundFileError(code, lasting(found, format), expected(tag, format));
  }
  if (tag?.seal?.bytes !== stream.length) return;
  const sound = stream.subarray(tagBytes);
  if (reflectedChecksum(sound, sound.length) !== tag.seal.checksum) {
    throw new SoundFileError(
      'damaged',
      'an MP3 file whose checksum does not agree with its sound',
      expected(tag, format),
    );
  }
}

/** Frames to leave out at the start and frames to keep, of `decoded`. */
function spanOf(decoded: number, tag: Mp3Tag | null): { skipped: number; length: number } {
  const skipped = DECODER_DELAY + (tag?.added?.front ?? 0);
  // The decoder's delay has already pushed the last of the silence behind out of the decoded frames.
  const behind = Math.max(0, (tag?.added?.behind ?? 0) - DECODER_DELAY);
  return { skipped, length: decoded - skipped - behind };
}

async function decode(
  frames: readonly Uint8Array[],
  { channels, frameLength, sampleRate }: Mp3Format,
  span: { skipped: number; length: number },
): Promise<Float32Array[]> {
  const decoder = new MPEGDecoder({ enableGapless: false });
  await decoder.ready;
  const pieces: Float32Array[][] = [];
  for (let i = 0; i < frames.length; i += FRAMES_AT_ONCE) {
    const some = frames.slice(i, i + FRAMES_AT_ONCE);
    const decoded = decoder.decodeFrames(some);
    if (decoded.errors.length > 0) throw undecodable(decoded.errors[0].message);
    const awaited = some.length * frameLength;
    if (decoded.samplesDecoded !== awaited || decoded.sampleRate !== sampleRate) {
      throw undecodable(`${decoded.samplesDecoded} samples where ${awaited} were announced`);
    }
    pieces.push(decoded.channelData);
  }
  // Only here: an instance that threw is in an unknown state and is left to the garbage collector.
  decoder.free();
  // The decoder gives two channels even of one.
  return Array.from({ length: channels }, (_, channel) =>
    cutPieces(
      pieces.map((piece) => piece[channel]),
      span.skipped,
      span.length,
    ),
  );
}
