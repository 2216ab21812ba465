/**
 * WAV files: RIFF, RIFX (big-endian), RF64 and BW64, whole-number and float PCM, plain and extensible.
 *
 * A reader of our own, because what is at hand plays on over damage: here a missing second is an error, not silence.
 * What streaming recorders leave behind (a data size never filled in) is read as far as the file goes.
 *
 * Sources: Microsoft/IBM "Multimedia Programming Interface and Data Specifications 1.0" (RIFF WAVE);
 * WAVEFORMATEXTENSIBLE (Microsoft, mmreg.h); EBU Tech 3306 / ITU-R BS.2088 (RF64, BW64). All from memory.
 */

import { checkRate, fourCharacters, secondsInWords, spells } from './checks.ts';
import { SoundFileError } from './sound.ts';
import type { Sound } from './sound.ts';
import { samplesOf } from './wavSamples.ts';
import type { SampleForm } from './wavSamples.ts';

const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** Bytes 2 to 15 of a sub-format that stands for an ordinary format tag (KSDATAFORMAT_SUBTYPE). */
const SUBFORMAT_TAIL = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
/** Compressed content by its format tag, from the registry in RFC 2361, appendix A. */
const COMPRESSED: Readonly<Record<number, string>> = {
  0x02: 'Microsoft ADPCM',
  0x06: 'A-law',
  0x07: 'µ-law',
  0x11: 'IMA ADPCM',
  0x31: 'GSM 6.10',
  0x40: 'G.721 ADPCM',
  0x50: 'MPEG layer I or II',
  0x55: 'MP3',
  0x92: 'AC-3',
  0xff: 'AAC',
  0x161: 'Windows Media',
};
/** More channels than any recorder of strokes has: a header that says more is damaged. */
const MOST_CHANNELS = 64;
/** Sizes from here up stand for "not known" (writers to a pipe put 0x7ffff000-odd, 0x7fffffff or 0xffffffff). */
const UNKNOWN_SIZE = 0x7fff_0000;

interface Format extends SampleForm {
  readonly sampleRate: number;
}

interface Chunk {
  readonly id: string;
  /** Offset of the content. */
  readonly at: number;
  /** Size as written. */
  readonly size: number;
}

/**
 * Reads a WAV file. Whole numbers of b bits are divided by 2^(b−1), 8-bit samples being offset by 128; floats are
 * taken as they are. An incomplete frame at the very end is left out.
 *
 * @param bytes - the whole file, beginning with `RIFF`, `RIFX`, `RF64` or `BW64` and with `WAVE` at byte 8.
 * @throws SoundFileError `truncated` (seconds found and announced are named), `bad-header`, `bad-rate`, `unsupported`
 *   (compressed content, other sample sizes), `empty`.
 */
export function readWav(bytes: Uint8Array): Sound {
  const littleEndian = !spells(bytes, 0, 'RIFX');
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let format: Format | null = null;
  let longSize: number | null = null;
  let at = 12;
  while (at + 8 <= bytes.length) {
    const chunk: Chunk = { id: fourCharacters(bytes, at), at: at + 8, size: view.getUint32(at + 4, littleEndian) };
    if (chunk.id === 'data') {
      if (!format) throw new SoundFileError('bad-header', 'sound data before any format', 'a "fmt " chunk first');
      return readData(bytes, view, chunk, longSize, format, littleEndian);
    }
    if (chunk.at + chunk.size > bytes.length) {
      throw new SoundFileError(
        'truncated',
        `the file breaks off in chunk "${chunk.id}" (${chunk.size} bytes announced, ${bytes.length - chunk.at} there)`,
        'a "data" chunk with the sound',
      );
    }
    if (chunk.id === 'fmt ' && !format) format = readFormat(bytes, view, chunk, littleEndian);
    if (chunk.id === 'ds64' && chunk.size >= 16) longSize = Number(view.getBigUint64(chunk.at + 8, littleEndian));
    at = afterChunk(bytes, chunk);
  }
  throw new SoundFileError(
    'truncated',
    `the file ends after ${bytes.length} bytes, before any sound`,
    'a "data" chunk with the sound',
  );
}

/** Chunks are padded to even length; writers that forget to pad are recognised by the next chunk's name. */
function afterChunk(bytes: Uint8Array, { at, size }: Chunk): number {
  const end = at + size;
  if (size % 2 === 0) return end;
  const unpadded = ['fmt ', 'data', 'LIST', 'fact'].some((id) => spells(bytes, end, id));
  return unpadded ? end : end + 1;
}

function readFormat(bytes: Uint8Array, view: DataView, { at, size }: Chunk, littleEndian: boolean): Format {
  if (size < 16) {
    throw new SoundFileError('bad-header', `a "fmt " chunk of ${size} bytes`, 'at least 16 bytes');
  }
  let tag = view.getUint16(at, littleEndian);
  const channels = view.getUint16(at + 2, littleEndian);
  const sampleRate = view.getUint32(at + 4, littleEndian);
  const frameBytes = view.getUint16(at + 12, littleEndian);
  const bits = view.getUint16(at + 14, littleEndian);
  if (tag === EXTENSIBLE) tag = extensibleTag(bytes, view, { id: 'fmt ', at, size }, bits, littleEndian);
  if (tag !== PCM && tag !== FLOAT) {
    const name = COMPRESSED[tag] ?? `format 0x${tag.toString(16).padStart(4, '0')}`;
    throw new SoundFileError('unsupported', `a WAV file with ${name}`, 'uncompressed WAV (PCM or float)');
  }
  if (channels === 0 || channels > MOST_CHANNELS) {
    throw new SoundFileError('bad-header', `a WAV header with ${channels} channels`, `1 to ${MOST_CHANNELS} channels`);
  }
  checkRate(sampleRate);
  const sizes = tag === PCM ? [8, 16, 24, 32] : [32, 64];
  if (!sizes.includes(bits)) {
    throw new SoundFileError(
      'unsupported',
      `a WAV file with ${bits}-bit ${tag === PCM ? 'whole-number' : 'float'} samples`,
      '8, 16, 24 or 32-bit whole numbers, or 32 or 64-bit floats',
    );
  }
  if (frameBytes !== (channels * bits) / 8) {
    throw new SoundFileError(
      'bad-header',
      `a WAV header with frames of ${frameBytes} bytes`,
      `${(channels * bits) / 8} bytes for ${channels} channels of ${bits} bits`,
    );
  }
  return { sampleRate, channels, bits, isFloat: tag === FLOAT };
}

/**
 * The format tag inside an extensible header. The valid bits only say how many of the container's upper bits carry
 * signal, so that they change nothing in the scaling; they are checked because a wrong count means a broken header.
 */
function extensibleTag(
  bytes: Uint8Array,
  view: DataView,
  { at, size }: Chunk,
  bits: number,
  littleEndian: boolean,
): number {
  if (size < 40) {
    throw new SoundFileError('bad-header', `an extensible "fmt " chunk of ${size} bytes`, 'at least 40 bytes');
  }
  const validBits = view.getUint16(at + 18, littleEndian);
  if (validBits > bits) {
    throw new SoundFileError('bad-header', `${validBits} valid bits in samples of ${bits}`, `at most ${bits}`);
  }
  const tail = Array.from(bytes.subarray(at + 26, at + 40));
  // In a big-endian file the number fields of the identifier are turned as well.
  const ordinary = littleEndian ? SUBFORMAT_TAIL : [0, 0, 0, 0, 0, 0x10, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];
  const tagAt = littleEndian ? at + 24 : at + 26;
  const rest = littleEndian ? tail : [bytes[at + 24], bytes[at + 25], ...tail.slice(2)];
  if (rest.some((byte, i) => byte !== ordinary[i])) {
    const found = Array.from(bytes.subarray(at + 24, at + 40), (byte) => byte.toString(16).padStart(2, '0')).join('');
    throw new SoundFileError('unsupported', `a WAV file with sub-format ${found}`, 'PCM or float sub-format');
  }
  return view.getUint16(tagAt, littleEndian);
}

function readData(
  bytes: Uint8Array,
  view: DataView,
  chunk: Chunk,
  longSize: number | null,
  format: Format,
  littleEndian: boolean,
): Sound {
  const there = bytes.length - chunk.at;
  const announced = chunk.size === 0xffff_ffff && longSize !== null ? longSize : chunk.size;
  const frameBytes = (format.channels * format.bits) / 8;
  const size = sizeIsUnknown(bytes, chunk, announced) ? there : announced;
  if (size > there) {
    const seconds = (length: number) => secondsInWords(Math.floor(length / frameBytes) / format.sampleRate);
    throw new SoundFileError(
      'truncated',
      `${seconds(there)} of sound where the header announces ${seconds(size)}`,
      'a file that was copied or recorded to its end',
    );
  }
  const frames = Math.floor(size / frameBytes);
  if (frames === 0) throw new SoundFileError('empty', 'a WAV file without any samples', 'recorded sound');
  const channels = samplesOf(view, chunk.at, frames, format, littleEndian);
  return { sampleRate: format.sampleRate, channels, lossy: null };
}

/**
 * Whether the data size was never filled in: a giant number, or zero although something follows that is not a row
 * of further chunks reaching exactly to the end of the file.
 */
function sizeIsUnknown(bytes: Uint8Array, chunk: Chunk, announced: number): boolean {
  if (announced > 0) return announced >= UNKNOWN_SIZE && announced > bytes.length - chunk.at;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = chunk.at;
  while (at + 8 <= bytes.length && !fourCharacters(bytes, at).includes('.')) {
    at += 8 + view.getUint32(at + 4, !spells(bytes, 0, 'RIFX'));
    at += at % 2;
  }
  return at < bytes.length || at > bytes.length + 1;
}
