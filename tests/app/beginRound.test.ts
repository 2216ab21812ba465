/** A round as it begins: with what was said of the visit before it; the next one as the visit says by then. */

import { beforeEach, describe, expect, it } from 'vitest';
import { beginRound, nextRound } from '../../src/app/desk/beginRound.ts';
import { NO_CHOICES, offersOf, planOf } from '../../src/app/desk/plans.ts';
import { EMPTY_SHELVES, type Shelves } from '../../src/app/desk/shelves.ts';
import { NO_FACTS, visitDraft } from '../../src/app/visit/visitForm.ts';
import { FREE_PLAN } from '../../src/piano/notePlans.ts';
import { newPiano } from '../../src/record/newThings.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import type { Store } from '../../src/storage/store.ts';

const now = '2026-05-04T09:00:00.000Z';
const piano = newPiano({ id: 'p', name: 'Aldervane 274', breaks: [40, 59], highest: 105 });
const choices = { ...NO_CHOICES, pianoId: 'p', player: 'A', microphonePlace: 'left' };

let store: Store;
let ids = 0;
const newId = () => `id-${++ids}`;
const begin = (shelves: Shelves, change: Partial<typeof choices> = {}) =>
  beginRound(store, shelves, { ...choices, ...change }, FREE_PLAN, now, newId);
beforeEach(async () => {
  store = memoryStore();
  await store.put('pianos', piano);
});

describe('a round', () => {
  it('begins a visit with what was said of it, and keeps how it was played', async () => {
    const visit = { ...visitDraft(NO_FACTS), temperature: '21', humidity: 'damp', microphone: 'own' };
    const begun = await begin({ ...EMPTY_SHELVES, pianos: [piano] }, { visit });
    expect(begun.visit).toMatchObject({
      temperatureC: 21,
      humidityPercent: null,
      player: 'A',
      microphonePlace: 'left',
    });
    expect(begun.round.setting).toEqual({ microphone: 'own', microphonePlace: 'left', player: 'A', referenceId: null });
    expect(await store.get('visits', begun.visit.id)).toEqual(begun.visit);
  });

  it('goes on with the visit of that day: what an empty field does not say stays', async () => {
    const first = await begin({ ...EMPTY_SHELVES, pianos: [piano] });
    const kept = { ...first.visit, temperatureC: 19, notes: 'cold' };
    const shelves = { ...EMPTY_SHELVES, pianos: [piano], visits: [{ visit: kept, piano, rounds: [first.round] }] };
    const second = await begin(shelves, { player: '', microphonePlace: 'right' });
    expect(second.visit).toEqual({ ...kept, microphonePlace: 'right' });
    expect(second.round).toMatchObject({ number: 2, setting: { player: 'A', microphonePlace: 'right' } });
    const { visit } = offersOf({ ...choices, visit: null }, shelves, [], now);
    expect(visit).toMatchObject({ goesOn: true, draft: { temperature: '19', notes: 'cold' } });
  });

  it('that follows is played as the visit says by then; the one before keeps how it was', async () => {
    const { visit, round } = await begin({ ...EMPTY_SHELVES, pianos: [piano] });
    const moved = { ...visit, player: 'B', microphonePlace: 'right', microphone: 'cable' };
    const sitting = { visit: moved, book: { round } };
    const next = await nextRound(store, sitting, [round], FREE_PLAN, newId);
    expect(next.setting).toEqual({ player: 'B', microphonePlace: 'right', microphone: 'cable', referenceId: null });
    expect((await store.get('rounds', round.id))?.setting).toMatchObject({ player: 'A', microphonePlace: 'left' });
  });
});

describe('plans of a piano', () => {
  const midis = (plan: ReturnType<typeof planOf>) => plan!.steps.map(({ midi }) => midi);

  it('are of its own sections and keys', () => {
    expect(midis(planOf({ ...choices, plan: 'section', sectionId: '1' }, piano))).toEqual(
      Array.from({ length: 19 }, (_, i) => 40 + i),
    );
    const sampled = midis(planOf({ ...choices, plan: 'sampled' }, piano));
    for (const end of [21, 39, 40, 58, 59, 105]) expect(sampled).toContain(end);
    expect(Math.max(...sampled)).toBe(105);
    const { sections } = offersOf({ ...choices, visit: null }, { ...EMPTY_SHELVES, pianos: [piano] }, [], now);
    expect(sections.map(({ name }) => name.split(',')[0])).toEqual(['Bass', 'Tenor', 'Treble']);
  });

  it('of one with few keys take those of the usual breaks that it has', () => {
    const small = newPiano({ id: 'p', name: 'Small', lowest: 60, highest: 80 });
    const { sections } = offersOf({ ...choices, visit: null }, { ...EMPTY_SHELVES, pianos: [small] }, [], now);
    expect(sections).toHaveLength(2);
    expect(midis(planOf({ ...choices, plan: 'sampled' }, small))).toContain(71);
  });
});
