/**
 * From a name on the command line to one channel of sound.
 *
 * `-` is standard input. Everything that keeps a recording from being read comes as a `SoundFileError`, so that a
 * damaged file and a missing one take the same way to the person and into the JSON.
 */

import { readFile, stat } from 'node:fs/promises';
import { READABLE, SoundFileError, browserSound, lossyWords, readSound, toMono } from '../soundfiles/index.ts';
import type { Sound } from '../soundfiles/index.ts';
import type { Source, Warning } from '../analysis/document.ts';
import { systemCode } from './refusal.ts';

export const STANDARD_INPUT = '-';

export interface Recording {
  /** Mono. */
  readonly samples: Float32Array;
  readonly source: Source;
  /** What became of the other channels, if there were any, and what compression did to the sound. */
  readonly warnings: readonly Warning[];
}

/**
 * Reads a recording and makes one channel of it.
 * @throws SoundFileError for everything that keeps it from being read: no such file, a folder, no permission, damage.
 */
export async function readRecording(name: string): Promise<Recording> {
  const sound = await decoded(name === STANDARD_INPUT ? await standardInput() : await fileBytes(name));
  const mono = toMono(sound);
  const channels = sound.channels.length;
  const durationSeconds = mono.samples.length / sound.sampleRate;
  const warnings: Warning[] =
    channels > 1 ? [{ code: mono.how === 'mixed' ? 'channels-mixed' : 'channel-chosen', message: mono.reason }] : [];
  const lossy = lossyWords(sound);
  if (lossy) warnings.push({ code: 'lossy', message: lossy });
  return {
    samples: mono.samples,
    source: { file: name, sampleRate: sound.sampleRate, channels, durationSeconds },
    warnings,
  };
}

/** As `readSound`; what only a browser decodes is refused with that way out. */
async function decoded(bytes: Uint8Array): Promise<Sound> {
  try {
    return await readSound(bytes);
  } catch (error) {
    const foreign = error instanceof SoundFileError && error.code === 'unsupported' ? browserSound(bytes) : null;
    if (!foreign) throw error;
    throw new SoundFileError(
      'unsupported',
      `${foreign.name}, which the command line cannot decode`,
      `${READABLE}: export it as WAV or FLAC, or open it in the page, where the browser decodes it`,
    );
  }
}

async function fileBytes(name: string): Promise<Uint8Array> {
  try {
    const entry = await stat(name);
    if (entry.isDirectory()) throw new SoundFileError('unreadable', 'a folder', READABLE);
    // A disk or terminal would never end; a pipe (as a shell makes it) does.
    if (entry.isCharacterDevice() || entry.isBlockDevice()) {
      throw new SoundFileError('unreadable', 'a device', READABLE);
    }
    return await readFile(name);
  } catch (error) {
    throw error instanceof SoundFileError ? error : unreadable(error);
  }
}

async function standardInput(): Promise<Uint8Array> {
  if (process.stdin.isTTY) {
    throw new SoundFileError('unreadable', 'a terminal', `${READABLE}, piped in`);
  }
  const pieces: Uint8Array[] = [];
  try {
    for await (const piece of process.stdin) pieces.push(piece as Uint8Array);
  } catch (error) {
    throw unreadable(error);
  }
  return Buffer.concat(pieces);
}

function unreadable(error: unknown): SoundFileError {
  switch (systemCode(error)) {
    case 'ENOENT':
    case 'ENOTDIR':
      return new SoundFileError('not-found', 'no such file', READABLE);
    case 'EACCES':
    case 'EPERM':
      return new SoundFileError('unreadable', 'no permission to read it', 'a recording that may be read');
    case 'EISDIR':
      return new SoundFileError('unreadable', 'a folder', READABLE);
    case null:
      throw error;
    default:
      return new SoundFileError('unreadable', `a file that cannot be read (${(error as Error).message})`, READABLE);
  }
}
