/**
 * Seeded random numbers for practice recordings.
 *
 * Every concern (the hand, one note's strings, the noise, ...) draws from a stream of its own, found by name, so that
 * for instance another level of noise leaves every stroke where it was.
 */

import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { RandomGenerator } from 'pure-rand/types/RandomGenerator';

/** A stream of random numbers; the same seed and name give the same stream. */
export class RandomStream {
  readonly #generator: RandomGenerator;
  #second: number | null = null;

  /** @param seed whole number; @param name what the stream is for */
  constructor(seed: number, name: string) {
    let hash = 0x811c9dc5;
    for (const character of `${seed}/${name}`) hash = Math.imul(hash ^ character.codePointAt(0)!, 0x01000193);
    this.#generator = xoroshiro128plus(hash);
    for (let i = 0; i < 8; i++) uniformFloat64(this.#generator);
  }

  /** Uniform in [low, high). */
  between(low: number, high: number): number {
    return low + (high - low) * uniformFloat64(this.#generator);
  }

  /** Normal with this mean and standard deviation (Box and Muller 1958; two values from each pair of uniforms). */
  normal(mean = 0, sd = 1): number {
    const kept = this.#second;
    if (kept !== null) {
      this.#second = null;
      return mean + sd * kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniformFloat64(this.#generator)));
    const angle = 2 * Math.PI * uniformFloat64(this.#generator);
    this.#second = radius * Math.sin(angle);
    return mean + sd * radius * Math.cos(angle);
  }

  /** True with this probability. */
  chance(probability: number): boolean {
    return this.between(0, 1) < probability;
  }
}
