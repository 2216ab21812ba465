/** The record in the browser's own database (IndexedDB). */

import type { Migrations } from '../record/check.ts';
import { RECORD_VERSION, type Shelf, type Shelves, type Take } from '../record/types.ts';
import { checked, checkedPiece, passing } from './checking.ts';
import { INDEXES, openDatabase, SHELF_NAMES, type Database, type Transaction } from './database.ts';
import type { Of, Store, Told } from './store.ts';
import { askWhole, finishedTake, joined, unfinished, type PieceExtent } from './takeSound.ts';

export interface BrowserStoreOptions {
  /** Of the database. */
  readonly name?: string;
  readonly told?: Told;
  /** Steps from older versions, where they are not the record's own. */
  readonly migrations?: Migrations;
}

/**
 * Opens the record of this browser, making it at the first time.
 * @throws StoreError (as a rejection) where the browser keeps nothing (`failed`) or a newer program laid it out (`newer`).
 */
export async function openBrowserStore(options: BrowserStoreOptions = {}): Promise<Store> {
  const { name = 'evenfall', told = {}, migrations } = options;
  const database = await openDatabase(name, told);

  return {
    put: async (shelf, thing) => {
      const good = checked(shelf, thing, migrations);
      await database.within(shelf === 'takes' ? ['takes', 'pieces'] : [shelf], 'readwrite', async (transaction) => {
        // One transaction: the take is on the device only with all its sound, which earlier ones have put there.
        if (shelf === 'takes') askWhole(good as Take, await extentsOf(transaction, good.id));
        await write(transaction, shelf, good);
      });
    },
    get: async (shelf, id) => {
      const entry = await database.within([shelf], 'readonly', (transaction) => find(transaction, shelf, id));
      return entry === null ? null : checked(shelf, entry.thing, migrations);
    },
    list: async (shelf, of) => {
      const entries = await entriesOf(database, shelf, of);
      entries.sort((a, b) => a.made - b.made);
      return passing(
        shelf,
        entries.map(({ thing }) => thing),
        told,
        migrations,
      );
    },
    addPiece: async (piece) => {
      const { takeId, index, samples } = checkedPiece(piece);
      // A view's whole buffer would be kept with it.
      const own = samples.byteLength === samples.buffer.byteLength ? samples : samples.slice();
      await database.within(['pieces'], 'readwrite', (transaction) =>
        transaction.objectStore('pieces').put({ takeId, index, frames: own.length, samples: own }),
      );
    },
    sound: async (takeId) => {
      const [entry, kept] = await database.within(['takes', 'pieces'], 'readonly', async (transaction) => [
        await find(transaction, 'takes', takeId),
        (await transaction.objectStore('pieces').getAll(ofTake(takeId))) as unknown[],
      ]);
      const pieces = kept.map(checkedPiece);
      const extents = pieces.map(({ index, samples }) => ({ takeId, index, frames: samples.length }));
      if (entry) askWhole(checked('takes', entry.thing, migrations), extents);
      return pieces.length === 0 ? null : joined(pieces);
    },
    dropSound: (takeId) =>
      database.within(['takes', 'pieces'], 'readwrite', async (transaction) => {
        const entry = await find(transaction, 'takes', takeId);
        if (entry) await write(transaction, 'takes', { ...checked('takes', entry.thing, migrations), pieces: 0 });
        await transaction.objectStore('pieces').delete(ofTake(takeId));
      }),
    orphans: () =>
      database.within(['takes', 'pieces'], 'readonly', async (transaction) => {
        const extents: PieceExtent[] = [];
        let cursor = await transaction.objectStore('pieces').index('extent').openKeyCursor();
        while (cursor) {
          const extent = extentFrom(cursor.key);
          const finished = await find(transaction, 'takes', extent.takeId);
          if (!finished) extents.push(extent);
          cursor = finished ? await cursor.continue([extent.takeId, []]) : await cursor.continue();
        }
        return unfinished(extents, new Set());
      }),
    dropOrphan: (takeId) =>
      database.within(['takes', 'pieces'], 'readwrite', async (transaction) => {
        if (await find(transaction, 'takes', takeId)) throw finishedTake(takeId);
        await transaction.objectStore('pieces').delete(ofTake(takeId));
      }),
    dropVisit: (visitId) =>
      database.within([...SHELF_NAMES, 'pieces'], 'readwrite', async (transaction) => {
        let take = await transaction.objectStore('takes').index('visitId').openCursor(visitId);
        while (take) {
          const id = idOf(take.value as Entry);
          if (id !== null) await transaction.objectStore('pieces').delete(ofTake(id));
          take = await take.continue();
        }
        for (const shelf of SHELF_NAMES.filter((each) => INDEXES[each].includes('visitId'))) {
          const store = transaction.objectStore(shelf);
          for (const made of await store.index('visitId').getAllKeys(visitId)) await store.delete(made);
        }
        const visit = await find(transaction, 'visits', visitId);
        if (visit) await transaction.objectStore('visits').delete(visit.made);
      }),
    bringIn: async (things) => {
      const good = things.map(({ shelf, thing }) => ({ shelf, thing: checked(shelf, thing, migrations) }));
      await database.within([...SHELF_NAMES, 'pieces'], 'readwrite', async (transaction) => {
        for (const { shelf, thing } of good) {
          if (await find(transaction, shelf, thing.id)) continue;
          if (shelf === 'takes') askWhole(thing as Take, await extentsOf(transaction, thing.id));
          await transaction.objectStore(shelf).put({ thing });
        }
      });
    },
    room: async () => {
      const { usage, quota } = await (navigator.storage?.estimate?.() ?? {});
      return {
        used: usage ?? null,
        left: usage === undefined || quota === undefined ? null : Math.max(0, quota - usage),
      };
    },
    close: () => database.close(),
  };
}

/**
 * Asks the browser to keep the record even when the device runs short.
 * @returns whether it will; null where it does not say.
 */
export async function persist(): Promise<boolean | null> {
  if (!navigator.storage?.persist) return null;
  return (await navigator.storage.persisted()) || navigator.storage.persist();
}

/** What stands in a shelf; `thing` is not checked. */
interface Entry {
  readonly made: number;
  readonly thing: unknown;
}

type Reading = Transaction<'readonly'> | Transaction<'readwrite'>;

async function find(transaction: Reading, shelf: Shelf, id: string): Promise<Entry | null> {
  return ((await transaction.objectStore(shelf).index('id').get(id)) as Entry | undefined) ?? null;
}

/** Writes a thing in the place that it has, or at the end. What a newer program made is not written over. */
async function write<S extends Shelf>(
  transaction: Transaction<'readwrite'>,
  shelf: S,
  thing: Shelves[S],
): Promise<void> {
  const before = await find(transaction, shelf, thing.id);
  if (before && versionOf(before.thing) > RECORD_VERSION) checked(shelf, before.thing);
  await transaction.objectStore(shelf).put(before ? { made: before.made, thing } : { thing });
}

/** Entries of a shelf, in no order; of a piano's visits where the shelf does not know the piano. */
function entriesOf(database: Database, shelf: Shelf, of: Of | undefined): Promise<Entry[]> {
  return database.within(shelf === 'visits' ? ['visits'] : ['visits', shelf], 'readonly', async (transaction) => {
    const store = transaction.objectStore(shelf);
    if (of === undefined) return (await store.getAll()) as Entry[];
    const [[field, id]] = Object.entries(of);
    if (INDEXES[shelf].includes(field)) return (await store.index(field).getAll(id)) as Entry[];
    const visits = (await transaction.objectStore('visits').index(field).getAll(id)) as Entry[];
    const found: Entry[][] = [];
    for (const id of visits.map(idOf)) {
      if (id !== null) found.push((await store.index('visitId').getAll(id)) as Entry[]);
    }
    return found.flat();
  });
}

/** Lengths of a take's pieces, by index, without reading their sound. */
async function extentsOf(transaction: Reading, takeId: string): Promise<PieceExtent[]> {
  const extents: PieceExtent[] = [];
  let cursor = await transaction.objectStore('pieces').index('extent').openKeyCursor(ofTake(takeId));
  while (cursor) {
    extents.push(extentFrom(cursor.key));
    cursor = await cursor.continue();
  }
  return extents;
}

function extentFrom(key: IDBValidKey): PieceExtent {
  const [takeId, index, frames] = key as [string, number, number];
  return { takeId, index, frames };
}

/** All keys that begin with a take's id: lists sort after numbers. */
function ofTake(takeId: string): IDBKeyRange {
  return IDBKeyRange.bound([takeId], [takeId, []]);
}

/** The id of an entry; null where it is so damaged that it has none. */
function idOf({ thing }: Entry): string | null {
  const { id } = thing as { readonly id?: unknown };
  return typeof id === 'string' ? id : null;
}

function versionOf(thing: unknown): number {
  return (thing as { readonly recordVersion: number }).recordVersion;
}
