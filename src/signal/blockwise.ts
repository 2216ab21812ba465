/**
 * Linear prediction of a piece block by block, for the audio thread: the same as in `whitening.ts`, cut into steps of one
 * transform of 512, and without allocation.
 *
 * The autocorrelation is gathered as a cross spectrum of each block with itself and what stands before it, so that one
 * transform back gives all lags; the prediction error is made two blocks at a time, as the real and the imaginary part of
 * one signal. Overlap-save as in `matching.ts`.
 */

import { fourier, type FourierTransform } from './fourier.ts';
import { SILENCE, STABILISE } from './stepwise.ts';

const SIZE = 512;

export class BlockPredictor {
  /** Autocorrelation at lags 0 to order, once all blocks are gathered. */
  readonly r: Float64Array;
  private readonly order: number;
  private readonly step: number;
  private readonly transform: FourierTransform;
  private readonly cross: Float64Array;
  private readonly kernel: Float64Array;
  private readonly filter: Float64Array;

  /** `order` must lie well below 512. */
  constructor(order: number) {
    this.order = order;
    this.step = SIZE - order;
    this.transform = fourier(SIZE);
    this.r = new Float64Array(order + 1);
    this.cross = this.transform.spectrum();
    this.kernel = this.transform.spectrum();
    this.filter = new Float64Array(order + 1);
  }

  /** Adds the block from sample `at` on to the autocorrelation of the first `count` samples; returns where the next begins. */
  gather(samples: Float64Array, count: number, at: number): number {
    const { order, step, transform, cross } = this;
    if (at === 0) cross.fill(0);
    const { pair } = transform;
    const [spectrum] = transform.scratch;
    for (let i = 0; i < SIZE; i++) {
      const own = at + i;
      const before = own - order;
      pair[2 * i] = i < step && own < count ? samples[own] : 0;
      pair[2 * i + 1] = before >= 0 && before < count ? samples[before] : 0;
    }
    transform.forwardPair(spectrum);
    // From the transform of a + ib: A = (Z(k) + Z*(-k)) / 2, B = (Z(k) - Z*(-k)) / 2i; gathered is A*·B.
    for (let k = 0; k <= SIZE / 2; k++) {
      const m = (SIZE - k) % SIZE;
      const re = spectrum[2 * k];
      const im = spectrum[2 * k + 1];
      const mirrorRe = spectrum[2 * m];
      const mirrorIm = spectrum[2 * m + 1];
      const aRe = re + mirrorRe;
      const aIm = im - mirrorIm;
      const bRe = im + mirrorIm;
      const bIm = mirrorRe - re;
      cross[2 * k] += (aRe * bRe + aIm * bIm) / 4;
      cross[2 * k + 1] += (aRe * bIm - aIm * bRe) / 4;
    }
    return at + step;
  }

  /** Reads the lags off what was gathered from `count` samples. */
  lags(count: number): void {
    const { order, r, transform, cross } = this;
    const back = transform.inverse(cross);
    for (let k = 0; k <= order; k++) r[k] = back[2 * (order - k)];
    r[0] = r[0] * (1 + STABILISE) + SILENCE * (count + 1);
  }

  /** Makes ready to take away what the error filter `a` predicts. */
  predictWith(a: Float64Array): void {
    const { order, filter, transform, kernel } = this;
    for (let k = 0; k <= order; k++) filter[k] = a[order - k];
    transform.forward(filter, 0, order + 1, kernel);
    transform.complete(kernel);
  }

  /**
   * Writes the prediction error of two blocks into `into`, from sample `at` on, which must be at least `order`; returns where
   * the next begins. Reads up to `count` samples.
   */
  errors(samples: Float64Array, count: number, at: number, into: Float64Array): number {
    const { order, step, transform, kernel } = this;
    const { pair } = transform;
    const [spectrum] = transform.scratch;
    const first = at - order;
    const second = first + step;
    for (let i = 0; i < SIZE; i++) {
      pair[2 * i] = first + i < count ? samples[first + i] : 0;
      pair[2 * i + 1] = second + i < count ? samples[second + i] : 0;
    }
    transform.forwardPair(spectrum);
    for (let k = 0; k < 2 * SIZE; k += 2) {
      const re = spectrum[k] * kernel[k] + spectrum[k + 1] * kernel[k + 1];
      const im = spectrum[k + 1] * kernel[k] - spectrum[k] * kernel[k + 1];
      spectrum[k] = re;
      spectrum[k + 1] = im;
    }
    const back = transform.inversePair(spectrum);
    for (let i = 0; i < step; i++) {
      if (at + i < count) into[at + i] = back[2 * i];
      if (at + step + i < count) into[at + step + i] = back[2 * i + 1];
    }
    return at + 2 * step;
  }
}
