/** How much room sound takes: 16 bit, mono, not compressed. */

import type { Hertz, Seconds } from '../units.ts';

const BYTES_PER_FRAME = 2;

/**
 * Sound of a usual visit, seconds: an assumption. Two rounds of all 88 notes, each with a take of 15 s (eight strokes a second apart,
 * two fast passages of two seconds, and the pauses around them), are 44 minutes.
 */
export const USUAL_VISIT_SECONDS: Seconds = 2 * 88 * 15;

/** Bytes that sound of this length takes: at 48 kHz 5.76 million a minute. */
export function bytesOfSound(seconds: Seconds, sampleRate: Hertz): number {
  return Math.ceil(seconds * sampleRate) * BYTES_PER_FRAME;
}

/**
 * How many more visits fit into a number of bytes, rounded down; never below 0. What is kept beside the sound is not counted: the
 * strokes of a take come to less than a twentieth of its sound.
 * @param visitSeconds - sound of one visit; {@link USUAL_VISIT_SECONDS} where not said
 */
export function visitsThatFit(bytes: number, sampleRate: Hertz, visitSeconds: Seconds = USUAL_VISIT_SECONDS): number {
  return Math.max(0, Math.floor(bytes / bytesOfSound(visitSeconds, sampleRate)));
}
