/**
 * Real Fourier transforms of fixed sizes, on fft.js (radix 4, twiddles made at construction).
 *
 * Conventions: spectra are interleaved, re and im of bin k at 2k and 2k + 1, bins 0 to n/2 valid. Buffers are owned by
 * the transform and written again by its next use; sizes are powers of two.
 */

import FFT from 'fft.js';

const transforms = new Map<number, FourierTransform>();

/** The shared transform of size `n`, a power of two from 2. */
export function fourier(n: number): FourierTransform {
  let transform = transforms.get(n);
  if (!transform) transforms.set(n, (transform = new FourierTransform(n)));
  return transform;
}

/** Smallest power of two that is at least `n`. */
export function powerOfTwo(n: number): number {
  let size = 2;
  while (size < n) size *= 2;
  return size;
}

export class FourierTransform {
  readonly size: number;
  /** Two spectra for whoever works at this size; nobody keeps anything in them. */
  readonly scratch: readonly [Float64Array, Float64Array];
  /** Two real signals side by side, as the parts of a complex one, for {@link forwardPair}. */
  readonly pair: Float64Array;
  private readonly fft: FFT;
  private readonly time: Float64Array;
  private readonly back: Float64Array;

  /** @throws Error if `size` is no power of two. */
  constructor(size: number) {
    this.size = size;
    this.fft = new FFT(size);
    this.time = new Float64Array(size);
    this.back = new Float64Array(2 * size);
    this.pair = new Float64Array(2 * size);
    this.scratch = [this.spectrum(), this.spectrum()];
  }

  /** A new buffer for a spectrum of this size. */
  spectrum(): Float64Array {
    return new Float64Array(2 * this.size);
  }

  /** Transforms `count` samples from `start` (all within the array), zeros behind them, into `spectrum` (bins 0 to n/2). */
  forward(samples: ArrayLike<number>, start: number, count: number, spectrum: Float64Array): Float64Array {
    const { time, size } = this;
    const n = Math.min(count, size);
    for (let i = 0; i < n; i++) time[i] = samples[start + i];
    time.fill(0, n);
    // fft.js declares number[], but reads and writes any array-like of doubles.
    this.fft.realTransform(spectrum as unknown as number[], time as unknown as number[]);
    return spectrum;
  }

  /** Transforms the interleaved complex signal in {@link pair} into `spectrum`, all bins. */
  forwardPair(spectrum: Float64Array): Float64Array {
    this.fft.transform(spectrum as unknown as number[], this.pair as unknown as number[]);
    return spectrum;
  }

  /** Transforms back a spectrum of which all bins are given; returns the interleaved complex signal, owned by this. */
  inversePair(spectrum: Float64Array): Float64Array {
    this.fft.inverseTransform(this.back as unknown as number[], spectrum as unknown as number[]);
    return this.back;
  }

  /** Fills in the bins above n/2 of the spectrum of a real signal. */
  complete(spectrum: Float64Array): void {
    this.fft.completeSpectrum(spectrum as unknown as number[]);
  }

  /** Transforms back a spectrum of which bins 0 to n/2 are given; returns the interleaved complex signal, owned by this. */
  inverse(spectrum: Float64Array): Float64Array {
    this.fft.completeSpectrum(spectrum as unknown as number[]);
    this.fft.inverseTransform(this.back as unknown as number[], spectrum as unknown as number[]);
    return this.back;
  }
}
