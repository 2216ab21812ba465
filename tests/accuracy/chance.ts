/** Seeded chance for the measuring material: the same seed, the same recording, on every machine. */

import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

/** A stream of numbers. */
export interface Chance {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Normal, mean 0, SD 1 (Box & Muller 1958). */
  normal(): number;
  /** One of a list, which must not be empty. */
  pick<T>(list: readonly T[]): T;
  /** The list in another order (Fisher & Yates). */
  shuffle<T>(list: readonly T[]): T[];
}

/** A stream that depends on the seed alone. */
export function chance(seed: number): Chance {
  const generator = xoroshiro128plus(seed);
  const uniform = (): number => uniformFloat64(generator);
  const index = (n: number): number => Math.min(n - 1, Math.floor(uniform() * n));
  return {
    uniform,
    normal: () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform()),
    pick: (list) => list[index(list.length)],
    shuffle: (list) => {
      const order = [...list];
      for (let i = order.length - 1; i > 0; i--) {
        const j = index(i + 1);
        [order[i], order[j]] = [order[j], order[i]];
      }
      return order;
    },
  };
}

/** A seed of several small numbers, so that each case of a grid has its own. */
export function seedOf(...parts: readonly number[]): number {
  let hash = 2166136261;
  for (const part of parts) hash = Math.imul(hash ^ Math.round(part * 16), 16777619);
  return hash >>> 0;
}
