/**
 * From the bytes of a file to sound: by the project's own readers, and for what they leave alone (M4A and other AAC,
 * WebM) by the browser's decoder.
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
  readSound,
} from '../soundfiles/index.ts';
import type { BrowserSound, Sound } from '../soundfiles/index.ts';

/**
 * Decodes a recording.
 *
 * @param bytes - the whole file; left unchanged.
 * @throws SoundFileError (as a rejection) for whatever cannot be read, also by this browser.
 */
export async function decodeSound(bytes: Uint8Array<ArrayBuffer>): Promise<Sound> {
  try {
    return await readSound(bytes);
  } catch (error) {
    const foreign = error instanceof SoundFileError && error.code === 'unsupported' ? browserSound(bytes) : null;
    if (!foreign) throw error;
    const sound = await decodeInBrowser(foreign, bytes);
    checkSamples(sound);
    return sound;
  }
}

async function decodeInBrowser(foreign: BrowserSound, bytes: Uint8Array<ArrayBuffer>): Promise<Sound> {
  checkRate(foreign.sampleRate);
  // The browser resamples to the rate of the context, so the context gets the file's own.
  const context = new OfflineAudioContext(1, 1, foreign.sampleRate);
  // A copy, because the decoder takes the memory away.
  const decoded = await context.decodeAudioData(bytes.slice().buffer).catch(() => {
    throw new SoundFileError('unsupported', `${foreign.name}, which this browser cannot decode`, READABLE);
  });
  const channels = Array.from({ length: decoded.numberOfChannels }, (_, channel) => decoded.getChannelData(channel));
  return cutBrowserSound(foreign, channels);
}
