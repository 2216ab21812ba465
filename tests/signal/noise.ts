/** Seeded noise and the pieces that the searches for contacts are tried on. */

import { chance } from '../accuracy/chance.ts';

/** White noise of that standard deviation. */
export function whiteNoise(count: number, level: number, seed: number): Float32Array {
  const random = chance(seed);
  return Float32Array.from({ length: count }, () => level * random.normal());
}

/** A few partials that die away, as a tone that rings on. */
export function ringing(count: number, rate: number, hertz: readonly number[], level: number): Float32Array {
  return Float32Array.from(
    { length: count },
    (_, i) =>
      hertz.reduce((sum, f, k) => sum + (level / (k + 1)) * Math.sin((2 * Math.PI * f * i) / rate + k), 0) *
      Math.exp(-i / rate),
  );
}
