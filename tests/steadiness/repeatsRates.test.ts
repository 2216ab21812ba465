/**
 * What the judgement of repeats does over whole sittings: false decisions, failing notes found, weak hands. The hand's misses come
 * from depths of return, not from the distribution the limits are computed with (see repeatPiano); `repeatMeter` prints the full table.
 */

import { describe, expect, it } from 'vitest';
import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import {
  FIRST,
  FRESH,
  HANDS,
  played,
  playLook,
  REFERENCE,
  repeatRates,
  sitThrough,
  type Hand,
  type Passage,
} from './repeatPiano.ts';

describe('notes in order', () => {
  it.each([['half'], ['one'], ['three']] as const)('hand %s: hardly one decided', (hand) => {
    // Measured over 24 sittings: 0, 0 and 0.17 (repeatMeter).
    const { falsePer88, expectedPer88 } = repeatRates(HANDS[hand], null, 0, 5, 900);
    expect(falsePer88).toBeLessThanOrEqual(0.5);
    expect(expectedPer88).toBeGreaterThan(0.02);
    expect(expectedPer88).toBeLessThan(0.4);
  });

  it('most are clear, and hardly one is doubtful', () => {
    const { clear, doubtful } = repeatRates(HANDS.one, null, 0, 3, 950);
    expect(clear).toBeGreaterThan(0.8);
    expect(doubtful).toBeLessThan(0.03);
  });

  it.each([1.2, 0.8, 0.2, -0.6])('a hand that misses everywhere decides nothing (%d mm over)', (over) => {
    const hand: Hand = { over, within: 0.8, between: 0.3 };
    const { falsePer88, gauges } = repeatRates(hand, null, 0, 2, 970);
    expect(falsePer88).toBe(0);
    expect(gauges['let-up-more']).toBe(2);
  });
});

describe('failing notes', () => {
  it('two in five repeats silent are found over three looks, every tenth or every seventh note', () => {
    for (const share of [0.1, 0.15]) {
      const { found, missed, falsePer88 } = repeatRates(HANDS.one, { silent: [0.4, 0.4] }, share, 3, 30);
      expect(found).toBeGreaterThan(0.93);
      expect(missed).toBeLessThan(0.03);
      expect(falsePer88).toBeLessThan(0.5);
    }
  });

  it('one in five silent: some are found, few are called clear', () => {
    const { found, missed } = repeatRates(HANDS.one, { silent: [0.2, 0.2] }, 0.1, 4, 40);
    expect(found).toBeGreaterThan(0.2);
    expect(missed).toBeLessThan(0.15);
  });

  it('doubles in a quarter of the strokes are found', () => {
    expect(repeatRates(HANDS.one, { doubles: 0.25 }, 0.1, 3, 50).found).toBeGreaterThan(0.9);
  });

  it('failing at the quick rate only is found on fresh strokes, and named by its rate', () => {
    const { evidence, faults } = sitThrough(60, HANDS.one, (midi) => (midi % 8 === 0 ? { silent: [0.08, 0.8] } : null));
    const bad = [...evidence.notes].filter(([midi]) => faults.get(midi)).map(([, one]) => one);
    const played = bad.filter(({ n }) => n > 11);
    expect(played.length).toBeGreaterThan(2);
    for (const { decides, pattern } of played) expect([decides, pattern]).toEqual([true, 'rate']);
  });

  it('what could have been shown shrinks with the strokes played, and is found about so often', () => {
    const shownBy = (strokes: readonly RecordedStroke[]) => judgedAlone(strokes).couldHaveShown!;
    const chance = new RandomStream(70, 'shown');
    const look = (passages: readonly Passage[], rate: number) =>
      playLook(60, 1, passages, HANDS.half, { silent: [rate, rate] }, chance);
    const [first, fresh] = [shownBy(look(FIRST, 0)), shownBy(look(FRESH, 0))];
    expect(fresh).toBeLessThan(0.8 * first);
    for (const [passages, rate] of [
      [FIRST, first],
      [FRESH, fresh],
    ] as const) {
      const found = Array.from({ length: 300 }, () => judgedAlone(look(passages, rate)).decides).filter(Boolean).length;
      // Stated for failures that cluster; these come singly, which is a little easier.
      expect(found / 300).toBeGreaterThan(0.75);
      expect(found / 300).toBeLessThan(0.97);
    }
  });
});

/** One note alone, held against stored base rates. */
function judgedAlone(strokes: readonly RecordedStroke[]) {
  const rates = { silent: 0.005, faint: 0.01 };
  const reference = { ...REFERENCE, baseRates: { steady: rates, quick: rates, doubles: 0.003, notes: 20 } };
  return judgeRepeats([played(60, [strokes])], reference).notes.get(60)!;
}
