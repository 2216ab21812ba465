/**
 * Sound to a WAV file.
 *
 * Convention: the reader's, turned round: samples within ±1 are multiplied by 2^(b−1), rounded to the nearest whole
 * number and clamped to the range. No dither is added: the files are measured, not listened to, and the same samples
 * must always give the same bytes.
 *
 * Sources: as in `wav.ts`.
 */

import type { Hertz } from '../units.ts';
import { HIGHEST_RATE, LOWEST_RATE } from './checks.ts';

/** How samples are stored. */
export type WavFormat = 'int16' | 'int24' | 'float32';

const SAMPLE_BYTES: Readonly<Record<WavFormat, number>> = { int16: 2, int24: 3, float32: 4 };
const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
const SUBFORMAT_TAIL = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
const LARGEST_FILE = 0xffff_fffe;

/**
 * The bytes of a WAV file. More than two channels or 16 bits get the extensible header that they ask for, without
 * loudspeaker places, all else the plain one; floats get the `fact` chunk that the format asks for. Floats beyond ±1 are kept, whole numbers clamped.
 *
 * @param channels - one `Float32Array` a channel, at least one, all equally long.
 * @param sampleRate - whole hertz, 8000 to 96000, as the reader accepts.
 * @throws RangeError for channels, a rate or a sample (NaN, infinite) that do not fit, and for more than 4 GB.
 */
export function writeWav(channels: readonly Float32Array[], sampleRate: Hertz, format: WavFormat): Uint8Array {
  checkInput(channels, sampleRate);
  const frames = channels[0].length;
  const sampleBytes = SAMPLE_BYTES[format];
  const frameBytes = sampleBytes * channels.length;
  const dataBytes = frames * frameBytes;
  const extensible = channels.length > 2 || format === 'int24';
  const formatBytes = extensible ? 40 : format === 'float32' ? 18 : 16;
  const factBytes = format === 'float32' ? 12 : 0;
  const size = 12 + 8 + formatBytes + factBytes + 8 + dataBytes + (dataBytes % 2);
  if (size > LARGEST_FILE) throw new RangeError(`a WAV file of ${size} bytes; expected at most ${LARGEST_FILE}`);

  const bytes = new Uint8Array(size);
  const view = new DataView(bytes.buffer);
  const name = (at: number, text: string) =>
    bytes.set(
      Array.from(text, (letter) => letter.charCodeAt(0)),
      at,
    );
  const tag = format === 'float32' ? FLOAT : PCM;
  name(0, 'RIFF');
  view.setUint32(4, size - 8, true);
  name(8, 'WAVEfmt ');
  view.setUint32(16, formatBytes, true);
  view.setUint16(20, extensible ? EXTENSIBLE : tag, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, sampleRate, true);
  view.setUint32(28, sampleRate * frameBytes, true);
  view.setUint16(32, frameBytes, true);
  view.setUint16(34, sampleBytes * 8, true);
  if (extensible) {
    view.setUint16(36, 22, true);
    view.setUint16(38, sampleBytes * 8, true);
    view.setUint16(44, tag, true);
    bytes.set(SUBFORMAT_TAIL, 46);
  }
  let at = 20 + formatBytes;
  if (factBytes > 0) {
    name(at, 'fact');
    view.setUint32(at + 4, 4, true);
    view.setUint32(at + 8, frames, true);
    at += factBytes;
  }
  name(at, 'data');
  view.setUint32(at + 4, dataBytes, true);
  writeSamples(view, at + 8, channels, format);
  return bytes;
}

function checkInput(channels: readonly Float32Array[], sampleRate: Hertz): void {
  if (channels.length === 0 || channels.length > 64) {
    throw new RangeError(`${channels.length} channels; expected 1 to 64`);
  }
  if (!Number.isInteger(sampleRate) || sampleRate < LOWEST_RATE || sampleRate > HIGHEST_RATE) {
    throw new RangeError(`a sample rate of ${sampleRate} Hz; expected whole hertz, ${LOWEST_RATE} to ${HIGHEST_RATE}`);
  }
  channels.forEach((samples, channel) => {
    if (samples.length !== channels[0].length) {
      throw new RangeError(
        `channel ${channel + 1} has ${samples.length} samples; expected ${channels[0].length} as in channel 1`,
      );
    }
    const wrong = samples.findIndex((sample) => !Number.isFinite(sample));
    if (wrong >= 0) {
      throw new RangeError(`sample ${wrong} of channel ${channel + 1} is ${samples[wrong]}; expected a finite number`);
    }
  });
}

function writeSamples(view: DataView, from: number, channels: readonly Float32Array[], format: WavFormat): void {
  const sampleBytes = SAMPLE_BYTES[format];
  const full = 2 ** (sampleBytes * 8 - 1);
  const whole = (sample: number) => Math.max(-full, Math.min(full - 1, Math.round(sample * full)));
  channels.forEach((samples, channel) => {
    let at = from + channel * sampleBytes;
    for (const sample of samples) {
      if (format === 'float32') view.setFloat32(at, sample, true);
      else if (format === 'int16') view.setInt16(at, whole(sample), true);
      else {
        const value = whole(sample);
        view.setUint16(at, value & 0xffff, true);
        view.setInt8(at + 2, value >> 16);
      }
      at += sampleBytes * channels.length;
    }
  });
}
