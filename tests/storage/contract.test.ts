/** What every store does, held against both. */

import fc from 'fast-check';
import { beforeEach, describe, expect, it } from 'vitest';
import { newAdjustment, newVisit } from '../../src/record/newThings.ts';
import { RECORD_VERSION, type Piano, type Shelf } from '../../src/record/types.ts';
import type { Placed, Store } from '../../src/storage/store.ts';
import { SHELVES, thingsOf } from '../record/generated.ts';
import { piano, piecesOf, play, round, STORES, takeOf, visit } from './stores.ts';

describe.each(STORES)('the %s store', (_, open) => {
  let store: Store;
  beforeEach(async () => {
    store = await open();
    return () => store.close();
  });
  const ids = async (shelf: Shelf, of?: object) =>
    (await store.list(shelf, of as undefined)).map(({ id }: { readonly id: string }) => id);

  it.each(SHELVES)('%s: gives back what was put, and not the same object', async (shelf) => {
    await fc.assert(
      fc.asyncProperty(thingsOf(shelf), async (generated) => {
        const thing = shelf === 'takes' ? { ...generated, pieces: 0 } : generated;
        await store.put(shelf, thing);
        const back = await store.get(shelf, thing.id);
        expect(back).toEqual(thing);
        expect(back).not.toBe(thing);
      }),
      { numRuns: 25 },
    );
  });

  it('knows nothing of what was never put', async () => {
    expect(await store.get('pianos', 'p1')).toBeNull();
    expect(await store.list('pianos')).toEqual([]);
    expect(await store.sound('t1')).toBeNull();
    expect(await store.orphans()).toEqual([]);
    await store.dropVisit('v1');
    await store.dropSound('t1');
  });

  it('keeps fields that it does not know', async () => {
    const more: Piano = { ...piano, ...{ tuner: { since: 1990 } } };
    await store.put('pianos', more);
    expect(await store.get('pianos', 'p1')).toEqual(more);
  });

  it('lists things as they were made, however often they are put anew', async () => {
    for (const id of ['m', 'z', 'a']) await store.put('pianos', { ...piano, id });
    await store.put('pianos', { ...piano, id: 'm', name: 'Studio' });
    expect(await ids('pianos')).toEqual(['m', 'z', 'a']);
    expect((await store.list('pianos'))[0].name).toBe('Studio');
  });

  it('lists by piano, visit and round', async () => {
    await store.put('pianos', piano);
    for (const [id, pianoId] of [...'ab'].map((id) => [id, 'p1']).concat([['c', 'p2']])) {
      await store.put('visits', newVisit({ id, pianoId, startedAt: visit.startedAt }));
    }
    for (const [id, visitId] of ['1b', '2a', '3c', '4a'].map((id) => [id, id[1]])) {
      await store.put('rounds', { ...round, id, visitId });
      await store.put('takes', takeOf(`t${id}`, [], { visitId, roundId: id }));
      const at = visit.startedAt;
      await store.put('adjustments', newAdjustment({ id, visitId, midi: 60, at, afterRound: 1, what: 'jack' }));
    }
    expect(await ids('visits', { pianoId: 'p1' })).toEqual(['a', 'b']);
    expect(await ids('rounds', { visitId: 'a' })).toEqual(['2a', '4a']);
    expect(await ids('rounds', { pianoId: 'p1' })).toEqual(['1b', '2a', '4a']);
    expect(await ids('takes', { roundId: '3c' })).toEqual(['t3c']);
    expect(await ids('takes', { visitId: 'a' })).toEqual(['t2a', 't4a']);
    expect(await ids('takes', { pianoId: 'p2' })).toEqual(['t3c']);
    expect(await ids('adjustments', { pianoId: 'p1' })).toEqual(['1b', '2a', '4a']);
    expect(await ids('visits', { pianoId: 'p9' })).toEqual([]);
  });

  it('refuses what is no part of the record, and keeps what was there', async () => {
    await store.put('pianos', piano);
    const broken = { ...piano, lowest: '21' } as unknown as Piano;
    await expect(store.put('pianos', broken)).rejects.toMatchObject({
      name: 'StoreError',
      code: 'damaged',
      message: 'piano "Hall": "lowest" is "21"; expected a whole number from 0 to 127',
    });
    const newer = { ...piano, recordVersion: RECORD_VERSION + 1 } as unknown as Piano;
    await expect(store.put('pianos', newer)).rejects.toMatchObject({ code: 'newer' });
    expect(await store.list('pianos')).toEqual([piano]);
  });

  it('keeps the sound of a take, sample for sample', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.int16Array({ minLength: 1, maxLength: 50 }), { minLength: 1 }), async (sounds) => {
        for (const [index, samples] of sounds.entries()) {
          await store.addPiece({ takeId: 't1', index, samples: samples as Int16Array<ArrayBuffer> });
        }
        await store.put(
          'takes',
          takeOf(
            't1',
            sounds.map(({ length }) => length),
          ),
        );
        expect(await store.sound('t1')).toEqual(Int16Array.from(sounds.flatMap((sound) => [...sound])));
        await store.dropSound('t1');
      }),
      { numRuns: 20 },
    );
  });

  it('keeps pieces that come as part of a longer buffer or out of order, and the last of one index', async () => {
    const [first, second] = piecesOf('t1', [3, 4]);
    const long = Int16Array.from([9, ...second.samples, 9]);
    await store.addPiece({ ...second, samples: long.subarray(1, 5) });
    await store.addPiece({ ...first, samples: Int16Array.of(7) });
    await store.addPiece(first);
    long.fill(0);
    await store.put('takes', takeOf('t1', [3, 4]));
    expect([...(await store.sound('t1'))!]).toEqual([1, 2, 3, 4, 5, 6, 7]);
  });

  it.each([
    ['a piece too few', [0, 1], /2 pieces of 7 samples; expected 3 pieces of 12 samples$/],
    ['a piece left out', [0, 2], /2 pieces of 8 samples without piece 1; expected 3 pieces of 12 samples$/],
    ['none at all', [], /0 pieces of 0 samples; expected 3 pieces of 12 samples$/],
  ])('does not keep a take without all its sound: %s', async (_, indexes, message) => {
    const pieces = piecesOf('t1', [3, 4, 5]);
    for (const index of indexes) await store.addPiece(pieces[index]);
    const take = takeOf('t1', [3, 4, 5]);
    await expect(store.put('takes', take)).rejects.toMatchObject({ code: 'damaged', message });
    expect(await store.get('takes', 't1')).toBeNull();
    for (const piece of pieces) await store.addPiece(piece);
    await store.put('takes', take);
    expect(await store.sound('t1')).toHaveLength(12);
  });

  it('drops the sound of a take and keeps the take', async () => {
    const take = await play(store, 't1', [3, 4]);
    await play(store, 't10', [2]);
    await store.dropSound('t1');
    expect(await store.sound('t1')).toBeNull();
    expect(await store.get('takes', 't1')).toEqual({ ...take, pieces: 0 });
    expect(await store.sound('t10')).toHaveLength(2);
    await store.put('takes', { ...take, pieces: 0, undone: true });
    expect((await store.get('takes', 't1'))?.undone).toBe(true);
  });

  it('tells sound without a take, and drops nothing else', async () => {
    await play(store, 'a', [3, 4]);
    for (const piece of [...piecesOf('b', [5, 6]), ...piecesOf('c', [7])]) await store.addPiece(piece);
    await play(store, 'd', [1]);
    expect(await store.orphans()).toEqual([
      { takeId: 'b', pieces: 2, frames: 11 },
      { takeId: 'c', pieces: 1, frames: 7 },
    ]);
    expect(await store.sound('b')).toHaveLength(11);
    await expect(store.dropOrphan('a')).rejects.toMatchObject({ code: 'failed', message: /"a" was finished/ });
    await store.dropOrphan('b');
    expect((await store.orphans()).map(({ takeId }) => takeId)).toEqual(['c']);
    expect(await store.sound('a')).toHaveLength(7);
  });

  it('drops a visit with all that belongs to it, and nothing of others', async () => {
    await store.put('pianos', piano);
    for (const id of ['v1', 'v2']) {
      await store.put('visits', { ...visit, id });
      await store.put('rounds', { ...round, id: `r-${id}`, visitId: id });
      await play(store, `t-${id}`, [3, 4], { visitId: id, roundId: `r-${id}` });
      const at = visit.startedAt;
      await store.put('adjustments', newAdjustment({ id, visitId: id, midi: 60, at, afterRound: 1, what: 'jack' }));
    }
    await store.dropVisit('v1');
    expect(await ids('visits')).toEqual(['v2']);
    expect(await ids('rounds')).toEqual(['r-v2']);
    expect(await ids('takes')).toEqual(['t-v2']);
    expect(await ids('adjustments')).toEqual(['v2']);
    expect(await ids('pianos')).toEqual(['p1']);
    expect(await store.sound('t-v1')).toBeNull();
    expect(await store.orphans()).toEqual([]);
    expect(await store.sound('t-v2')).toHaveLength(7);
  });

  it('brings in all of many things or none, and nothing over what is here', async () => {
    await store.put('pianos', piano);
    for (const piece of piecesOf('t1', [3, 4])) await store.addPiece(piece);
    const [whole, broken] = [takeOf('t1', [3, 4]), takeOf('t2', [5])];
    const things: Placed[] = [
      { shelf: 'pianos', thing: { ...piano, name: 'Studio' } },
      { shelf: 'visits', thing: visit },
      { shelf: 'takes', thing: whole },
    ];
    await expect(store.bringIn([...things, { shelf: 'takes', thing: broken }])).rejects.toMatchObject({
      code: 'damaged',
      message: /0 pieces of 0 samples; expected 1 pieces of 5 samples$/,
    });
    const odd = { ...visit, id: 'v2', startedAt: 'Monday' };
    await expect(store.bringIn([...things, { shelf: 'visits', thing: odd }])).rejects.toMatchObject({
      code: 'damaged',
    });
    expect([await ids('visits'), await ids('takes')]).toEqual([[], []]);
    expect(await store.orphans()).toEqual([{ takeId: 't1', pieces: 2, frames: 7 }]);
    await store.bringIn(things);
    expect([await store.list('pianos'), await store.list('visits'), await store.list('takes')]).toEqual([
      [piano],
      [visit],
      [whole],
    ]);
    expect(await store.sound('t1')).toHaveLength(7);
    await store.bringIn(things);
    expect(await ids('takes')).toEqual(['t1']);
  });
});
