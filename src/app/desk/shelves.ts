/** What stands on the shelves of this device: pianos, visits with their rounds, stored hands, and the room left. */

import type { Piano, Round, StoredReference, Visit } from '../../record/types.ts';
import type { Store } from '../../storage/store.ts';

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

/** What is told where there was such sound: code, title, text. */
export const ORPHANS = [
  'orphans',
  'The last take was not finished',
  'Evenfall was ended while it was played. Every finished take is kept; play that note again.',
] as const;

/**
 * Removes the sound of takes that were never finished: the program died while they were played. Whether there was any.
 * @throws StoreError (as a rejection).
 */
export async function dropOrphans(store: Store): Promise<boolean> {
  const orphans = await store.orphans();
  // Another tab may be listening just now: its running take is no orphan.
  if (orphans.length === 0 || (await anyVisitHeld())) return false;
  for (const { takeId } of orphans) await store.dropOrphan(takeId);
  return true;
}

async function anyVisitHeld(): Promise<boolean> {
  const { held } = await navigator.locks.query();
  return (held ?? []).some(({ name }) => name?.startsWith('evenfall'));
}
