/** What stands on the shelves of this device: pianos, visits with their rounds, stored hands, and the room left. */

import type { Piano, Round, StoredReference, Visit } from '../../record/types.ts';
import type { Store } from '../../storage/store.ts';
import { keepRestoring, keptRestoring } from '../backup/unfinishedRestore.ts';

/** A visit with its piano and rounds. */
export interface VisitOnShelf {
  readonly visit: Visit;
  readonly piano: Piano;
  /** At least one, in their order. */
  readonly rounds: readonly Round[];
}

export interface Shelves {
  readonly pianos: readonly Piano[];
  readonly references: readonly StoredReference[];
  /** The newest first. */
  readonly visits: readonly VisitOnShelf[];
  readonly bytesLeft: number | null;
}

export const EMPTY_SHELVES: Shelves = { pianos: [], references: [], visits: [], bytesLeft: null };

/** Reads the shelves. @throws StoreError (as a rejection). */
export async function readShelves(store: Store): Promise<Shelves> {
  const pianos = await store.list('pianos');
  const references = await store.list('references');
  const rounds = await store.list('rounds');
  const visits = (await store.list('visits')).flatMap((visit): VisitOnShelf[] => {
    const piano = pianos.find(({ id }) => id === visit.pianoId);
    const own = rounds.filter(({ visitId }) => visitId === visit.id).sort((a, b) => a.number - b.number);
    return piano && own.length > 0 ? [{ visit, piano, rounds: own }] : [];
  });
  return { pianos, references, visits: visits.reverse(), bytesLeft: (await store.room()).left };
}

/** What is told of sound without its take: code, title, text. */
type Told = readonly [code: string, title: string, text: string];
const UNFINISHED_TAKE: Told = [
  'orphans',
  'The last take was not finished',
  'Evenfall was ended while it was played. Every finished take is kept; play that note again.',
];
const UNFINISHED_RESTORE: Told = [
  'restoring',
  'The last backup was not brought in',
  'Evenfall was ended in the midst of it. Nothing of the backup was added and nothing here was changed; bring it in again.',
];

/**
 * Removes sound without its take: the program died while the take was played, or while a backup was brought in.
 * @returns what is to be told of it; nothing where there was none.
 * @throws StoreError (as a rejection).
 */
export async function dropOrphans(store: Store): Promise<readonly Told[]> {
  // Another tab may be listening, or bringing a backup in, just now: its sound is no orphan.
  if (await anyVisitHeld()) return [];
  const orphans = await store.orphans();
  for (const { takeId } of orphans) await store.dropOrphan(takeId);
  const restoring = keptRestoring();
  keepRestoring([]);
  const restored = orphans.filter(({ takeId }) => restoring.has(takeId)).length;
  return [...(restored < orphans.length ? [UNFINISHED_TAKE] : []), ...(restored > 0 ? [UNFINISHED_RESTORE] : [])];
}

async function anyVisitHeld(): Promise<boolean> {
  const { held } = await navigator.locks.query();
  return (held ?? []).some(({ name }) => name?.startsWith('evenfall'));
}
