/** The lanes of Listen, and the orders, from strokes alone. */

import { describe, expect, it } from 'vitest';
import { lanesOf, passageNow, passagesSoFar } from '../../../src/app/sitting/lanes.ts';
import { orderOf } from '../../../src/app/sitting/orders.ts';
import { fastRuns, shownStrokes, type ShownStroke } from '../../../src/app/sitting/soFar.ts';

const stroke = (seconds: number, more: Partial<ShownStroke> = {}): ShownStroke => ({
  seconds,
  kind: 'sounded',
  fast: false,
  clear: true,
  double: false,
  levelDb: -20,
  ...more,
});
const slow = (count: number) => Array.from({ length: count }, (_, i) => stroke(i));
const fast = (count: number, from: number, more: Partial<ShownStroke> = {}) =>
  Array.from({ length: count }, (_, i) => stroke(from + i / 6, { fast: true, ...more }));

describe('lanes', () => {
  it('light the first wanted place of the passage that is played now, and count what is beyond', () => {
    const soFar = passagesSoFar('slow-fast', slow(3));
    const now = passageNow(soFar);
    const lanes = lanesOf(soFar, now);
    expect(lanes.map(({ done, wanted }) => [done, wanted])).toEqual([
      [3, 8],
      [0, 12],
    ]);
    expect(lanes[0].slots.map(({ state }) => state)).toEqual([
      ...Array(3).fill('sounded'),
      'now',
      ...Array(4).fill('wanted'),
    ]);
    expect(lanes[1].slots.every(({ state }) => state === 'wanted')).toBe(true);
    expect(orderOf(soFar, now)).toMatchObject({ word: 'Slow', count: '5 more' });
    const over = lanesOf(passagesSoFar('slow-fast', slow(10)), 1);
    expect(over[0]).toMatchObject({ done: 8, extra: 2 });
  });

  it('turn to fast after the slow strokes, or where fast ones have begun, and are done after both', () => {
    expect(orderOf(passagesSoFar('slow-fast', slow(8)), passageNow(passagesSoFar('slow-fast', slow(8))))).toMatchObject(
      {
        word: 'Fast',
        count: '12 more',
      },
    );
    const early = passagesSoFar('slow-fast', [...slow(6), ...fast(4, 7)]);
    expect(orderOf(early, passageNow(early))).toMatchObject({ word: 'Fast', count: '8 more' });
    const all = passagesSoFar('slow-fast', [...slow(8), ...fast(12, 9)]);
    expect(passageNow(all)).toBe(-1);
    expect(orderOf(all, -1).word).toBe('Done');
  });

  it('show silent, weak and double strokes each in its own way, and heights that grow with loudness', () => {
    const strokes = [
      ...slow(8),
      ...fast(1, 9, { levelDb: -20 }),
      ...fast(1, 9.2, { kind: 'silent', levelDb: null }),
      ...fast(1, 9.4, { kind: 'weak', levelDb: -33 }),
      ...fast(1, 9.6, { double: true, levelDb: -26 }),
    ];
    const [, lane] = lanesOf(passagesSoFar('slow-fast', strokes), 1);
    expect(lane.slots.slice(0, 5).map(({ state }) => state)).toEqual(['sounded', 'silent', 'weak', 'sounded', 'now']);
    const [first, , , fourth] = lane.slots;
    expect(fourth).toMatchObject({ double: true });
    expect(first.state === 'sounded' && fourth.state === 'sounded' && first.height > fourth.height).toBe(true);
    for (const slot of lane.slots) if ('height' in slot) expect(slot.height).toBeGreaterThan(0);
  });

  it('of an open note take the passages in their order, also over several takes', () => {
    const earlier = [...slow(18), ...fast(12, 20)].map((one) => ({ ...one, seconds: one.seconds - 1e6 }));
    const soFar = passagesSoFar('open', [...earlier, ...fast(5, 0)]);
    expect(soFar.map(({ strokes }) => strokes.length)).toEqual([18, 12, 5, 0]);
    expect(orderOf(soFar, passageNow(soFar))).toMatchObject({ word: 'Fast', count: '7 more' });
    const firm = passagesSoFar('open', slow(6));
    expect(orderOf(firm, 0)).toMatchObject({ word: 'Firm', count: '3 of 6' });
    expect(orderOf(passagesSoFar('open', slow(7)), 0)).toMatchObject({ word: 'Slow', count: '3 of 6' });
  });
});

describe('strokes so far', () => {
  it('are the live ones until the refinement has come, and after it those at its end', () => {
    const live = [0.8, 1.8, 2.8].map((seconds) => ({
      seconds,
      frame: 0,
      levelDb: -20,
      contact: 'none' as const,
      passage: 'slow' as const,
    }));
    expect(shownStrokes(60, null, live)).toHaveLength(3);
    const document = { strokes: [] } as unknown as Parameters<typeof shownStrokes>[1] extends infer R
      ? R extends { document: infer D }
        ? D
        : never
      : never;
    expect(shownStrokes(60, { document, seconds: 2 }, live).map(({ seconds }) => seconds)).toEqual([2.8]);
  });

  it('part fast passages at slow strokes and at pauses', () => {
    expect(fastRuns([...fast(4, 0), ...fast(4, 2.5)]).map((run) => run.length)).toEqual([4, 4]);
    expect(fastRuns([...fast(4, 0), stroke(1), ...fast(4, 1.2)]).map((run) => run.length)).toEqual([4, 4]);
    expect(fastRuns(slow(4))).toEqual([]);
  });
});
