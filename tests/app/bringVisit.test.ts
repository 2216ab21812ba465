/** One visit brought in from its JSON file: the round trip, what is here already, what is refused. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bringVisit, isJson } from '../../src/app/backup/bringVisit.ts';
import { broughtInWords, refusalNotice } from '../../src/app/backup/backupWords.ts';
import { reportedVisit } from '../../src/app/report/reportedVisit.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../src/app/sitting/sitting.ts';
import { newMark, newWorkTime } from '../../src/record/newThings.ts';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { visitText, type VisitFile } from '../../src/report/visitFile.ts';
import type { VisitThings } from '../../src/report/visit.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { StoreError, type Store } from '../../src/storage/store.ts';
import { thingsOf } from '../record/generated.ts';
import { smallThings } from '../report/visits.ts';
import { STORES } from '../storage/stores.ts';
import { inThread, TODAY } from './sitting/inThread.ts';

const { visit: demo, ...small } = smallThings();
const THINGS: VisitThings = {
  ...small,
  visit: demo,
  takes: small.takes.map((take) => ({ ...take, pieces: 0 })),
  marks: [...small.marks, newMark({ id: 'more', visitId: demo.id, midi: 60, at: demo.startedAt, kind: 'left-as-is' })],
  hours: [
    ...small.hours,
    newWorkTime({ id: 'hour', visitId: demo.id, operation: 'spring', startedAt: demo.startedAt }),
  ],
};

async function fill(store: Store, things: VisitThings): Promise<Store> {
  await store.put('pianos', things.piano);
  if (things.reference) await store.put('references', things.reference);
  await store.put('visits', things.visit);
  for (const one of things.rounds) await store.put('rounds', one);
  for (const one of things.takes) await store.put('takes', one);
  for (const one of things.adjustments) await store.put('adjustments', one);
  for (const one of things.gauges) await store.put('gauges', one);
  for (const one of things.marks) await store.put('marks', one);
  for (const one of things.hours) await store.put('hours', one);
  return store;
}

/** "The visit (JSON)", as the report of the visit in this store saves it. */
async function exported(store: Store): Promise<string> {
  const visit = (await store.get('visits', demo.id))!;
  const piano = (await store.get('pianos', visit.pianoId))!;
  const rounds = await store.list('rounds', { visitId: visit.id });
  const last = rounds[rounds.length - 1];
  const book = new RoundBook(last, await store.list('takes', { roundId: last.id }), null);
  const parts = { sampleRate: () => 48000, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const now = () => new Date(TODAY);
  const sitting = new Sitting({ store, refiner: inThread, judge: inThread, book, piano, visit, now, ...parts });
  return visitText(await reportedVisit(sitting, inThread, false));
}

const first = exported(await fill(memoryStore(), THINGS));
const changed = async (change: (file: VisitFile) => object) =>
  JSON.stringify(change(JSON.parse(await first) as VisitFile));
const refusal = (store: Store, text: string) =>
  bringVisit(store, text).then(
    () => null,
    (error: unknown) => error as StoreError,
  );

describe('a visit brought in', () => {
  it.each(STORES)('comes out as it went in, from an empty %s store', async (_, open) => {
    const store = await open();
    const found = await bringVisit(store, await first);
    expect(broughtInWords(found)).toBe(`1 visit, ${THINGS.takes.length} takes brought in.`);
    expect(found.broughtIn).toMatchObject({ pianos: 1, rounds: 2, hours: THINGS.hours.length });
    expect((await exported(store)) === (await first)).toBe(true);
    // A second time nothing is missing.
    const again = await bringVisit(store, await first);
    expect(broughtInWords(again)).toBe(`Nothing brought in; ${THINGS.takes.length + 1} were here already.`);
    store.close();
  });

  it('adds what is missing and changes nothing that is here, sound least of all', async () => {
    const store = memoryStore();
    const [take, ...others] = THINGS.takes;
    const { rounds } = JSON.parse(await first) as VisitFile;
    await fill(store, { ...THINGS, rounds, piano: { ...THINGS.piano, place: 'Elsewhere' }, takes: others.slice(1) });
    await store.addPiece({ takeId: take.id, index: 0, samples: new Int16Array(take.frames).fill(5) });
    await store.put('takes', { ...take, pieces: 1 });
    const found = await bringVisit(store, await first);
    expect(broughtInWords(found)).toMatch(
      /^1 take brought in; \d+ were here already\. Here with other content, and left as it is: piano 1\.$/,
    );
    expect((await store.get('pianos', THINGS.piano.id))!.place).toBe('Elsewhere');
    expect((await store.get('takes', take.id))!.pieces).toBe(1);
    expect((await store.sound(take.id))![0]).toBe(5);
    expect((await store.get('takes', others[0].id))!.pieces).toBe(0);
  });

  it('brings the hand that it was held against', async () => {
    const [reference] = fc.sample(thingsOf('references'), { numRuns: 1, seed: 2 });
    const text = await changed((file) => ({ ...file, reference }));
    const store = memoryStore();
    expect((await bringVisit(store, text)).broughtIn.references).toBe(1);
    expect(await store.get('references', reference.id)).toEqual(reference);
  });

  it.each<[string, (file: VisitFile) => object, string, RegExp]>([
    [
      'a newer thing',
      (file) => ({ ...file, visit: { ...file.visit, recordVersion: RECORD_VERSION + 1 } }),
      'backup-newer',
      /^Update this app first\. Nothing was changed here\.$/,
    ],
    ['a newer file', (file) => ({ ...file, schema: 'evenfall.visit/2' }), 'backup-newer', /^Update this app first/],
    ['another file', (file) => ({ ...file, schema: 'evenfall.analysis/1' }), 'backup-damaged', /evenfall\.analysis/],
    [
      'a damaged thing',
      (file) => ({ ...file, takes: [{ ...file.takes[0], midi: 300 }] }),
      'backup-damaged',
      /"midi" is 300.*Nothing was changed here\.$/,
    ],
    [
      'one thing twice',
      (file) => ({ ...file, takes: [file.takes[0], file.takes[0]] }),
      'backup-damaged',
      /take 2 .*twice/,
    ],
    ['a take without its round', (file) => ({ ...file, rounds: [] }), 'backup-damaged', /of a round that is not in it/],
    ['the example', (file) => ({ ...file, invented: true }), 'backup-damaged', /It is the example, which is invented/],
  ])('%s is refused, and nothing is written', async (_, change, code, text) => {
    const store = memoryStore();
    const error = (await refusal(store, await changed(change)))!;
    expect(error).toBeInstanceOf(StoreError);
    const notice = refusalNotice(error, 'restoring');
    expect(notice.code).toBe(code);
    expect(notice.text).toMatch(text);
    for (const shelf of ['pianos', 'visits', 'rounds', 'takes'] as const) expect(await store.list(shelf)).toEqual([]);
  });

  it('is told from a backup by its first letter', async () => {
    expect(await isJson(new Blob([await first]))).toBe(true);
    expect(await isJson(new Blob(['\uFEFF\n {}']))).toBe(true);
    expect(await isJson(new Blob(['PK\u0003\u0004{']))).toBe(false);
    expect(await isJson(new Blob([]))).toBe(false);
    expect((await refusal(memoryStore(), '{"schema":'))!.message).toMatch(/no whole JSON/);
  });
});
