/**
 * Interleaved PCM to one array a channel.
 *
 * Convention: a whole number of b bits is divided by 2^(b−1), so that the same sound reads alike at every depth and
 * the most negative number is exactly −1; 8-bit WAV samples are unsigned, with 128 for zero. Floats are taken as
 * they stand (64-bit ones rounded to 32).
 */

/** How samples are laid down. */
export interface SampleForm {
  readonly channels: number;
  /** Bits of one sample: 8, 16, 24, 32 for whole numbers, 32 or 64 for floats. */
  readonly bits: number;
  readonly isFloat: boolean;
}

type ReadSample = (view: DataView, at: number, littleEndian: boolean) => number;

const WHOLE: Readonly<Record<number, ReadSample>> = {
  8: (view, at) => (view.getUint8(at) - 128) / 2 ** 7,
  16: (view, at, littleEndian) => view.getInt16(at, littleEndian) / 2 ** 15,
  24: (view, at, littleEndian) =>
    (littleEndian
      ? (view.getInt8(at + 2) << 16) | view.getUint16(at, true)
      : (view.getInt8(at) << 16) | view.getUint16(at + 1, false)) /
    2 ** 23,
  32: (view, at, littleEndian) => view.getInt32(at, littleEndian) / 2 ** 31,
};

const FLOATS: Readonly<Record<number, ReadSample>> = {
  32: (view, at, littleEndian) => view.getFloat32(at, littleEndian),
  64: (view, at, littleEndian) => view.getFloat64(at, littleEndian),
};

/**
 * The samples of `frames` frames from byte `at` on, one `Float32Array` of that length a channel.
 *
 * @throws RangeError for a sample size that is not in {@link SampleForm}.
 */
export function samplesOf(
  view: DataView,
  at: number,
  frames: number,
  form: SampleForm,
  littleEndian: boolean,
): Float32Array[] {
  const read = (form.isFloat ? FLOATS : WHOLE)[form.bits];
  if (!read) throw new RangeError(`${form.bits}-bit samples; expected 8, 16, 24, 32 or, for floats, 32 or 64`);
  const sampleBytes = form.bits / 8;
  const frameBytes = sampleBytes * form.channels;
  return Array.from({ length: form.channels }, (_, channel) => {
    const samples = new Float32Array(frames);
    let from = at + channel * sampleBytes;
    for (let i = 0; i < frames; i++, from += frameBytes) samples[i] = read(view, from, littleEndian);
    return samples;
  });
}
