/** Stores with visits in them, and backups of them as files. */

import fc from 'fast-check';
import { vi } from 'vitest';
import { newAdjustment, newGaugeReading, newMark, newTemplate, newWorkTime } from '../../src/record/newThings.ts';
import type { Shelf, Shelves, Take } from '../../src/record/types.ts';
import { writeBackup, type BackupMade, type BackupOf } from '../../src/storage/backup/writeBackup.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import type { Store } from '../../src/storage/store.ts';
import { SHELVES, thingsOf } from '../record/generated.ts';
import { piano, play, round, visit } from './stores.ts';

// Every browser has it; Node only from version 21 on.
vi.stubGlobal('navigator', {});

export const MADE_AT = '2026-05-04T18:00:00Z';

/** The backup as one file. */
export async function backupOf(store: Store, what: BackupOf = 'everything'): Promise<Blob & { made: BackupMade }> {
  const parts: Uint8Array<ArrayBuffer>[] = [];
  const made = await writeBackup(store, what, { write: async (bytes) => void parts.push(bytes) }, { madeAt: MADE_AT });
  return Object.assign(new Blob(parts), { made });
}

/** All that is kept: things by shelf, and the sound of each take, in an order that does not depend on the way it came in. */
export async function allOf(store: Store): Promise<unknown> {
  const things: Partial<Record<Shelf, unknown>> = {};
  for (const shelf of SHELVES) {
    const found: { readonly id: string }[] = await store.list(shelf);
    // A backup goes visit by visit: within each the order stays, between them it may change.
    const groups = new Map<string, unknown[]>();
    for (const thing of found) {
      const group = 'visitId' in thing ? String(thing.visitId) : '';
      groups.set(group, [...(groups.get(group) ?? []), thing]);
    }
    things[shelf] = [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
  }
  const sounds: [string, readonly number[] | null][] = [];
  for (const { id } of await store.list('takes')) sounds.push([id, [...((await store.sound(id)) ?? [])]]);
  // JSON has no minus nought, and neither has a backup.
  return {
    things: JSON.parse(JSON.stringify(things)) as unknown,
    sounds: sounds.sort(([a], [b]) => (a < b ? -1 : 1)),
    orphans: await store.orphans(),
  };
}

/** A visit with a round, takes of these sounds, an adjustment and a reading. */
export async function addVisit(store: Store, id: string, takes: readonly (readonly number[])[]): Promise<void> {
  const at = visit.startedAt;
  await store.put('pianos', piano);
  await store.put('visits', { ...visit, id });
  await store.put('rounds', { ...round, id: `r-${id}`, visitId: id });
  for (const [i, lengths] of takes.entries()) {
    await play(store, `t-${id}-${i}`, lengths, { visitId: id, roundId: `r-${id}`, number: i + 1 });
  }
  await store.put(
    'adjustments',
    newAdjustment({ id: `a-${id}`, visitId: id, midi: 60, at, afterRound: 1, what: 'jack' }),
  );
  await store.put(
    'gauges',
    newGaugeReading({ id: `g-${id}`, visitId: id, midi: 60, at, when: 'before', kind: 'dip', millimetres: 9.5 }),
  );
  await store.put('marks', newMark({ id: `m-${id}`, visitId: id, midi: 60, at, kind: 'done' }));
  await store.put('hours', newWorkTime({ id: `h-${id}`, visitId: id, operation: 'jack', startedAt: at }));
}

/** A store with so many visits of two takes, and a note template. */
export async function storeWithVisits(ids: readonly string[]): Promise<Store> {
  const store = memoryStore();
  for (const id of ids) await addVisit(store, id, [[300, 400], [500]]);
  const [strokes, samples] = [[1, 2.5], Int16Array.of(1, -2, 32767, -32768)];
  const midi = 60;
  const template = { id: 'n1', pianoId: 'p1', midi, takeId: 't-v1-0', sampleRate: 44100, strokes, samples };
  await store.put('templates', newTemplate(template));
  return store;
}

type Whole = { readonly [S in Shelf]: readonly Shelves[S][] };

/** Whole records of any content the schemas allow, as JSON holds it (it has no minus nought). */
export function records(): fc.Arbitrary<{ readonly record: Whole; readonly sounds: readonly Int16Array[] }> {
  const things = Object.fromEntries(
    SHELVES.map((shelf) => [
      shelf,
      fc.uniqueArray<Shelves[Shelf], string>(thingsOf(shelf) as fc.Arbitrary<Shelves[Shelf]>, {
        maxLength: 3,
        selector: ({ id }) => id,
      }),
    ]),
  );
  return fc
    .record({
      record: fc.record(things) as unknown as fc.Arbitrary<Whole>,
      sounds: fc.array(fc.int16Array({ minLength: 10, maxLength: 60 }), { minLength: 3, maxLength: 3 }),
      pieces: fc.array(fc.nat(4), { minLength: 3, maxLength: 3 }),
    })
    .map(({ record, sounds, pieces }) => {
      const plain = Object.fromEntries(
        SHELVES.map((shelf) => [
          shelf,
          (record[shelf] as readonly Shelves[Shelf][]).map((thing) => {
            const { samples, ...rest } = thing as Shelves['templates'];
            const copy = JSON.parse(JSON.stringify(rest)) as object;
            return samples === undefined ? copy : { ...copy, samples };
          }),
        ]),
      ) as unknown as Whole;
      const visitId = plain.rounds[0]?.visitId ?? plain.visits[0]?.id;
      // Every take belongs to a round, and that to a visit.
      const takes =
        visitId === undefined
          ? []
          : plain.takes.map((take, i) => ({ ...take, visitId, frames: sounds[i].length, pieces: pieces[i] }));
      return { record: { ...plain, takes }, sounds };
    });
}

/** Puts a generated record into a store. */
export async function fill(store: Store, { record, sounds }: { record: Whole; sounds: readonly Int16Array[] }) {
  for (const shelf of SHELVES.filter((each) => each !== 'takes')) {
    for (const thing of record[shelf]) await store.put(shelf, thing as never);
  }
  for (const [i, take] of (record.takes as readonly Take[]).entries()) {
    for (let index = 0; index < take.pieces; index++) {
      const last = index === take.pieces - 1;
      await store.addPiece({
        takeId: take.id,
        index,
        samples: sounds[i].slice(index * 3, last ? undefined : index * 3 + 3) as Int16Array<ArrayBuffer>,
      });
    }
    await store.put('takes', take);
  }
}

/** The bytes with one changed. */
export function flipped(bytes: Uint8Array<ArrayBuffer>, at: number, bits: number): Blob {
  const copy = bytes.slice();
  copy[at] ^= bits;
  return new Blob([copy]);
}
