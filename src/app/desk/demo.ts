/** The demo visit: an invented piano, computed, heard and judged as any other. It stands in memory only; nothing of it is kept. */

import type { Piano, Take, Visit } from '../../record/types.ts';
import type { VisitThings } from '../../report/visit.ts';
import { memoryStore } from '../../storage/memoryStore.ts';
import type { Store } from '../../storage/store.ts';

/** Addresses of the visit and of its takes' sounds, by path. */
const FILES = import.meta.glob<string>('../../../samples/demo/*', { query: '?url', import: 'default', eager: true });
const FOLDER = '../../../samples/demo/';

type DemoVisit = Omit<VisitThings, 'reference'>;

/**
 * Puts the demo visit into a store of its own.
 * @throws TypeError (as a rejection) where the files cannot be fetched; StoreError where one is damaged.
 */
export async function openDemo(): Promise<{ readonly store: Store; readonly piano: Piano; readonly visit: Visit }> {
  // Gzip under a name of its own: hosts unpack what is called .gz, or do not.
  const answer = await fetch(FILES[`${FOLDER}visit.packed`]);
  const plain = answer.body!.pipeThrough(new DecompressionStream('gzip'));
  const { piano, visit, rounds, takes, adjustments, gauges, marks, hours } = (await new Response(
    plain,
  ).json()) as DemoVisit;
  const store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', visit);
  for (const round of rounds) await store.put('rounds', round);
  for (const take of takes) {
    if (take.pieces > 0) await addSound(store, take);
    await store.put('takes', take);
  }
  for (const adjustment of adjustments) await store.put('adjustments', adjustment);
  for (const gauge of gauges) await store.put('gauges', gauge);
  for (const mark of marks) await store.put('marks', mark);
  for (const stretch of hours) await store.put('hours', stretch);
  // As the store has them: brought up to the present form.
  return { store, piano: (await store.get('pianos', piano.id))!, visit: (await store.get('visits', visit.id))! };
}

async function addSound(store: Store, take: Take): Promise<void> {
  const address = FILES[`${FOLDER}${take.id}.flac`];
  const bytes = new Uint8Array(await (await fetch(address)).arrayBuffer());
  // The decoder comes when it is needed.
  const { readSound } = await import('../../soundfiles/index.ts');
  const { channels } = await readSound(bytes);
  const samples = Int16Array.from(channels[0], (value) => Math.round(value * 32768));
  await store.addPiece({ takeId: take.id, index: 0, samples });
}
