/** Several recordings read in turn, into the takes of one round. */

import type { Warning } from '../analysis/document.ts';
import type { RecordedTake } from '../analysis/recordedTakes.ts';
import { openTake, Refusal, takesOf, type OpenedTake, type Progress } from './openTake.ts';

/** What a round is made of: the takes of one recording, in order of time. */
export interface Recording {
  readonly file: string;
  /** What was said of the file as such. */
  readonly warnings: readonly Warning[];
  /** At least one. */
  readonly takes: readonly RecordedTake[];
}

/** Recordings that can be made a round, and those that cannot, each with why. */
export interface ReadRecordings {
  readonly recordings: readonly Recording[];
  readonly left: readonly Refusal[];
}

/** Which file of how many is being read, and how far it has come. */
export interface FileProgress {
  /** From 1. */
  readonly number: number;
  readonly of: number;
  readonly file: string;
  readonly progress: Progress | null;
}

/**
 * Parts an opened recording into takes.
 * @throws Refusal (as a rejection) where no take of a piano's note is in it, or the analysis cannot run; `signal` as there.
 */
export async function recordingOf(
  opened: OpenedTake,
  signal: AbortSignal,
  told: (progress: Progress) => void,
): Promise<Recording> {
  const { file } = opened.analysis.source;
  const takes = await takesOf(opened, signal, told);
  if (takes.length === 0) {
    throw new Refusal(file, 'no piano strokes', 'a note played slowly eight times, letting the key right up');
  }
  return { file, warnings: opened.analysis.warnings, takes };
}

/**
 * Reads the files one after the other; one that cannot be read keeps no other from it.
 * @param signal gives up all of them: the promise rejects with its reason.
 */
export async function readRecordings(
  files: readonly File[],
  signal: AbortSignal,
  told: (progress: FileProgress) => void,
): Promise<ReadRecordings> {
  const recordings: Recording[] = [];
  const left: Refusal[] = [];
  for (const [i, file] of files.entries()) {
    const say = (progress: Progress | null) => told({ number: i + 1, of: files.length, file: file.name, progress });
    say(null);
    try {
      const opened = await openTake(file.name, () => file.arrayBuffer(), signal, say);
      recordings.push(await recordingOf(opened, signal, say));
    } catch (error) {
      signal.throwIfAborted();
      left.push(refusalOf(file.name, error));
    }
  }
  return { recordings, left };
}

/** Whatever kept a file from being heard, as a refusal. */
export function refusalOf(file: string, error: unknown): Refusal {
  return error instanceof Refusal ? error : new Refusal(file, String(error), 'a readable recording');
}
