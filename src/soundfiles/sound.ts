/**
 * Sound as read from a file: the one interface behind which the decoders stand.
 */

import type { Hertz } from '../units.ts';

export interface Sound {
  readonly sampleRate: Hertz;
  /** One array per channel, all of the same length, samples nominally within ±1. */
  readonly channels: readonly Float32Array[];
  /** How the sound was compressed with loss; null for sound as it was recorded. */
  readonly lossy: Lossy | null;
}

/** Compression that changes the sound. */
export interface Lossy {
  /** Its name for a person: `MP3`. */
  readonly codec: string;
  /** Whether the first sample is the first that was compressed; else silence of the encoder stands before it. */
  readonly startKnown: boolean;
}

export const SOUND_ERROR_CODES = [
  'empty',
  'not-audio',
  'truncated',
  'damaged',
  'bad-header',
  'unsupported',
  'not-finite',
  'bad-rate',
  'not-found',
  'unreadable',
] as const;
export type SoundErrorCode = (typeof SOUND_ERROR_CODES)[number];

/** A file that cannot be read as sound: what was found and what was expected, in words for a person. */
export class SoundFileError extends Error {
  override readonly name = 'SoundFileError';
  constructor(
    readonly code: SoundErrorCode,
    readonly found: string,
    readonly expected: string,
  ) {
    super(`${found}; expected ${expected}`);
  }
}
