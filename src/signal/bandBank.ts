/**
 * The detector's bands: energy of each, and of the whole, over one hop at a time.
 *
 * Each band is a second-order high-pass and low-pass, causal. The low bands run on means of some samples, at about 8 kHz.
 * A hop's samples go through one band after the other, so that its state stays in registers. Nothing is allocated after
 * construction; how the samples are cut into pieces does not matter.
 */

import type { Frames, Hertz } from '../units.ts';
import { bandSections } from './biquad.ts';

/** Edges of a band, hertz. */
export interface BandEdges {
  readonly low: Hertz;
  readonly high: Hertz;
}

/** So many of the bands, from the lowest, run at the low rate. */
const LOW_BANDS = 3;
const LOW_RATE: Hertz = 8000;
/** Numbers of state, and of coefficients, to a band. */
const STATES = 4;
const COEFFICIENTS = 10;

export class BandBank {
  /** Energy of each band, then of the whole, since they were last set to zero. The last place is the bank's own. */
  readonly sums: Float64Array;
  private readonly bandCount: number;
  private readonly decimation: number;
  private readonly coefficients: Float64Array;
  private readonly state: Float64Array;
  /** Samples of the hop being heard, and their means for the low bands. */
  private readonly clean: Float64Array;
  private readonly slow: Float64Array;
  private decimated = 0;

  /** `most` is the largest number of samples that {@link take} is given. */
  constructor(sampleRate: Hertz, bands: readonly BandEdges[], most: Frames) {
    this.bandCount = bands.length;
    this.decimation = Math.max(1, Math.floor(sampleRate / LOW_RATE));
    this.coefficients = new Float64Array(bands.length * COEFFICIENTS);
    bands.forEach(({ low, high }, b) => {
      const rate = b < LOW_BANDS ? sampleRate / this.decimation : sampleRate;
      const sections = bandSections(low, Math.min(high, 0.45 * rate), rate);
      this.coefficients.set([...sections[0], ...sections[1]], b * COEFFICIENTS);
    });
    this.state = new Float64Array(bands.length * STATES);
    this.sums = new Float64Array(bands.length + 2);
    this.clean = new Float64Array(most);
    this.slow = new Float64Array(most);
  }

  /** Forgets everything. */
  reset(): void {
    this.state.fill(0);
    this.sums.fill(0);
    this.decimated = 0;
  }

  /** Takes `count` samples of the block from `at` on; what is not finite counts as silence. */
  take(block: Float32Array, at: Frames, count: number): void {
    const { bandCount, clean, sums } = this;
    let energy = sums[bandCount];
    for (let i = 0; i < count; i++) {
      const sample = block[at + i];
      const x = sample - sample === 0 ? sample : 0;
      clean[i] = x;
      energy += x * x;
    }
    sums[bandCount] = energy;
    const lowCount = this.decimate(count);
    for (let b = 0; b < bandCount; b++) {
      if (b < LOW_BANDS) this.filterBand(b, this.slow, lowCount, this.decimation);
      else this.filterBand(b, clean, count, 1);
    }
  }

  /** Means of `decimation` samples, of the first `count` clean ones; what is left over waits. */
  private decimate(count: number): number {
    const { clean, slow, sums, bandCount, decimation } = this;
    let sum = sums[bandCount + 1];
    let filled = 0;
    for (let i = 0; i < count; i++) {
      sum += clean[i];
      if (++this.decimated === decimation) {
        slow[filled++] = sum / decimation;
        sum = 0;
        this.decimated = 0;
      }
    }
    sums[bandCount + 1] = sum;
    return filled;
  }

  /** Runs `count` samples through a band's two sections and adds up their energy, each counted `times`. */
  private filterBand(b: number, samples: Float64Array, count: number, times: number): void {
    const { coefficients: k, state: s, sums } = this;
    const c = b * COEFFICIENTS;
    const z = b * STATES;
    const b0 = k[c];
    const b1 = k[c + 1];
    const b2 = k[c + 2];
    const a1 = k[c + 3];
    const a2 = k[c + 4];
    const d0 = k[c + 5];
    const d1 = k[c + 6];
    const d2 = k[c + 7];
    const e1 = k[c + 8];
    const e2 = k[c + 9];
    let s0 = s[z];
    let s1 = s[z + 1];
    let s2 = s[z + 2];
    let s3 = s[z + 3];
    let energy = sums[b];
    for (let i = 0; i < count; i++) {
      const x = samples[i];
      const u = b0 * x + s0;
      s0 = b1 * x - a1 * u + s1;
      s1 = b2 * x - a2 * u;
      const y = d0 * u + s2;
      s2 = d1 * u - e1 * y + s3;
      s3 = d2 * u - e2 * y;
      energy += y * y * times;
    }
    s[z] = s0;
    s[z + 1] = s1;
    s[z + 2] = s2;
    s[z + 3] = s3;
    sums[b] = energy;
  }
}
