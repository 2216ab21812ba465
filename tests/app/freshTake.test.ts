/** Fresh strokes before the work: a round of open notes stands with the round that flagged them when the two are compared. */

import { describe, expect, it } from 'vitest';
import { compareWith, earlierRound } from '../../src/app/desk/comparing.ts';
import { notesWithoutFresh } from '../../src/app/desk/freshTake.ts';
import { VisitWork } from '../../src/app/desk/visitWork.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../src/app/sitting/sitting.ts';
import { judged } from '../../src/analysis/analyse.ts';
import { newAdjustment, newPiano, newRound, newTake, newVisit } from '../../src/record/newThings.ts';
import type { Round, Take } from '../../src/record/types.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from '../analysis/madeRound.ts';
import { inThread, TODAY } from './sitting/inThread.ts';

const piano = newPiano({ id: 'p', name: 'Aldervane 274' });
const visit = newVisit({ id: 'v', pianoId: 'p', startedAt: TODAY });
const setting = { microphone: null, microphonePlace: null, player: 'R.', referenceId: null };

function takeOf(roundId: string, number: number, asked: Take['asked'], note: MadeNote): Take {
  const random = new RandomStream(11, `${roundId} ${number}`);
  const heard = madeRound(random, [note], { file: `${roundId}-${number}.wav` });
  const takes = heard.takes.map((take) => ({ ...take, asked }));
  const own = { id: `${roundId}-${number}`, visitId: 'v', roundId, number, midi: note.midi, startedAt: TODAY };
  const document = { ...heard, takes, ...judged(heard.strokes, takes) };
  return newTake({ ...own, asked, sampleRate: 48000, frames: 48000, pieces: 0, heard: document });
}

/** Note 72 misses repeats in both rounds: without any miss the keys would seem let up too far. */
const whole = (roundId: string, bad: number, fast = 12) =>
  KEYS.map((midi, i) =>
    takeOf(roundId, i + 1, 'slow-fast', { midi, fast, silent: midi === 60 ? bad : midi === 72 ? 0.5 : 0 }),
  );
const open = takeOf('r2', 1, 'open', { midi: 60, slow: 18, fast: 36, silent: 0.4 });

function roundOf(
  number: number,
  takes: readonly Take[],
  kind: Round['plan']['kind'],
  more: Partial<Round> = {},
): Round {
  const flagged = number < 3 ? [60] : [];
  return newRound({
    ...{ id: `r${number}`, visitId: 'v', number, startedAt: TODAY, closedAt: TODAY, setting },
    plan: { kind, steps: [] },
    summary: {
      analysisVersion: takes[0].heard.analysisVersion,
      verdicts: takes.map(({ midi }) => ({ midi, verdict: flagged.includes(midi) ? 'watch' : 'steady' })),
      flagged: flagged.map((midi) => ({
        ...{ midi, score: 0.5, findings: [], line: 'So.', evidence: [], next: [], cautions: [], parts: [] },
      })),
      line: [],
    },
    ...more,
  });
}

async function compared(second: Partial<Round> = {}, turnedAfter = 2) {
  const takes = [whole('r1', 0.3), [open], whole('r3', 0, 36)];
  const rounds = [
    roundOf(1, takes[0], 'free'),
    roundOf(2, takes[1], 'open-worklist', second),
    roundOf(3, takes[2], 'after-adjustment'),
  ];
  const store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', visit);
  for (const round of rounds) await store.put('rounds', round);
  for (const take of takes.flat()) await store.put('takes', take);
  const own = { id: 'a', visitId: 'v', midi: 60, at: TODAY, afterRound: turnedAfter, what: 'lever' } as const;
  await store.put('adjustments', newAdjustment(own));
  const book = new RoundBook(rounds[2], takes[2], null);
  const parts = { sampleRate: () => 48000, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const now = () => new Date(TODAY);
  const sitting = new Sitting({ store, refiner: inThread, judge: inThread, book, piano, visit, now, ...parts });
  const earlier = earlierRound(sitting, rounds)!;
  expect(earlier.number).toBe(2);
  const { title, comparison } = await compareWith(sitting, earlier, rounds, inThread);
  return { title, comparison, note: comparison.notes.find(({ midi }) => midi === 60)! };
}

it('the notes to be turned that lack fresh strokes are found in what is kept', async () => {
  const store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', visit);
  const takes = whole('r1', 0.3);
  const first = roundOf(1, takes, 'free');
  await store.put('rounds', first);
  for (const take of takes) await store.put('takes', take);
  const book = new RoundBook(first, takes, null);
  const parts = { sampleRate: () => 48000, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const now = () => new Date(TODAY);
  const sitting = new Sitting({ store, refiner: inThread, judge: inThread, book, piano, visit, now, ...parts });
  const work = () => VisitWork.read(store, visit, piano, [first], () => 'x');
  expect(await notesWithoutFresh({ work: null, sitting })).toEqual([]);
  expect(await notesWithoutFresh({ work: await work(), sitting })).toEqual([60]);
  await store.put('takes', { ...open, id: 'r1-again', roundId: 'r1', number: 20 });
  expect(await notesWithoutFresh({ work: await work(), sitting })).toEqual([]);
});

describe('a round of open notes', () => {
  it('stands with the round before it: its hand is known, and the fresh strokes alone are the before', async () => {
    const { title, comparison, note } = await compared();
    expect(title).toBe('Rounds 1 and 2');
    expect(comparison.notes.map(({ midi }) => midi)).toEqual(KEYS);
    expect(comparison.advice.map(({ code }) => code)).not.toContain('no-hand');
    expect(note.change).toBe('improved');
    expect(note.reserves).not.toContain('before-not-fresh');
    const repeats = note.measures.find(({ kind }) => kind === 'failed-repeats')!;
    expect(repeats.n[0]).toBe(35);
  });

  it('stands alone where it was played otherwise', async () => {
    const { title, comparison, note } = await compared({ setting: { ...setting, microphonePlace: 'on the lid' } });
    expect(title).toBe('Round 2');
    expect(comparison.notes.map(({ midi }) => midi)).toEqual([60]);
    expect(comparison.advice.map(({ code }) => code)).toContain('no-hand');
    expect(note.reserves).not.toContain('before-not-fresh');
  });

  it('is alone of a note that was turned before it', async () => {
    const { comparison, note } = await compared({}, 1);
    expect(comparison.notes.map(({ midi }) => midi)).toEqual(KEYS);
    expect(note.measures.find(({ kind }) => kind === 'failed-repeats')!.n[0]).toBe(35);
    // It was judged anew by those strokes themselves.
    expect(note.reserves).toContain('before-not-fresh');
  });
});
