/**
 * A stream's latest samples in one band, decimated, for looking back.
 *
 * Half of the decimation is a mean, the other half comes after the filters, which take away what would fold back. Frames of
 * the ring are counted from construction or `reset()`. Nothing is allocated after construction.
 */

import type { Hertz, Seconds } from '../units.ts';
import type { Section } from './biquad.ts';

export class BandRing {
  readonly rate: Hertz;
  /** How many times the stream's rate was halved. */
  readonly halvings: number;
  readonly ring: Float32Array;
  private readonly first: number;
  private readonly second: number;
  private readonly coefficients: Float64Array;
  private readonly sections: number;
  private readonly state: Float64Array;
  /** Running sum, samples in it, filtered samples since the last kept one. */
  private readonly sum = new Float64Array(1);
  private inSum = 0;
  private since = 0;
  /** Samples kept so far. */
  kept = 0;

  /**
   * The rate is halved as long as it stays at `least`; `seconds` of sound are held. `sectionsAt` gives the band's filters
   * at the rate they run at.
   */
  constructor(sampleRate: Hertz, least: Hertz, seconds: Seconds, sectionsAt: (rate: Hertz) => readonly Section[]) {
    let halvings = 0;
    while (sampleRate / 2 ** (halvings + 1) >= least) halvings++;
    const factor = 2 ** halvings;
    this.halvings = halvings;
    this.rate = sampleRate / factor;
    this.first = Math.max(1, factor / 2);
    this.second = factor / this.first;
    const sections = sectionsAt(sampleRate / this.first);
    this.sections = sections.length;
    this.coefficients = Float64Array.from(sections.flat());
    this.state = new Float64Array(2 * sections.length);
    this.ring = new Float32Array(Math.ceil(seconds * this.rate));
  }

  /** Forgets everything. */
  reset(): void {
    this.state.fill(0);
    this.sum[0] = 0;
    this.inSum = this.since = this.kept = 0;
    this.ring.fill(0);
  }

  /** Takes the next samples; what is not finite counts as silence. */
  process(block: Float32Array): void {
    const { first, second, coefficients: k, state: s, sections, ring, sum } = this;
    for (let i = 0; i < block.length; i++) {
      const sample = block[i];
      sum[0] += sample - sample === 0 ? sample : 0;
      if (++this.inSum < first) continue;
      let y = sum[0] / first;
      sum[0] = 0;
      this.inSum = 0;
      for (let n = 0; n < sections; n++) {
        const c = 5 * n;
        const z = 2 * n;
        const u = k[c] * y + s[z];
        s[z] = k[c + 1] * y - k[c + 3] * u + s[z + 1];
        s[z + 1] = k[c + 2] * y - k[c + 4] * u;
        y = u;
      }
      if (++this.since < second) continue;
      this.since = 0;
      ring[this.kept % ring.length] = y;
      this.kept++;
    }
  }

  /** Copies samples from `from` up to `to` (counted as kept) into `into`; what the ring has lost counts as silence. */
  copy(from: number, to: number, into: Float32Array): number {
    const { ring, kept } = this;
    const count = Math.max(0, Math.min(into.length, to - from));
    const held = ring.length;
    let place = ((from % held) + held) % held;
    for (let i = 0; i < count; i++) {
      const at = from + i;
      into[i] = at >= 0 && at < kept && at >= kept - held ? ring[place] : 0;
      if (++place === held) place = 0;
    }
    return count;
  }
}
