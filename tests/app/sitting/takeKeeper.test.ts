/** The keeper of takes: a piece that was refused concerns its own take, whichever is finished first. */

import { expect, it } from 'vitest';
import { analyseTake } from '../../../src/analysis/listening/keptTake.ts';
import { TakeKeeper } from '../../../src/app/sitting/takeKeeper.ts';
import { RECORD_VERSION, type Take } from '../../../src/record/types.ts';
import { memoryStore } from '../../../src/storage/memoryStore.ts';
import { StoreError, type Store } from '../../../src/storage/store.ts';

const RATE = 44100;

it('a piece refused while the take before is finished does not hold up either', async () => {
  // A room without a stroke is sound enough to be kept.
  const samples = new Int16Array(2.5 * RATE).map((_, i) => Math.round(200 * Math.sin(0.1 * i * i)));
  const heard = analyseTake(
    { samples, sampleRate: RATE, file: 'first.wav' },
    { asked: 'slow-fast', touch: 'finger', firstNote: null },
  );
  const pieces = Math.ceil(samples.length / RATE);

  const take: Take = {
    recordVersion: RECORD_VERSION,
    id: 'first',
    visitId: 'visit',
    roundId: 'round',
    number: 1,
    midi: 64,
    asked: 'slow-fast',
    touch: 'finger',
    startedAt: '2026-11-26T10:00:00.000Z',
    sampleRate: RATE,
    frames: samples.length,
    pieces,
    gaps: [
      { frame: 4410, frames: 441, kind: 'zeros' },
      { frame: 44100, frames: 882, kind: 'clock' },
    ],
    heard,
    undone: false,
    jammed: false,
  };
  const real = memoryStore();
  let refused = 0;
  const store: Store = {
    ...real,
    addPiece: (piece) =>
      piece.takeId === 'second' && refused++ === 0
        ? Promise.reject(new StoreError('full', 'no room', 'make room'))
        : real.addPiece(piece),
  };
  const keeper = new TakeKeeper(store);
  const add = (takeId: string) => {
    for (let index = 0; index < pieces; index++)
      keeper.piece({ takeId, index, samples: samples.slice(index * RATE, (index + 1) * RATE) });
  };
  add('first');
  add('second');
  expect(await keeper.finish(take, samples)).toBe(true);
  expect(keeper.failure).not.toBeNull();
  expect(await keeper.finish({ ...take, id: 'second', number: 2 }, samples)).toBe(true);
  expect(keeper.failure).toBeNull();
  expect(keeper.held).toEqual([]);
  for (const id of ['first', 'second']) expect(await real.sound(id)).toEqual(samples);
  expect((await real.get('takes', 'first'))?.gaps).toEqual(take.gaps);
});
