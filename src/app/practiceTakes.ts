/** The practice takes that come with the page. Their titles are their file names, read as words. */

import { wordsWithNotes, type Words } from './words.ts';

/** One practice take: where it lies, and what it is called. */
export interface PracticeTake {
  readonly file: string;
  readonly url: string;
  readonly title: Words;
}

const addresses = import.meta.glob<string>('../../samples/*.flac', { query: '?url', eager: true, import: 'default' });

/** All practice takes, in the order of their file names. */
export const PRACTICE_TAKES: readonly PracticeTake[] = Object.entries(addresses)
  .sort(([a], [b]) => (a < b ? -1 : 1))
  .map(([path, url]) => {
    const file = path.slice(path.lastIndexOf('/') + 1);
    return { file, url, title: wordsWithNotes(file.replace(/\.flac$/, '').replace(/^\d+-/, '')) };
  });

/**
 * The bytes of a practice take.
 * @throws Error (as a rejection) naming the answer, if it is not there.
 */
export async function fetchPracticeTake(take: PracticeTake): Promise<ArrayBuffer> {
  const response = await fetch(take.url);
  if (!response.ok) throw new Error(`${response.status} ${response.statusText}`.trim());
  return response.arrayBuffer();
}
