/** Making a folder for output. */

import { mkdir, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { systemCode } from './refusal.ts';

/**
 * Makes a folder and what is missing above it, one by one: Node's own way of making them all at once does not return under
 * a place where none can be made, such as /proc.
 * @throws the system's error if it cannot be made, or is something else.
 */
export async function makeFolder(folder: string): Promise<void> {
  const missing: string[] = [];
  let at = resolve(folder);
  while (!(await stands(at)) && dirname(at) !== at) {
    missing.unshift(at);
    at = dirname(at);
  }
  for (const path of missing) {
    await mkdir(path).catch((error: unknown) => {
      if (systemCode(error) !== 'EEXIST') throw error;
    });
  }
  if (!(await stat(folder)).isDirectory()) throw Object.assign(new Error('no folder'), { code: 'EEXIST' });
}

async function stands(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    () => false,
  );
}
