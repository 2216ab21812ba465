/** A take's sound as it is kept (16 bit, mono) to a WAV file that holds the same numbers. */

import type { Hertz } from '../units.ts';
import { writeWav } from './writeWav.ts';

const STEPS = 32768;

/**
 * The bytes of a WAV file of 16 bits; read again they are the same samples, exactly.
 * @throws RangeError as {@link writeWav}.
 */
export function writeKept(samples: Int16Array, sampleRate: Hertz): Uint8Array<ArrayBuffer> {
  return new Uint8Array(writeWav([Float32Array.from(samples, (value) => value / STEPS)], sampleRate, 'int16'));
}
