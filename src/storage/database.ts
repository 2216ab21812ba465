/**
 * The browser's database: its layout, its connection and its transactions.
 *
 * Every shelf is an object store of entries `{ made, thing }`; `made` counts up, so that things come in the order in which they
 * were made however often they are written anew. Pieces of sound stand in a store of their own with an index that tells
 * their lengths without reading them.
 *
 * Every transaction that writes is strict: it is complete when the device has flushed it. Relaxed ones for sound would save one flush
 * every few seconds, but browsers keep large values in files of their own, and what flushes a later transaction need not flush those.
 */

import { openDB, type IDBPDatabase, type IDBPTransaction } from 'idb';
import type { Shelf } from '../record/types.ts';
import { asStoreError, closedByBrowser, gaveWay, isFull, waitsForOther } from './failures.ts';
import { StoreError, type Told } from './store.ts';

/** By what the things of a shelf can be found, beside their id. */
export const INDEXES: Readonly<Record<Shelf, readonly string[]>> = {
  pianos: [],
  visits: ['pianoId'],
  rounds: ['visitId'],
  takes: ['visitId', 'roundId'],
  templates: ['pianoId'],
  references: [],
  adjustments: ['visitId'],
  gauges: ['visitId'],
  marks: ['visitId'],
  hours: ['visitId'],
};
export const SHELF_NAMES = Object.keys(INDEXES) as Shelf[];

/** Version of the layout, not of the things: those migrate one by one as they are read. */
export const LAYOUT_VERSION = 2;

export type Place = Shelf | 'pieces';
export type Transaction<M extends IDBTransactionMode> = IDBPTransaction<unknown, string[], M>;

export interface Database {
  /**
   * Does some work in one transaction: all of it or nothing. Resolves when it is on the device.
   * @throws StoreError (as a rejection).
   */
  within<M extends 'readonly' | 'readwrite', T>(
    places: readonly Place[],
    mode: M,
    work: (transaction: Transaction<M>) => Promise<T>,
  ): Promise<T>;
  close(): void;
}

/**
 * Opens the database, making or upgrading it.
 * @throws StoreError (as a rejection) `newer` where a newer program laid it out, `failed` where the browser keeps none.
 */
export async function openDatabase(name: string, told: Told): Promise<Database> {
  let connection: Promise<IDBPDatabase> | null = null;
  let ended: StoreError | null = null;

  const open = (): Promise<IDBPDatabase> =>
    openDB(name, LAYOUT_VERSION, {
      upgrade: layOut,
      blocked: () => told.trouble?.(waitsForOther()),
      blocking: (_, wanted, event) => {
        ended = gaveWay(wanted === null);
        (event.target as IDBDatabase).close();
        told.trouble?.(ended);
      },
      terminated: () => {
        connection = null;
        told.trouble?.(closedByBrowser());
      },
    }).catch((failure: unknown) => {
      connection = null;
      throw asStoreError(failure);
    });
  const connected = (): Promise<IDBPDatabase> => {
    if (ended) throw ended;
    return (connection ??= open());
  };

  await connected();
  return {
    within: async (places, mode, work) => {
      const begin = async () => (await connected()).transaction([...places], mode, { durability: 'strict' });
      const transaction = await begin().catch((failure: unknown) => {
        if (ended || !isClosed(failure)) throw asStoreError(failure);
        // Closed between two uses, and not yet told so.
        connection = null;
        return begin().catch((again: unknown) => {
          throw asStoreError(again);
        });
      });
      return wholly(transaction, work);
    },
    close: () => {
      ended ??= new StoreError('failed', 'The record was closed', 'Open it again.');
      void connection?.then((database) => database.close());
    },
  };
}

/** Makes what is not there yet: every version so far only added shelves. */
function layOut(database: IDBPDatabase): void {
  for (const shelf of SHELF_NAMES) {
    if (database.objectStoreNames.contains(shelf)) continue;
    const store = database.createObjectStore(shelf, { keyPath: 'made', autoIncrement: true });
    store.createIndex('id', 'thing.id', { unique: true });
    for (const field of INDEXES[shelf]) store.createIndex(field, `thing.${field}`);
  }
  if (database.objectStoreNames.contains('pieces')) return;
  const pieces = database.createObjectStore('pieces', { keyPath: ['takeId', 'index'] });
  pieces.createIndex('extent', ['takeId', 'index', 'frames']);
}

async function wholly<M extends IDBTransactionMode, T>(
  transaction: Transaction<M>,
  work: (transaction: Transaction<M>) => Promise<T>,
): Promise<T> {
  const end = transaction.done.then(
    () => ({ complete: true, reason: null }),
    (reason: unknown) => ({ complete: false, reason }),
  );
  let result: T;
  try {
    result = await work(transaction);
  } catch (failure) {
    try {
      transaction.abort();
    } catch {
      // It had failed already; the reason says how.
    }
    const { reason } = await end;
    // A full device ends the transaction; its requests only know that it ended.
    throw asStoreError(isFull(reason) ? reason : failure);
  }
  const { complete, reason } = await end;
  if (!complete) throw asStoreError(reason);
  return result;
}

function isClosed(failure: unknown): boolean {
  return failure instanceof DOMException && failure.name === 'InvalidStateError';
}
