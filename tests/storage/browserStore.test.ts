/** What only a lasting store has: the end of the program, a full device, damage, other versions, other tabs. */

import { forceCloseDatabase } from 'fake-indexeddb';
import { openDB, type IDBPDatabase } from 'idb';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { MIGRATIONS, type Migrations } from '../../src/record/check.ts';
import { newMark } from '../../src/record/newThings.ts';
import { openBrowserStore } from '../../src/storage/browserStore.ts';
import { INDEXES, LAYOUT_VERSION } from '../../src/storage/database.ts';
import { openStore } from '../../src/storage/openStore.ts';
import type { StoreError, Told } from '../../src/storage/store.ts';
import { browser, freshName, piano, piecesOf, play, STORES, takeOf, visit } from './stores.ts';

afterEach(() => vi.restoreAllMocks());

/** Does something to the database itself, past the store. */
async function behind<T>(name: string, act: (database: IDBPDatabase) => Promise<T>): Promise<T> {
  const database = await openDB(name, LAYOUT_VERSION);
  const result = await act(database);
  database.close();
  return result;
}

/** Collects what a store tells. */
function listening() {
  const leftOut: [string, string | null, string][] = [];
  const trouble: StoreError[] = [];
  const told: Told = {
    leftOut: (shelf, id, { code }) => leftOut.push([shelf, id, code]),
    trouble: (error) => trouble.push(error),
  };
  return { told, leftOut, trouble };
}

describe('the end of the program', () => {
  it('in mid-take leaves every finished take, and the sound of the broken one as orphan', async () => {
    const name = freshName();
    const before = await browser({ name });
    await before.put('visits', visit);
    const first = await play(before, 't1', [3, 4]);
    const second = await play(before, 't2', [5], { number: 2 });
    for (const piece of piecesOf('t3', [6, 7])) await before.addPiece(piece);
    // Not closed: a program that dies closes nothing.

    const after = await browser({ name });
    expect(await after.list('takes', { visitId: 'v1' })).toEqual([first, second]);
    expect([...(await after.sound('t1'))!]).toEqual([1, 2, 3, 4, 5, 6, 7]);
    expect(await after.orphans()).toEqual([{ takeId: 't3', pieces: 2, frames: 13 }]);
    expect(await after.get('takes', 't3')).toBeNull();
  });

  it('in mid-write leaves the thing as it was', async () => {
    const name = freshName();
    const before = await browser({ name });
    const take = await play(before, 't1', [3, 4]);
    const put = IDBObjectStore.prototype.put;
    vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...args) {
      const request = put.apply(this, args);
      this.transaction.abort();
      return request;
    });
    await expect(before.put('takes', { ...take, undone: true })).rejects.toMatchObject({ code: 'failed' });
    await expect(before.dropSound('t1')).rejects.toMatchObject({ code: 'failed' });
    vi.restoreAllMocks();
    const after = await browser({ name });
    expect(await after.get('takes', 't1')).toEqual(take);
    expect(await after.sound('t1')).toHaveLength(7);
  });

  it('cannot come between a take and what was said to be kept: writes are strict, and a take waits for its pieces', async () => {
    const transaction = vi.spyOn(IDBDatabase.prototype, 'transaction');
    const store = await browser();
    // None of these is waited for: the take's transaction begins while its pieces are still being written.
    const writes = [
      ...piecesOf('t1', [300, 400, 500]).map(store.addPiece),
      store.put('takes', takeOf('t1', [300, 400, 500])),
    ];
    await Promise.all(writes);
    expect(await store.sound('t1')).toHaveLength(1200);
    const writing = transaction.mock.calls.filter(([, mode]) => mode === 'readwrite');
    expect(writing).toHaveLength(4);
    expect(writing.map(([, , options]) => options)).toEqual(writing.map(() => ({ durability: 'strict' })));
  });
});

describe('a full device', () => {
  /** From now on the device is full, as browsers say it: the transaction ends, its requests only know that it ended. */
  function fill() {
    const put = IDBObjectStore.prototype.put;
    return vi.spyOn(IDBObjectStore.prototype, 'put').mockImplementation(function (this: IDBObjectStore, ...args) {
      const request = put.apply(this, args);
      (this.transaction as unknown as { _abort(name: string): void })._abort('QuotaExceededError');
      return request;
    });
  }

  it('is said with a remedy, loses nothing, and is over when there is room', async () => {
    const store = await browser();
    const take = await play(store, 't1', [3, 4]);
    const full = fill();
    const pieces = piecesOf('t2', [5]);
    const said = { name: 'StoreError', code: 'full', remedy: /drop the sound of earlier visits/ };
    await expect(store.addPiece(pieces[0])).rejects.toMatchObject(said);
    await expect(store.put('takes', { ...take, undone: true })).rejects.toMatchObject(said);
    full.mockRestore();
    expect(await store.get('takes', 't1')).toEqual(take);
    expect(await store.sound('t1')).toHaveLength(7);
    await store.addPiece(pieces[0]);
    await store.put('takes', takeOf('t2', [5]));
    expect(await store.list('takes')).toHaveLength(2);
  });

  it('leaves a way out: the take kept in memory', async () => {
    const store = await browser();
    fill();
    const [, openMemory] = STORES[1];
    const memory = await openMemory();
    for (const piece of piecesOf('t1', [3, 4])) {
      await store.addPiece(piece).catch(() => memory.addPiece(piece));
    }
    await memory.put('takes', takeOf('t1', [3, 4]));
    expect(await memory.sound('t1')).toHaveLength(7);
    expect(await memory.room()).toEqual({ used: 14, left: null });
  });
});

describe('damage and other versions', () => {
  it('hides no other thing, is told, and is refused by name when asked for', async () => {
    const name = freshName();
    const { told, leftOut } = listening();
    const store = await browser({ name, told });
    for (const id of ['a', 'b', 'c', 'd']) await store.put('visits', { ...visit, id });
    await behind(name, async (database) => {
      const entries = (await database.getAll('visits')) as { made: number; thing: object }[];
      await database.put('visits', { ...entries[0], thing: { ...entries[0].thing, startedAt: 'Monday' } });
      await database.put('visits', {
        ...entries[1],
        thing: { ...entries[1].thing, recordVersion: RECORD_VERSION + 1 },
      });
      await database.add('visits', { thing: 'rubbish' });
    });
    expect((await store.list('visits')).map(({ id }) => id)).toEqual(['c', 'd']);
    expect(leftOut).toEqual([
      ['visits', 'a', 'damaged'],
      ['visits', 'b', 'newer'],
      ['visits', null, 'damaged'],
    ]);
    await expect(store.get('visits', 'a')).rejects.toMatchObject({
      code: 'damaged',
      message: /^visit "a": "startedAt" is "Monday"; expected a time in UTC/,
    });
    await expect(store.get('visits', 'b')).rejects.toMatchObject({
      code: 'newer',
      message: `visit "b": made by a newer Evenfall (version ${RECORD_VERSION + 1} of the record; this one knows ${RECORD_VERSION})`,
    });
  });

  it('does not write over what a newer program made', async () => {
    const name = freshName();
    const store = await browser({ name });
    await store.put('pianos', piano);
    await behind(name, (database) =>
      database.put('pianos', { made: 1, thing: { ...piano, recordVersion: RECORD_VERSION + 1 } }),
    );
    await expect(store.put('pianos', { ...piano, name: 'Studio' })).rejects.toMatchObject({ code: 'newer' });
    const kept = await behind(name, (database) => database.get('pianos', 1));
    expect(kept).toEqual({ made: 1, thing: { ...piano, recordVersion: RECORD_VERSION + 1 } });
  });

  it('gains the shelves of a later layout, and keeps all that was there', async () => {
    const name = freshName();
    const first = await openDB(name, 1, {
      upgrade: (database) => {
        for (const shelf of ['pianos', 'visits'] as const) {
          const made = database.createObjectStore(shelf, { keyPath: 'made', autoIncrement: true });
          made.createIndex('id', 'thing.id', { unique: true });
          for (const field of INDEXES[shelf]) made.createIndex(field, `thing.${field}`);
        }
      },
    });
    await first.add('visits', { thing: visit });
    first.close();
    const store = await browser({ name });
    expect(await store.list('visits')).toEqual([visit]);
    const mark = newMark({ id: 'm1', visitId: visit.id, midi: 60, at: visit.startedAt, kind: 'done' });
    await store.put('marks', mark);
    expect(await store.list('marks', { visitId: visit.id })).toEqual([mark]);
  });

  it('brings older things up to date on reading', async () => {
    const name = freshName();
    const migrations: Migrations = { 0: { pianos: ({ title, ...rest }) => ({ ...rest, name: title }) }, ...MIGRATIONS };
    const store = await browser({ name, migrations });
    const { name: title, ...rest } = piano;
    await behind(name, (database) => database.add('pianos', { thing: { ...rest, recordVersion: 0, title } }));
    expect(await store.get('pianos', 'p1')).toEqual(piano);
    expect(await store.list('pianos')).toEqual([piano]);
  });

  it('tells a take whose sound was damaged', async () => {
    const name = freshName();
    const store = await browser({ name });
    await play(store, 't1', [3, 4]);
    await behind(name, (database) => database.delete('pieces', ['t1', 0]));
    await expect(store.sound('t1')).rejects.toMatchObject({ code: 'damaged', message: /without piece 0; expected 2/ });
    await behind(name, (database) => database.put('pieces', { takeId: 't1', index: 0, frames: 3, samples: [1, 2, 3] }));
    await expect(store.sound('t1')).rejects.toMatchObject({
      message: /"samples" is a list; expected samples of 16 bit/,
    });
  });

  it('refuses a database that a newer program laid out, and changes nothing of it', async () => {
    const name = freshName();
    const newer = await openDB(name, LAYOUT_VERSION + 1, {
      upgrade: (database) => void database.createObjectStore('odd'),
    });
    newer.close();
    await expect(openBrowserStore({ name })).rejects.toMatchObject({ code: 'newer', remedy: /nothing was changed/ });
    const { store, passing } = await openStore({ name });
    expect(passing).toMatchObject({ code: 'newer' });
    await store.put('pianos', piano);
    expect(await store.get('pianos', 'p1')).toEqual(piano);
  });
});

describe('other tabs and the browser', () => {
  it('gives way to a newer program, and says so from then on', async () => {
    const name = freshName();
    const { told, trouble } = listening();
    const store = await browser({ name, told });
    await store.put('pianos', piano);
    const newer = await openDB(name, LAYOUT_VERSION + 1);
    expect(trouble.map(({ code, message }) => [code, message])).toEqual([
      ['blocked', 'A newer Evenfall in another tab has taken over the record'],
    ]);
    await expect(store.get('pianos', 'p1')).rejects.toBe(trouble[0]);
    newer.close();
  });

  it('opens the database anew when the browser closed it', async () => {
    const name = freshName();
    const { told, trouble } = listening();
    const open = vi.spyOn(indexedDB, 'open');
    const store = await browser({ name, told });
    await store.put('pianos', piano);
    const [{ value }] = open.mock.results;
    const raw = (value as IDBOpenDBRequest).result;
    raw.close();
    expect(await store.get('pianos', 'p1')).toEqual(piano);
    expect(open).toHaveBeenCalledTimes(2);
    const second = (open.mock.results[1].value as IDBOpenDBRequest).result;
    forceCloseDatabase(second as unknown as Parameters<typeof forceCloseDatabase>[0]);
    await vi.waitFor(() => expect(trouble).toHaveLength(1));
    expect(trouble.map(({ message }) => message)).toEqual(['The browser closed the record by itself']);
    expect(await store.get('pianos', 'p1')).toEqual(piano);
    expect(open).toHaveBeenCalledTimes(3);
  });

  it('does nothing more once it is closed', async () => {
    const store = await browser();
    store.close();
    await expect(store.list('pianos')).rejects.toMatchObject({ code: 'failed', message: 'The record was closed' });
  });

  it('is memory where the browser keeps nothing, with the reason', async () => {
    vi.spyOn(indexedDB, 'open').mockImplementation(() => {
      throw new DOMException('denied', 'SecurityError');
    });
    const { store, passing } = await openStore({ name: freshName() });
    expect(passing).toMatchObject({ code: 'failed', message: /SecurityError: denied/ });
    await play(store, 't1', [3]);
    expect(await store.sound('t1')).toHaveLength(3);
  });
});
