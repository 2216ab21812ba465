/**
 * Sound that only the browser decodes (M4A and other AAC, WebM), which it does in the page alone.
 *
 * A browser decodes what it can of a damaged file and says nothing; the project's readers do not. So theirs come first.
 */

import {
  READABLE,
  SoundFileError,
  browserSound,
  checkRate,
  checkSamples,
  cutBrowserSound,
} from '../soundfiles/index.ts';
import type { Sound } from '../soundfiles/index.ts';

/**
 * Decodes a recording that the project's readers leave to the browser.
 *
 * @param bytes - the whole file; left unchanged.
 * @throws SoundFileError (as a rejection) for whatever this browser cannot read.
 */
export async function decodeInBrowser(bytes: Uint8Array<ArrayBuffer>): Promise<Sound> {
  const foreign = browserSound(bytes);
  if (!foreign) throw new SoundFileError('unsupported', 'an unknown format', READABLE);
  checkRate(foreign.sampleRate);
  // The browser resamples to the rate of the context, so the context gets the file's own.
  const context = new OfflineAudioContext(1, 1, foreign.sampleRate);
  // A copy, because the decoder takes the memory away.
  const decoded = await context.decodeAudioData(bytes.slice().buffer).catch(() => {
    throw new SoundFileError('unsupported', `${foreign.name}, which this browser cannot decode`, READABLE);
  });
  const channels = Array.from({ length: decoded.numberOfChannels }, (_, channel) => decoded.getChannelData(channel));
  const sound = cutBrowserSound(foreign, channels);
  checkSamples(sound);
  return sound;
}
