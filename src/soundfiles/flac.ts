/**
 * FLAC: structure checked here, the sound itself decoded by libFLAC (compiled to WebAssembly).
 *
 * The decoder is handed checked frames, not the file, because its own file reader passes over frames that it cannot
 * read. It divides whole numbers of b bits by 2^(b−1) − 1; that is taken back, so that the same sound reads alike from
 * FLAC and from WAV. What the checksums of all frames, their numbers and the announced length leave unchecked (the MD5
 * of STREAMINFO would see it) is damage that a 16-bit checksum misses, one case in 65 536.
 *
 * Source: RFC 9639.
 */

import { FLACDecoder } from '@wasm-audio-decoders/flac';
import { checkRate, secondsInWords } from './checks.ts';
import { readFlacFrames, readFlacInfo } from './flacFrames.ts';
import type { FlacFrame, FlacInfo } from './flacFrames.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';

/** Frames decoded at once: about three seconds of sound, so that the pieces held twice in memory stay small. */
const FRAMES_AT_ONCE = 32;
/** More bits a sample than the decoder's 32-bit floats can carry, and than it decodes. */
const MOST_BITS = 24;

/**
 * Reads a FLAC file.
 *
 * @param bytes - the whole file.
 * @param at - where `fLaC` stands in it (behind an ID3 tag, if there is one).
 * @throws SoundFileError `truncated` (seconds found and announced are named), `damaged`, `bad-header`, `bad-rate`,
 *   `unsupported` (more than 24 bits), `empty`.
 */
export async function readFlac(bytes: Uint8Array, at: number): Promise<Sound> {
  const info = readFlacInfo(bytes, at);
  checkRate(info.sampleRate);
  if (info.bits > MOST_BITS) {
    throw new SoundFileError('unsupported', `a FLAC file with ${info.bits}-bit samples`, `at most ${MOST_BITS} bits`);
  }
  const { frames, length, fault } = readFlacFrames(bytes, info);
  const seconds = secondsInWords(length / info.sampleRate);
  if (fault) {
    throw new SoundFileError(fault.code, `after ${seconds} of sound, ${fault.found}`, wholeFile(info));
  }
  if (info.length > 0 && length !== info.length) {
    throw new SoundFileError(length < info.length ? 'truncated' : 'damaged', `${seconds} of sound`, wholeFile(info));
  }
  if (length === 0) throw new SoundFileError('empty', 'a FLAC file without any samples', 'recorded sound');
  try {
    return { sampleRate: info.sampleRate, channels: await decode(frames, length, info), lossy: null };
  } catch (error) {
    if (error instanceof SoundFileError) throw error;
    throw undecodable(error instanceof Error ? error.message : String(error));
  }
}

function wholeFile({ length, sampleRate }: FlacInfo): string {
  return length > 0 ? `a whole FLAC file of ${secondsInWords(length / sampleRate)}` : 'a whole FLAC file';
}

function undecodable(reason: string): SoundFileError {
  return new SoundFileError('damaged', `FLAC content that cannot be decoded (${reason})`, 'a whole FLAC file');
}

async function decode(frames: readonly FlacFrame[], length: number, info: FlacInfo): Promise<Float32Array[]> {
  const channels = Array.from({ length: info.channels }, () => new Float32Array(length));
  const decoder = new FLACDecoder();
  await decoder.ready;
  let done = 0;
  for (let i = 0; i < frames.length; i += FRAMES_AT_ONCE) {
    const some = frames.slice(i, i + FRAMES_AT_ONCE);
    const expected = some.reduce((sum, frame) => sum + frame.length, 0);
    const decoded = await decoder.decodeFrames(some.map((frame) => frame.bytes));
    if (decoded.errors.length > 0) throw undecodable(decoded.errors[0].message);
    if (decoded.samplesDecoded !== expected || decoded.channelData.length !== info.channels) {
      throw undecodable(`${decoded.samplesDecoded} samples where ${expected} were announced`);
    }
    channels.forEach((samples, channel) => rescale(decoded.channelData[channel], info.bits, samples, done));
    done += expected;
  }
  // Only here: an instance that threw is in an unknown state and is left to the garbage collector.
  decoder.free();
  return channels;
}

/** From the decoder's division by 2^(b−1) − 1 back to whole numbers, exactly up to 24 bits, and on to 2^(b−1). */
function rescale(decoded: Float32Array, bits: number, into: Float32Array, at: number): void {
  const theirs = 2 ** (bits - 1) - 1;
  const ours = 2 ** (bits - 1);
  for (let i = 0; i < decoded.length; i++) into[at + i] = Math.round(decoded[i] * theirs) / ours;
}
