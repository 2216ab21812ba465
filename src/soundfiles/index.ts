/**
 * Sound files: reading and writing, and one channel out of several. What other rooms may use of this one.
 */

export { readSound } from './read.ts';
export { SOUND_ERROR_CODES, SoundFileError } from './sound.ts';
export type { Sound, SoundErrorCode } from './sound.ts';
