/**
 * Several recordings on all cores: each in a thread of its own, as many at once as there are cores.
 *
 * What is heard does not depend on it: a recording is heard by the same code, alone.
 */

import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { pool as newPool } from 'workerpool';
import { hearRecording, type HeardRecording, type HearOptions } from './hearRecording.ts';
import { STANDARD_INPUT } from './input.ts';
import { Progress } from './progress.ts';

/** Stands beside the program, see `vite.cli.config.ts`. */
const THREAD = 'hear.js';

/**
 * Hears recordings and hands each over as soon as it and all before it are heard, in the order given.
 *
 * @param take - told one after the other; what it throws ends the rest.
 * @throws what {@link hearRecording} throws, and a fault of a thread.
 */
export async function hearAll(
  files: readonly string[],
  options: HearOptions,
  take: (heard: HeardRecording, index: number) => void | Promise<void>,
): Promise<void> {
  const progress = new Progress(files.length, 'heard');
  const threads = Math.min(availableParallelism(), files.filter((file) => file !== STANDARD_INPUT).length);
  const pool =
    threads > 1 ? newPool(join(import.meta.dirname, THREAD), { maxWorkers: threads, workerType: 'thread' }) : null;
  const hear = async (file: string): Promise<HeardRecording> => {
    // Standard input belongs to the main thread.
    const heard =
      pool && file !== STANDARD_INPUT
        ? ((await pool.exec('hear', [file, options])) as HeardRecording)
        : await hearRecording(file, options);
    progress.step(file);
    return heard;
  };
  const handed = async (heard: HeardRecording, index: number) => {
    progress.clear();
    await take(heard, index);
  };
  try {
    if (pool) {
      const running = files.map(hear);
      // One that fails is told in its turn; until then it is no fault of the program.
      for (const one of running) one.catch(() => undefined);
      for (const [i, one] of running.entries()) await handed(await one, i);
    } else for (const [i, file] of files.entries()) await handed(await hear(file), i);
  } finally {
    progress.clear();
    await pool?.terminate(true);
  }
}
