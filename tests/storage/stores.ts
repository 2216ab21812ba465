/** Both stores, opened fresh, for tests that hold them to one contract. */

import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { newPiano, newRound, newTake, newVisit } from '../../src/record/newThings.ts';
import type { Take } from '../../src/record/types.ts';
import { openBrowserStore, type BrowserStoreOptions } from '../../src/storage/browserStore.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import type { Store } from '../../src/storage/store.ts';
import { thingsOf } from '../record/generated.ts';

let opened = 0;
/** A name that no test has used. */
export const freshName = () => `evenfall-test-${opened++}`;

export const browser = (options: BrowserStoreOptions = {}): Promise<Store> =>
  openBrowserStore({ name: freshName(), ...options });

export const STORES: readonly (readonly [string, () => Promise<Store>])[] = [
  ['browser', () => browser()],
  ['memory', async () => memoryStore()],
];

const at = '2026-05-04T09:30:00Z';
export const piano = newPiano({ id: 'p1', name: 'Hall' });
export const visit = newVisit({ id: 'v1', pianoId: 'p1', startedAt: at });
export const round = newRound({ id: 'r1', visitId: 'v1', number: 1, startedAt: at });

const [{ heard }] = fc.sample(thingsOf('takes'), { numRuns: 1, seed: 1 });

/** A take with pieces of sound of these lengths. */
export function takeOf(id: string, lengths: readonly number[], more: Partial<Take> = {}): Take {
  const frames = lengths.reduce((sum, length) => sum + length, 0);
  return newTake({
    ...{ id, visitId: 'v1', roundId: 'r1', number: 1, midi: 60, startedAt: at, sampleRate: 48000 },
    ...{ frames, pieces: lengths.length, heard },
    ...more,
  });
}

/** Its pieces: samples count on from 1 through the take. */
export function piecesOf(takeId: string, lengths: readonly number[]) {
  let next = 1;
  return lengths.map((length, index) => ({ takeId, index, samples: Int16Array.from({ length }, () => next++) }));
}

/** Plays a take into a store: pieces first, then the take. */
export async function play(store: Store, id: string, lengths: readonly number[], more?: Partial<Take>): Promise<Take> {
  for (const piece of piecesOf(id, lengths)) await store.addPiece(piece);
  const take = takeOf(id, lengths, more);
  await store.put('takes', take);
  return take;
}
