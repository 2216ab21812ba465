/**
 * Sound files: reading and writing, and one channel out of several. What other rooms may use of this one.
 */

export { browserSound, cutBrowserSound } from './browserSound.ts';
export type { BrowserSound } from './browserSound.ts';
export { HIGHEST_RATE, LOWEST_RATE, READABLE, checkRate, checkSamples } from './checks.ts';
export { lossyWords } from './lossy.ts';
export { toMono } from './mono.ts';
export type { Mono } from './mono.ts';
export { readSound } from './read.ts';
export { SOUND_ERROR_CODES, SoundFileError } from './sound.ts';
export type { Sound, SoundErrorCode } from './sound.ts';
export { writeWav } from './writeWav.ts';
export type { WavFormat } from './writeWav.ts';
export { readCuePoints, withCuePoints } from './cuePoints.ts';
export type { CuePoint } from './cuePoints.ts';
export { takeCues } from './takeCues.ts';
export { writeKept } from './writeKept.ts';
