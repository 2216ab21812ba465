/** What is done on the worklist: written as it is shown, nothing removed, one clock at a time. */

import { beforeEach, describe, expect, it } from 'vitest';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { VisitWork } from '../../src/app/desk/visitWork.ts';
import { newPiano, newRound, newTake, newVisit } from '../../src/record/newThings.ts';
import type { Round } from '../../src/record/types.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import type { Store } from '../../src/storage/store.ts';
import { fullThing } from '../record/generated.ts';

const piano = newPiano({ id: 'p1', name: 'Rehearsal room' });
const visit = newVisit({ id: 'v1', pianoId: 'p1', startedAt: '2026-05-04T09:00:00.000Z' });
const words = { score: 0.5, findings: ['missed-repeats'], line: '', evidence: [], next: [], cautions: [], parts: [] };
const HEARD = [40, 45, 50, 55, 60, 61, 62, 63, 64, 65, 70, 75, 80];
const round: Round = newRound({
  ...{ id: 'r1', visitId: 'v1', number: 1, startedAt: '2026-05-04T09:10:00.000Z' },
  summary: {
    analysisVersion: '0.4.0',
    verdicts: HEARD.map((midi) => ({ midi, verdict: midi === 60 || midi === 64 ? 'unstable' : 'steady' })),
    flagged: [60, 64].map((midi) => ({ midi, ...words })),
    line: [],
  },
});
const second = newRound({ id: 'r2', visitId: 'v1', number: 2, startedAt: '2026-05-04T14:00:00.000Z' });

let store: Store;
let ids = 0;
const read = (rounds: readonly Round[] = [round]) => VisitWork.read(store, visit, piano, rounds, () => `id-${++ids}`);
const stateOf = (work: VisitWork, midi: number) => work.notes.find((note) => note.midi === midi)?.state;
beforeEach(async () => {
  store = memoryStore();
  await store.put('pianos', piano);
  await store.put('visits', visit);
});

describe('the work of a visit', () => {
  it('is kept as it is done, and read again the same', async () => {
    const work = await read();
    await work.adjust(60);
    const [turn] = work.notes[0].turned;
    await work.say(turn.id, { what: 'lever', way: 'down', eighths: 1, millimetres: null, words: '' });
    await work.mark(64, 'left-as-is');
    const again = await read();
    expect(again.notes).toEqual(work.notes);
    expect(again.notes.map(({ midi, state }) => [midi, state])).toEqual([
      [60, 'adjusted'],
      [64, 'left-as-is'],
    ]);
    expect(again.notes[0].turned[0]).toMatchObject({ words: 'lever down, an eighth', afterRound: 1, what: 'lever' });
    await again.mark(64, 'reopened');
    expect(stateOf(await read(), 64)).toBe('open');
  });

  it('takes an adjustment back without removing it', async () => {
    const work = await read();
    await work.adjust(60);
    await work.undo(work.notes[0].turned[0].id);
    expect(stateOf(work, 60)).toBe('open');
    expect(await store.list('adjustments')).toMatchObject([{ midi: 60, undone: true }]);
    expect(work.planAfter()).toBeNull();
  });

  it('says a length and other work in words', async () => {
    const work = await read();
    await work.adjust(60);
    await work.adjust(64);
    const [line, other] = work.notes.map(({ turned }) => turned[0].id);
    await work.say(line, { what: 'line', way: 'up', eighths: null, millimetres: 3, words: '' });
    await work.say(other, { what: 'other', way: null, eighths: null, millimetres: null, words: 'knuckle eased' });
    expect(work.notes.map(({ turned }) => turned[0].words)).toEqual(['line up 3 mm', 'knuckle eased']);
  });

  it('times one operation at a time', async () => {
    const work = await read();
    await work.time('lever');
    await work.time('drop');
    const running = () => work.hours.filter(({ endedAt }) => endedAt === null).map(({ operation }) => operation);
    expect(running()).toEqual(['drop']);
    await work.time('drop');
    expect(running()).toEqual([]);
    expect((await store.list('hours')).map(({ operation, endedAt }) => [operation, endedAt !== null])).toEqual([
      ['lever', true],
      ['drop', true],
    ]);
  });

  it('keeps the working order with the piano', async () => {
    const work = await read();
    await work.order('dip-first');
    expect(work.piano.order).toBe('dip-first');
    expect(await store.get('pianos', 'p1')).toMatchObject({ order: 'dip-first' });
  });

  it('plans to hear what was turned, a neighbour on either side, and ten that nobody touched', async () => {
    const work = await read();
    await work.adjust(60);
    const plan = work.planAfter()!;
    const midis = plan.steps.map(({ midi }) => midi);
    expect(plan.kind).toBe('after-adjustment');
    expect(midis).toEqual([...new Set(midis)].sort((a, b) => a - b));
    for (const midi of [59, 60, 61]) expect(midis).toContain(midi);
    expect(midis).toHaveLength(13);
    // Flagged ones are no untouched ones.
    expect(midis).not.toContain(64);
    expect(midis.filter((midi) => HEARD.includes(midi) && ![60, 61].includes(midi))).toHaveLength(10);
  });

  it('asks of a note that was flagged, should it be played again, until it is answered', async () => {
    const both = [60, 64].map((midi) => ({ midi, round: 1 }));
    const work = await read([round, second]);
    expect(work.toAskIn(round)).toEqual([]);
    expect(work.toAskIn(second)).toEqual(both);
    await work.answer(60, second, true);
    expect(work.toAskIn(second)).toEqual([both[1]]);
    expect(work.notes[0].turned).toMatchObject([{ afterRound: 1, at: second.startedAt }]);
    await work.answer(64, second, false);
    expect(work.toAskIn(second)).toEqual([]);
    expect(stateOf(work, 64)).toBe('open');
  });

  it('withholds what is played of it, and asks until it is answered', () => {
    const take = newTake({
      ...{ id: 't1', visitId: 'v1', roundId: 'r2', number: 1, midi: 60, startedAt: '2026-05-04T14:05:00.000Z' },
      ...{ sampleRate: 48000, frames: 0, pieces: 0, heard: fullThing('takes').heard },
    });
    const book = new RoundBook(second, [], null);
    book.withhold([60, 64].map((midi) => ({ midi, round: 1 })));
    expect(book.waiting).toEqual([]);
    book.add(take);
    book.add({ ...take, id: 't2', number: 2, midi: 65 });
    expect(book.waiting).toEqual([{ midi: 60, round: 1 }]);
    expect(book.takes.map(({ midi }) => midi)).toEqual([65]);
    // It was played all the same: undoing takes it back like any other.
    book.replace({ ...take, id: 't2', number: 2, midi: 65, undone: true });
    expect(book.last?.id).toBe('t1');
    book.release(60);
    expect(book.waiting).toEqual([]);
    expect(book.takes.map(({ midi }) => midi)).toEqual([60]);
  });
});
