/**
 * Second-order filter sections, causal, for streams.
 *
 * Coefficients after R. Bristow-Johnson, "Cookbook formulae for audio equalizer biquad filter coefficients"; direct
 * form II transposed, so that a section keeps two numbers of state. Frequencies in hertz.
 */

import type { Hertz } from '../units.ts';

/** b0 b1 b2 a1 a2, normalised by a0. */
export type Section = readonly [number, number, number, number, number];

function section(b0: number, b1: number, b2: number, a0: number, a1: number, a2: number): Section {
  return [b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0];
}

/** One low-pass section. `frequency` must lie below half the sample rate. */
export function lowPass(frequency: Hertz, q: number, sampleRate: Hertz): Section {
  const w = (2 * Math.PI * frequency) / sampleRate;
  const alpha = Math.sin(w) / (2 * q);
  const c = Math.cos(w);
  return section((1 - c) / 2, 1 - c, (1 - c) / 2, 1 + alpha, -2 * c, 1 - alpha);
}

/** One high-pass section. `frequency` must lie below half the sample rate. */
export function highPass(frequency: Hertz, q: number, sampleRate: Hertz): Section {
  const w = (2 * Math.PI * frequency) / sampleRate;
  const alpha = Math.sin(w) / (2 * q);
  const c = Math.cos(w);
  return section((1 + c) / 2, -(1 + c), (1 + c) / 2, 1 + alpha, -2 * c, 1 - alpha);
}

/** A band from `low` to `high`: a second-order high-pass and a second-order low-pass, both Butterworth. */
export function bandSections(low: Hertz, high: Hertz, sampleRate: Hertz): [Section, Section] {
  return [highPass(low, Math.SQRT1_2, sampleRate), lowPass(high, Math.SQRT1_2, sampleRate)];
}

/**
 * Filters `input` through the sections one after the other into `output` (may be the same array), from rest.
 * Causal: nothing of a sample is ever seen before it.
 */
export function filterAll(input: Float32Array, sections: readonly Section[], output: Float32Array): Float32Array {
  if (output !== input) output.set(input);
  for (const [b0, b1, b2, a1, a2] of sections) {
    let s1 = 0;
    let s2 = 0;
    for (let i = 0; i < output.length; i++) {
      const x = output[i];
      const y = b0 * x + s1;
      s1 = b1 * x - a1 * y + s2;
      s2 = b2 * x - a2 * y;
      output[i] = y;
    }
  }
  return output;
}
