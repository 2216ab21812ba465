/** Recordings kept in the lasting store: all of it or nothing, in today's visit, and with the sound that the visit keeps. */

import { describe, expect, it } from 'vitest';
import { keepRecorded, recordedRound, type SeatedRound } from '../../src/app/desk/recordedRound.ts';
import { readShelves } from '../../src/app/desk/shelves.ts';
import type { Recording } from '../../src/app/readRecordings.ts';
import { newPiano, newRound, newVisit } from '../../src/record/newThings.ts';
import type { KeepAudio, Round } from '../../src/record/types.ts';
import { StoreError, type Store } from '../../src/storage/store.ts';
import { STORES, takeOf } from '../storage/stores.ts';

const NOW = '2026-05-04T12:00:00.000Z';
let made = 0;
const newId = () => `id-${made++}`;
const { heard } = takeOf('any', [1]);
const SUMMARY: Round['summary'] = {
  analysisVersion: heard.analysisVersion,
  verdicts: [
    { midi: 60, verdict: 'unstable' },
    { midi: 62, verdict: 'steady' },
  ],
  flagged: [],
  line: [],
};

function recordingOf(file: string, midis: readonly number[], sampleRate = 48_000): Recording {
  const takes = midis.map((midi, i) => {
    const samples = Int16Array.from({ length: 100 + i }, (_, k) => midi * 100 + k);
    return { midi, from: 0, to: samples.length, sampleRate, samples, heard, gaps: [] };
  });
  return { file, warnings: [], takes };
}

const seatedRound = (): Promise<SeatedRound> =>
  recordedRound([recordingOf('Hall.v2.flac', [60]), recordingOf('second.wav', [62], 44_100)], NOW, newId);

const NEW = { pianoId: null, name: ' Aldervane 274 ', place: '' };

async function keep(store: Store, choice = NEW as { pianoId: string | null; name: string; place: string }) {
  const seated = await seatedRound();
  // Only a browser knows how much room there is.
  const shelves = await readShelves({ ...store, room: async () => ({ used: null, left: null }) });
  return keepRecorded(store, shelves, seated, SUMMARY, choice, NOW, newId);
}

/** A piano with a visit at `startedAt`, one closed round and one way of keeping sound. */
async function earlier(store: Store, startedAt: string, keepAudio: KeepAudio) {
  await store.put('pianos', newPiano({ id: 'known', name: 'Known' }));
  await store.put('visits', newVisit({ id: 'visit', pianoId: 'known', startedAt, keepAudio }));
  await store.put('rounds', newRound({ id: 'before', visitId: 'visit', number: 4, startedAt, closedAt: startedAt }));
}

describe('recordings in memory', () => {
  it('are one round of a piano named after the file, takes in order, each with its own rate and sound', async () => {
    const { store, piano, visit, round } = await seatedRound();
    expect(piano.name).toBe('Hall.v2 and 1 more');
    expect(round).toMatchObject({ visitId: visit.id, number: 1, closedAt: NOW });
    const takes = await store.list('takes', { roundId: round.id });
    expect(takes.map(({ number, midi, sampleRate }) => [number, midi, sampleRate])).toEqual([
      [1, 60, 48_000],
      [2, 62, 44_100],
    ]);
    expect((await store.sound(takes[1].id))![5]).toBe(6205);
  });
});

describe.each(STORES)('kept in the %s store', (_, open) => {
  it('they are a closed round of a new visit to a new piano, with all the sound', async () => {
    const store = await open();
    const { piano, visit, round } = await keep(store);
    expect(await store.get('pianos', piano.id)).toMatchObject({ name: 'Aldervane 274', place: null });
    expect(await store.get('visits', visit.id)).toMatchObject({ pianoId: piano.id, startedAt: NOW });
    expect(await store.get('rounds', round.id)).toMatchObject({ visitId: visit.id, closedAt: NOW, summary: SUMMARY });
    const takes = await store.list('takes', { roundId: round.id });
    expect(takes.map(({ midi, visitId }) => [midi, visitId])).toEqual([
      [60, visit.id],
      [62, visit.id],
    ]);
    for (const { id, frames } of takes) expect(await store.sound(id)).toHaveLength(frames);
  });

  it('they are the next round of today’s visit, whose way of keeping sound holds; else of a visit of their own', async () => {
    for (const [startedAt, keepAudio, sounds, rounds] of [
      [NOW, 'flagged', [true, false], [4, 5]],
      [NOW, 'none', [false, false], [4, 5]],
      ['2026-04-01T12:00:00.000Z', 'none', [true, true], [1]],
    ] as const) {
      const store = await open();
      await earlier(store, startedAt, keepAudio);
      const { visit, round } = await keep(store, { pianoId: 'known', name: '', place: '' });
      const numbers = (await store.list('rounds', { visitId: visit.id })).map(({ number }) => number);
      expect(numbers).toEqual(rounds);
      const takes = await store.list('takes', { roundId: round.id });
      expect(await Promise.all(takes.map(async ({ id }) => (await store.sound(id)) !== null))).toEqual(sounds);
      expect(await store.orphans()).toEqual([]);
      expect(await store.list('pianos')).toHaveLength(1);
    }
  });

  it('nothing of them stays where the store gives up midway', async () => {
    for (const fault of ['addPiece', 'bringIn'] as const) {
      const store = await open();
      let calls = 0;
      const failing: Store = {
        ...store,
        [fault]: (given: never) => {
          if (fault === 'addPiece' && ++calls < 2) return store.addPiece(given);
          return Promise.reject(new StoreError('full', 'there is no room', 'Make room.'));
        },
      };
      await expect(keep(failing)).rejects.toThrow('there is no room');
      expect(await store.orphans()).toEqual([]);
      for (const shelf of ['pianos', 'visits', 'rounds', 'takes'] as const) expect(await store.list(shelf)).toEqual([]);
    }
  });
});
