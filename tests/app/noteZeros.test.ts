/** Two rounds of the app compared by the templates that the piano keeps: with sound, after it was dropped, at another rate. */

import { beforeAll, describe, expect, it } from 'vitest';
import { compareWith, earlierRound } from '../../src/app/desk/comparing.ts';
import { noteZeros } from '../../src/app/desk/noteZeros.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../src/app/sitting/sitting.ts';
import { templateOf } from '../../src/app/sitting/template.ts';
import { analyseTake } from '../../src/analysis/listening/keptTake.ts';
import { newPiano, newRound, newTake, newVisit } from '../../src/record/newThings.ts';
import type { Round, Take } from '../../src/record/types.ts';
import { toSound16 } from '../../src/signal/sound16.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { inThread, TODAY } from './sitting/inThread.ts';

const RATE = 24000;
const KEYS = [45, 57, 70];
const piano = newPiano({ id: 'p', name: 'Aldervane 274' });
const visit = newVisit({ id: 'v', pianoId: 'p', startedAt: TODAY, microphonePlace: 'left of the keys' });
const setting = { microphone: null, microphonePlace: 'left of the keys', player: 'R.', referenceId: null };
const playing = [
  { kind: 'slow', strokes: 8 },
  { kind: 'fast', strokes: 12 },
] as const;

/** One note, played and taken as a sitting keeps it. */
function taken(midi: number, seed: number, roundId: string, number: number, late = 0) {
  const made = makePractice({ variant: 'judging', sampleRate: RATE, notes: [{ midi, passages: playing }] }, seed);
  const samples = toSound16(made.samples);
  const asked = { asked: 'slow-fast', touch: 'finger', firstNote: null } as const;
  const heard = analyseTake({ samples, sampleRate: RATE, file: `${roundId}-${midi}.wav` }, asked);
  const strokes = heard.strokes.map((stroke) =>
    stroke.onsetSeconds === null ? stroke : { ...stroke, onsetSeconds: stroke.onsetSeconds + late },
  );
  const own = { id: `${roundId}-${midi}`, visitId: 'v', roundId, number, midi, startedAt: TODAY };
  const take = newTake({ ...own, sampleRate: RATE, frames: samples.length, pieces: 1, heard: { ...heard, strokes } });
  return { take, samples };
}

/** Round 1 with its templates; round 2 of the same notes, of which the onsets of the second are said to be 2 ms late. */
let rounds: Round[];
const takes: { readonly take: Take; readonly samples: Int16Array<ArrayBuffer> }[] = [];
beforeAll(() => {
  takes.push(...KEYS.map((midi, i) => taken(midi, 3 + i, 'r1', i + 1)));
  takes.push(...KEYS.map((midi, i) => taken(midi, 3 + i, 'r2', i + 1, midi === 57 ? 0.002 : 0)));
  rounds = [1, 2].map((number) =>
    newRound({
      ...{ id: `r${number}`, visitId: 'v', number, startedAt: TODAY, setting },
      summary: {
        analysisVersion: takes[0].take.heard.analysisVersion,
        verdicts: KEYS.map((midi) => ({ midi, verdict: 'watch' as const })),
        flagged: [],
        line: [],
      },
    }),
  );
}, 60_000);

async function desk(changed: (take: Take) => Take = (take) => take, second: Partial<Round> = {}) {
  const store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', visit);
  const both = [rounds[0], { ...rounds[1], ...second }];
  for (const round of both) await store.put('rounds', round);
  for (const { take, samples } of takes) {
    await store.addPiece({ takeId: take.id, index: 0, samples });
    await store.put('takes', changed(take));
    if (take.roundId === 'r1') await store.put('templates', templateOf(take, samples, 'p', `template-${take.midi}`)!);
  }
  const book = new RoundBook(both[1], await store.list('takes', { roundId: 'r2' }), null);
  const parts = { sampleRate: () => RATE, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const sitting = new Sitting({
    store,
    refiner: inThread,
    judge: inThread,
    book,
    piano,
    visit,
    now: () => new Date(TODAY),
    ...parts,
  });
  return { store, sitting, both };
}

describe('the zero of a note', () => {
  it('is kept between two rounds: what stands late against the template is taken out, and said', async () => {
    const { sitting, both } = await desk();
    const earlier = earlierRound(sitting, both)!;
    expect(earlier.id).toBe('r1');
    const { comparison } = await compareWith(sitting, earlier, both, inThread);
    expect(comparison.notes.map(({ midi, oneTemplate }) => [midi, oneTemplate])).toEqual(
      KEYS.map((midi) => [midi, true]),
    );
    for (const note of comparison.notes) {
      expect(note.reserves).not.toContain('zero-scatter');
      const shift = note.measures.find(({ kind }) => kind === 'travel-at-level');
      // The same sound twice: 2 ms put into the listed onsets of one note make no shift.
      if (shift) expect(Math.abs(shift.difference!), note.name).toBeLessThan(0.2);
    }
    expect(comparison.notes.some(({ measures }) => measures.some(({ kind }) => kind === 'travel-at-level'))).toBe(true);
  });

  it('is kept by the template alone where the sound of the first round was dropped', async () => {
    const { store, sitting } = await desk();
    const first = await store.list('takes', { roundId: 'r1' });
    for (const { id } of first) await store.dropSound(id);
    const zeros = new Map(await noteZeros(store, 'p', first, sitting.book.takes, inThread));
    expect([...zeros.keys()]).toEqual(KEYS);
    expect(Math.abs(zeros.get(57)! - 0.002)).toBeLessThan(5e-5);
    expect(Math.abs(zeros.get(45)!)).toBeLessThan(5e-5);
  });

  it('is not where the new round has no sound, and the comparison says so', async () => {
    const { store, sitting, both } = await desk();
    for (const { id } of await store.list('takes', { roundId: 'r2' })) await store.dropSound(id);
    const { comparison } = await compareWith(sitting, both[0], both, inThread);
    expect(comparison.notes.every(({ oneTemplate }) => !oneTemplate)).toBe(true);
    const shifted = comparison.notes.filter(({ measures }) => measures.some(({ kind }) => kind === 'travel-at-level'));
    expect(shifted.length).toBeGreaterThan(0);
    expect(shifted.every(({ reserves }) => reserves.includes('zero-scatter'))).toBe(true);
  });
});

it('a microphone that stands elsewhere is said of the comparison', async () => {
  const { sitting, both } = await desk(undefined, { setting: { ...setting, microphonePlace: 'on the lid' } });
  const { comparison } = await compareWith(sitting, both[0], both, inThread);
  expect(comparison.advice.map(({ code }) => code)).toContain('other-place');
});

it('the microphone it is heard by is kept with the round, the usual one as itself', async () => {
  const { store, sitting } = await desk();
  await sitting.heardBy('Default - Desk microphone');
  expect((await store.get('rounds', 'r2'))?.setting?.microphone).toBe('Desk microphone');
  await sitting.heardBy(null);
  expect((await store.get('rounds', 'r2'))?.setting?.microphone).toBe('Desk microphone');
});
