/** The demo visit as the files that the command line reads: a backup with its sound, and what is damaged or newer. */

import { readFileSync } from 'node:fs';
import { newRound, newVisit } from '../../src/record/newThings.ts';
import { readSound } from '../../src/soundfiles/index.ts';
import { writeBackup } from '../../src/storage/backup/writeBackup.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { smallThings } from '../report/visits.ts';

const FOLDER = new URL('../../samples/demo/', import.meta.url);

/** A backup of the demo visit (its small form), and before it a visit to the same piano of which the verdicts alone are kept. */
export async function demoBackup(): Promise<Uint8Array> {
  const things = smallThings();
  const { piano, visit, rounds, takes, adjustments, gauges, marks, hours } = things;
  const store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', newVisit({ id: 'earlier', pianoId: piano.id, startedAt: '2025-11-03T09:00:00.000Z' }));
  await store.put('visits', visit);
  const [{ summary }] = rounds;
  const before = { id: 'earlier-1', visitId: 'earlier', number: 1, startedAt: '2025-11-03T09:10:00.000Z' };
  await store.put('rounds', newRound({ ...before, summary: { ...summary!, flagged: [] } }));
  for (const round of rounds) await store.put('rounds', round);
  for (const take of takes) {
    if (take.pieces > 0) {
      const { channels } = await readSound(readFileSync(new URL(`${take.id}.flac`, FOLDER)));
      const samples = Int16Array.from(channels[0], (value) => Math.round(value * 32768));
      await store.addPiece({ takeId: take.id, index: 0, samples });
    }
    await store.put('takes', take);
  }
  for (const one of adjustments) await store.put('adjustments', one);
  for (const one of gauges) await store.put('gauges', one);
  for (const one of marks) await store.put('marks', one);
  for (const one of hours) await store.put('hours', one);
  const parts: Uint8Array[] = [];
  await writeBackup(
    store,
    'everything',
    { write: async (bytes) => void parts.push(bytes) },
    { madeAt: '2026-05-18T18:00:00Z' },
  );
  return Buffer.concat(parts);
}
