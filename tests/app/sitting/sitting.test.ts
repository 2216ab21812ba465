/** A sitting from the sound on: takes kept, verdicts, undo, skip, a key that jams, a store that refuses for a while. */

import { describe, expect, it } from 'vitest';
import { listenView } from '../../../src/app/sitting/listenView.ts';
import { OneTemplate } from '../../../src/analysis/oneTemplate.ts';
import { handPicked } from '../../../src/piano/notePlans.ts';
import { fromSound16, toSound16 } from '../../../src/signal/sound16.ts';
import { memoryStore } from '../../../src/storage/memoryStore.ts';
import { StoreError, type Store } from '../../../src/storage/store.ts';
import { makePractice, type NotePlan } from '../../../src/synthesis/practice.ts';
import { sittingIn, TODAY } from './inThread.ts';

const RATE = 44100;
const slow = { kind: 'slow', strokes: 8 } as const;
const fast = { kind: 'fast', strokes: 12 } as const;

/** Practice notes as they come out of the store: 16 bit. */
function sound(notes: readonly NotePlan[], seed: number): Float32Array {
  const plan = { variant: 'judging', sampleRate: RATE, snrDb: 50, notes, hand: { contact: 'click' } } as const;
  const { samples } = makePractice(plan, seed);
  const end = new Float32Array(3 * RATE).map((_, i) => 2e-4 * Math.sin(0.1 * i * i));
  const all = new Float32Array(samples.length + end.length);
  all.set(samples);
  all.set(end, samples.length);
  return fromSound16(toSound16(all));
}
const whole = (midi: number): NotePlan => ({ midi, passages: [slow, fast] });
const slowly = (midi: number): NotePlan => ({ midi, passages: [slow] });
const EAR = { state: 'listening', error: null, maySleep: false } as const;

describe('a sitting by plan', () => {
  it('keeps each take with all its sound, follows the plan, opens doubtful notes, and undoes', async () => {
    const { sitting, store, hear } = await sittingIn(memoryStore(), RATE, handPicked([57, 60]));
    const show = () => listenView(sitting, EAR, new Date(TODAY), null);
    expect(show().note).toMatchObject({ midis: [57], heard: false });
    expect(show().order).toMatchObject({ word: 'Slow', count: '8 more' });
    expect(show().next).toEqual([60]);
    await hear(sound([whole(57)], 3));
    const [first] = await store.list('takes', { roundId: 'round' });
    expect(first).toMatchObject({ midi: 57, asked: 'slow-fast', number: 1, undone: false });
    expect(await store.sound(first.id)).toHaveLength(first.frames);
    expect(first.heard.takes[0]).toMatchObject({ asked: 'slow-fast', touch: 'finger' });
    expect(show().note).toMatchObject({ midis: [60], heard: false });
    expect(show().contact).toMatchObject({ kind: 'finished', midi: 57, kept: true });
    expect(show().progress).toMatchObject({ done: 1 });
    await hear(sound([whole(60)], 4));
    expect(sitting.book.heard).toEqual([57, 60]);
    expect(show().announcement).toMatch(/C4.*Kept\./);
    await sitting.undo();
    expect(sitting.book.heard).toEqual([57]);
    expect(show().note).toMatchObject({ midis: [60] });
    expect((await store.list('takes', { roundId: 'round' })).map(({ undone }) => undone)).toEqual([false, true]);
  });

  it('passes over a note that is skipped, until it is played after all', async () => {
    const { sitting, hear } = await sittingIn(memoryStore(), RATE, handPicked([57, 60]));
    sitting.skip();
    await sitting.settled();
    expect(sitting.book.wanted).toEqual({ midi: 60, asked: 'slow-fast' });
    await hear(sound([whole(57)], 3));
    expect(sitting.book.heard).toEqual([57]);
    expect(sitting.book.wanted?.midi).toBe(60);
    expect(sitting.book.progress).toMatchObject({ done: 1 });
  });

  it('keeps nothing while it is paused', async () => {
    const { sitting, store, hear } = await sittingIn(memoryStore(), RATE);
    sitting.pause();
    await hear(sound([slowly(64)], 5));
    expect(await store.list('takes', { roundId: 'round' })).toEqual([]);
    expect(listenView(sitting, EAR, new Date(TODAY), null).state).toBe('paused');
    sitting.goOn();
    await hear(sound([slowly(64)], 5));
    expect(await store.list('takes', { roundId: 'round' })).toHaveLength(1);
  });
});

describe('a note that was flagged in an earlier round', () => {
  it('is asked of once it was played, waits for the answer, and holds nobody up', async () => {
    const { sitting, store, hear } = await sittingIn(memoryStore(), RATE, handPicked([57, 60]));
    sitting.book.withhold([{ midi: 57, round: 1 }]);
    const show = () => listenView(sitting, EAR, new Date(TODAY), null);
    expect(show().ask).toBeNull();
    await hear(sound([whole(57)], 3));
    expect(show().ask).toEqual({ midi: 57, round: 1 });
    expect(show().announcement).toBe('A3. Adjusted since round 1? Yes or no.');
    // Kept, counted by nothing, and done as the plan goes.
    expect(await store.list('takes', { roundId: 'round' })).toHaveLength(1);
    expect([sitting.book.heard, sitting.book.judged]).toEqual([[], null]);
    expect(show().note).toMatchObject({ midis: [60] });
    await hear(sound([whole(60)], 4));
    expect(show().ask).toBeNull();
    expect(sitting.book.waiting).toEqual([{ midi: 57, round: 1 }]);
    expect(sitting.book.notes.map(({ midi }) => midi)).toEqual([60]);
    sitting.answered(57);
    await sitting.settled();
    expect(sitting.book.waiting).toEqual([]);
    expect(sitting.book.notes.map(({ midi }) => midi)).toEqual([57, 60]);
  });
});

describe('the template of a note', () => {
  it('is the first take’s, once for a piano, and finds the strokes of a later one by the same zero', async () => {
    const { store, hear } = await sittingIn(memoryStore(), RATE);
    await hear(sound([slowly(64)], 5));
    await hear(sound([slowly(64)], 5));
    const takes = await store.list('takes', { roundId: 'round' });
    const templates = await store.list('templates', { pianoId: 'piano' });
    expect(takes).toHaveLength(2);
    expect(templates).toHaveLength(1);
    const [{ samples, strokes, takeId, midi }] = templates;
    expect([takeId, midi, strokes.length]).toEqual([takes[0].id, 64, 8]);
    const heard = (at: number) => ({ ...takes[0].heard.strokes[at], midi: 64 });
    const from = Math.round(takes[0].heard.strokes[0].onsetSeconds! * RATE) - strokes[0];
    const shifted = strokes.map((_, i) => {
      const stroke = heard(i);
      return {
        ...stroke,
        timeSeconds: stroke.timeSeconds - from / RATE,
        onsetSeconds: stroke.onsetSeconds! - from / RATE,
      };
    });
    const one = new OneTemplate();
    one.add('before', fromSound16(samples), RATE, shifted);
    one.add('after', fromSound16((await store.sound(takes[1].id))!), RATE, takes[1].heard.strokes);
    // The same strokes, heard twice: the zeros of the two takes are one.
    expect(Math.abs(one.zeros().get(64)!)).toBeLessThan(5e-5);
  });
});

describe('a key that jams', () => {
  it('is kept with that mark and counts for nothing', async () => {
    const { sitting, store, hear } = await sittingIn(memoryStore(), RATE);
    const samples = sound([slowly(64)], 5);
    // After seven strokes, while the eighth is awaited.
    await hear(samples.slice(0, 9 * RATE));
    expect(sitting.running?.midi).toBe(64);
    sitting.jams();
    await hear(samples.slice(9 * RATE));
    const takes = await store.list('takes', { roundId: 'round' });
    expect(takes[0]).toMatchObject({ midi: 64, jammed: true });
    expect(sitting.book.heard).toEqual([]);
    expect(sitting.book.jams(64)).toBe(true);
  });
});

describe('a store that refuses for a while', () => {
  for (const where of ['addPiece', 'put'] as const) {
    it(`at ${where}: the take is held, listening goes on, and trying again keeps it whole`, async () => {
      const real = memoryStore();
      let full = true;
      const refuse = () => Promise.reject(new StoreError('full', 'no room', 'make room'));
      const store: Store = {
        ...real,
        addPiece: (piece) => (full && where === 'addPiece' ? refuse() : real.addPiece(piece)),
        put: (shelf, thing) => (full && where === 'put' && shelf === 'takes' ? refuse() : real.put(shelf, thing)),
      };
      const { sitting, hear } = await sittingIn(store, RATE);
      await hear(sound([slowly(64)], 5));
      expect(sitting.keeper.held).toHaveLength(1);
      expect(sitting.book.heard).toEqual([64]);
      const view = listenView(sitting, EAR, new Date(TODAY), null);
      expect(view.notices.map(({ code, stops }) => [code, stops])).toContainEqual(['storage', true]);
      expect(view.contact).toMatchObject({ kind: 'finished', words: 'held in memory only' });
      full = false;
      await sitting.keeper.retry();
      expect(sitting.keeper.held).toEqual([]);
      const [take] = await real.list('takes', { roundId: 'round' });
      expect(await real.sound(take.id)).toHaveLength(take.frames);
      await hear(sound([slowly(67)], 6));
      expect(await real.list('takes', { roundId: 'round' })).toHaveLength(2);
    });
  }
});

describe('passing over', () => {
  it('a note while it is played keeps the take and does not bring the note back', async () => {
    const { sitting, hear } = await sittingIn(memoryStore(), RATE, handPicked([64, 60]));
    const wanted = sitting.book.wanted?.midi;
    const samples = sound([slowly(wanted!)], 5);
    await hear(samples.slice(0, 9 * RATE));
    expect(sitting.running?.midi).toBe(wanted);
    sitting.skip();
    await hear(samples.slice(9 * RATE));
    expect(sitting.book.heard).toEqual([wanted]);
    expect(sitting.book.wanted?.midi).not.toBe(wanted);
  });

  it('a key that jams after few strokes keeps the take with its mark, and goes on to the next note', async () => {
    const { sitting, store, hear } = await sittingIn(memoryStore(), RATE, handPicked([64, 60]));
    const wanted = sitting.book.wanted!.midi;
    const samples = sound([slowly(wanted)], 5);
    let at = 0;
    while (!sitting.running && at < samples.length) await hear(samples.slice(at, (at += RATE / 2)));
    expect(sitting.running?.strokes.length).toBeLessThan(5);
    sitting.jams();
    await hear(new Float32Array(RATE / 2));
    const takes = await store.list('takes', { roundId: 'round' });
    expect(takes.map(({ midi, jammed }) => [midi, jammed])).toEqual([[wanted, true]]);
    expect(sitting.book.heard).toEqual([]);
    expect(sitting.book.wanted?.midi).not.toBe(wanted);
  });
});

describe('undoing', () => {
  it('that the store refuses is told, and holds up nothing after it', async () => {
    const real = memoryStore();
    let full = false;
    const refuse = () => Promise.reject(new StoreError('full', 'no room', 'make room'));
    const put: Store['put'] = (shelf, thing) => (full ? refuse() : real.put(shelf, thing));
    const { sitting, hear } = await sittingIn({ ...real, put }, RATE);
    await hear(sound([slowly(64)], 5));
    full = true;
    await expect(sitting.undo()).rejects.toThrow('no room');
    await expect(sitting.settled()).resolves.toBeUndefined();
    expect(sitting.book.heard).toEqual([64]);
    full = false;
    await sitting.undo();
    expect(sitting.book.heard).toEqual([]);
  });

  it('of a take in memory only is kept with it when the store takes it at last', async () => {
    const real = memoryStore();
    let full = true;
    const refuse = () => Promise.reject(new StoreError('full', 'no room', 'make room'));
    const put: Store['put'] = (shelf, thing) => (full && shelf === 'takes' ? refuse() : real.put(shelf, thing));
    const { sitting, hear } = await sittingIn({ ...real, put }, RATE);
    await hear(sound([slowly(64)], 5));
    await sitting.undo();
    await expect(sitting.keepAll()).rejects.toThrow('in memory only');
    full = false;
    await sitting.keepAll();
    const takes = await real.list('takes', { roundId: 'round' });
    expect(takes.map(({ undone }) => undone)).toEqual([true]);
  });
});
