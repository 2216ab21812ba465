/** The seasons as data, and read from the store of the visit on the desk. */

import { describe, expect, it } from 'vitest';
import { readSeasons } from '../../src/app/desk/readSeasons.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../src/app/sitting/sitting.ts';
import { newPiano, newRound, newVisit } from '../../src/record/newThings.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { SEASONS_VIEWS } from './gallery/seasonsViews.ts';
import { inThread } from './sitting/inThread.ts';

describe('the seasons as data', () => {
  const { three, one, steady } = SEASONS_VIEWS;
  const row = (midi: number) => three.rows.find((each) => each.midi === midi)!;

  it('have a column a visit with its climate, the newest first', () => {
    expect(three.visits).toEqual([
      { id: '2026-05-12', day: '12 May 2026', climate: '22 °C, 55 %', counts: '3 flagged of 10' },
      { id: '2025-11-03', day: '3 November 2025', climate: '20 °C, 34 %', counts: '2 flagged of 9' },
      { id: '2025-05-18', day: '18 May 2025', climate: '21 °C, 52 %', counts: '1 flagged of 8' },
    ]);
  });

  it('begin with what came back, then what drifts, each as found and as left', () => {
    expect(three.rows.map(({ midi, story }) => [midi, story])).toEqual([
      [59, 'came back'],
      [40, 'drifts'],
      [64, 'still flagged'],
      [51, 'in order since'],
      [69, 'in order since'],
    ]);
    expect(row(59).marks).toEqual([
      { found: 'watch', left: null, turned: false },
      { found: 'steady', left: null, turned: false },
      { found: 'unstable', left: 'steady', turned: true },
    ]);
    expect(row(64).marks[2]).toEqual({ found: 'steady', left: null, turned: false });
    expect(three.inOrder).toBe(5);
    expect(three.lead).toBe(
      '1 note in order before was flagged later; 1 note put right was flagged again. A note flagged in one visit alone may be chance.',
    );
  });

  it('say what is to be taken with reserve, and when to come again', () => {
    expect(three.reserves).toEqual([
      expect.stringMatching(/^The humidity was another/),
      expect.stringMatching(/^Another player/),
    ]);
    expect(three.again[0]).toMatch(/^New parts settle .* \(common practice, no source\)\.$/);
    expect(one.lead).toBe('One visit only: what drifts shows at the next.');
    expect(steady).toMatchObject({ rows: [], inOrder: 10 });
    expect(steady.reserves).toEqual([expect.stringMatching(/^Humidity was not kept/)]);
  });
});

it('are read of all visits to the piano and of no other, the round on the desk as it is judged now', async () => {
  const store = memoryStore();
  const [piano, other] = [newPiano({ id: 'p', name: 'Aldervane 274' }), newPiano({ id: 'q', name: 'Small grand' })];
  for (const each of [piano, other]) await store.put('pianos', each);
  const at = (month: number) => `2026-0${month}-04T10:00:00.000Z`;
  const round = (id: string, visitId: string, month: number, verdict: 'steady' | 'watch') =>
    newRound({
      ...{ id, visitId, number: 1, startedAt: at(month), closedAt: at(month) },
      summary: { analysisVersion: '0.4.0', verdicts: [{ midi: 60, verdict }], flagged: [], line: [] },
    });
  for (const [id, pianoId, month] of [
    ['v1', 'p', 1],
    ['v2', 'p', 5],
    ['v3', 'q', 3],
  ] as const) {
    await store.put('visits', newVisit({ id, pianoId, startedAt: at(month) }));
  }
  const today = round('r2', 'v2', 5, 'watch');
  for (const each of [round('r1', 'v1', 1, 'steady'), today, round('r3', 'v3', 3, 'watch')])
    await store.put('rounds', each);
  const visit = (await store.get('visits', 'v2'))!;
  const parts = { sampleRate: () => 48000, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const book = new RoundBook(today, [], null);
  const now = () => new Date(at(5));
  const sitting = new Sitting({ store, refiner: inThread, judge: inThread, book, piano, visit, now, ...parts });
  const view = await readSeasons(sitting);
  expect(view.visits.map(({ id }) => id)).toEqual(['v2', 'v1']);
  expect(view.rows).toMatchObject([{ midi: 60, story: 'drifts' }]);
});
