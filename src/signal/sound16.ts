/**
 * Sound as it is kept: 16 bit, one step 1/32768. What is analysed is what is kept, so that the same numbers come out later.
 *
 * Rounding adds at most half a step, -96 dB re full scale; what came from a 16-bit converter is kept exactly.
 */

const STEPS = 32768;

/** Rounds samples to 16 bit, to the nearest step; beyond full scale they are cut off, and NaN becomes 0. */
export function toSound16(samples: Float32Array, into = new Int16Array(samples.length)): Int16Array<ArrayBuffer> {
  for (let i = 0; i < samples.length; i++) {
    const value = Math.round(samples[i] * STEPS);
    into[i] = value >= STEPS ? STEPS - 1 : value < -STEPS ? -STEPS : value;
  }
  return into;
}

/** The samples of kept sound, within -1 to 1. */
export function fromSound16(kept: Int16Array): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(kept.length);
  for (let i = 0; i < kept.length; i++) samples[i] = kept[i] / STEPS;
  return samples;
}
