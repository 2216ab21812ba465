/** What a person should know about sound that was compressed with loss. */

import type { Sound } from './sound.ts';

/** One sentence or two on a sound's compression: what it does to the measures and what to do; null without loss. */
export function lossyWords({ lossy }: Pick<Sound, 'lossy'>): string | null {
  if (!lossy) return null;
  const found = `The recording was compressed with ${lossy.codec}: faint contacts may be hidden, and pre-echo imitates them.`;
  const start = lossy.startKnown
    ? ''
    : ' How much silence was put in front is not known: all times may be off by the same few hundredths of a second.';
  return `${found}${start} Record as WAV or FLAC where you can.`;
}
