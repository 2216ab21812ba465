/**
 * Where results go: standard output, or the file of `--output`.
 */

import { realpath, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { ClosedPipe, Refusal, systemCode } from './refusal.ts';

/** Takes text in pieces; `close` before the command ends. */
export interface Output {
  write(text: string): Promise<void>;
  close(): Promise<void>;
}

/**
 * Opens standard output, or for a `path` a file that is written whole at the end: a run that breaks off leaves what
 * was there before.
 *
 * @param inputs - files that are read, and so must not be written
 * @throws Refusal if the file is one of the inputs or its folder does not exist; when writing, if that cannot be done.
 *   ClosedPipe when nobody reads standard output any more.
 */
export async function openOutput(path: string | undefined, inputs: readonly string[] = []): Promise<Output> {
  if (path === undefined) return { write: toStandardOutput, close: async () => {} };
  await checkPlace(path, inputs);
  const pieces: string[] = [];
  return {
    write: async (text) => void pieces.push(text),
    close: () => toFile(path, pieces.join('')),
  };
}

/**
 * Writes a file whole.
 * @throws Refusal if that cannot be done.
 */
export async function toFile(path: string, content: string | Uint8Array): Promise<void> {
  try {
    await writeFile(path, content);
  } catch (error) {
    throw unwritable(path, error);
  }
}

/** The refusal for output that cannot be written; any other error as it is. */
export function unwritable(name: string, error: unknown): unknown {
  const found: Readonly<Record<string, string>> = {
    ENOENT: 'its folder does not exist',
    ENOTDIR: 'its folder does not exist',
    EACCES: 'no permission to write there',
    EPERM: 'no permission to write there',
    EROFS: 'no permission to write there',
    EISDIR: 'a folder',
    EEXIST: 'something else of that name',
    ENOSPC: 'no room left to write',
  };
  const code = systemCode(error);
  if (code === null) return error;
  return new Refusal(name, found[code] ?? `cannot be written (${(error as Error).message})`, 'a place to write to');
}

/**
 * Makes sure that a file may be written at `path`.
 * @throws Refusal if its folder does not exist or it is one of the inputs.
 */
export async function checkPlace(path: string, inputs: readonly string[]): Promise<void> {
  try {
    await realpath(dirname(path));
  } catch (error) {
    throw unwritable(path, error);
  }
  const place = await whereIs(path);
  for (const input of inputs) {
    if (place !== null && place === (await whereIs(input))) {
      throw new Refusal(path, 'one of the files to read', 'another file to write to');
    }
  }
}

async function whereIs(path: string): Promise<string | null> {
  return realpath(path).catch(() => null);
}

let listening = false;

function toStandardOutput(text: string): Promise<void> {
  if (!listening) {
    // Each write hears of its own error below; without a listener the stream would end the program by itself.
    process.stdout.on('error', () => {});
    listening = true;
  }
  return new Promise((resolve, reject) => {
    process.stdout.write(text, (error) => {
      if (!error) resolve();
      else reject(systemCode(error) === 'EPIPE' ? new ClosedPipe() : unwritable('standard output', error));
    });
  });
}
