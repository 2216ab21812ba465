/** What counts as a repeat, how it came out, and where one passage ends and another begins. */

import { describe, expect, it } from 'vitest';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { countRepeats, fastRuns, joined } from '../../src/steadiness/repeats/counts.ts';
import { measuresOf } from '../../src/steadiness/repeats/numbers.ts';
import { passage } from './repeatPlay.ts';

const counted = (text: string, more = {}) => countRepeats(passage(text, more), new Map());
const take = (number: number, asked: RecordedTake['asked']): [number, RecordedTake] => [
  number,
  { take: number, midi: 60, asked, touch: 'finger', ratePerSecond: null },
];

describe('repeats counted', () => {
  it('are fast strokes but the first of each passage', () => {
    expect(counted('............').steady).toEqual({ n: 11, silent: 0, faint: 0 });
    expect(counted('........', { passage: 'slow' })).toMatchObject({ steady: { n: 0 }, quick: { n: 0 }, passages: [] });
    expect(counted('.')).toMatchObject({ steady: { n: 0 }, passages: [] });
    expect(countRepeats([], new Map())).toMatchObject({ steady: { n: 0 }, struck: { n: 0, doubles: 0 } });
  });

  it('tell silent, heard far under, and weak apart; 7 dB under is no failure', () => {
    const { steady, under, passages } = counted('.s.f.w.l....');
    expect(steady).toEqual({ n: 11, silent: 2, faint: 3 });
    expect(under).toBe(4);
    expect(passages).toEqual([
      {
        quick: false,
        silent: [true, false, true, ...Array<boolean>(8).fill(false)],
        failed: [true, false, true, false, true, ...Array<boolean>(6).fill(false)],
      },
    ]);
  });

  it('does not count a first stroke that failed', () => {
    expect(counted('w...........').steady).toEqual({ n: 11, silent: 0, faint: 0 });
  });

  it('take the rate with its empty beats', () => {
    for (const text of ['8:............', '8:.s.s.s.s.s.s', '7.2:.ss.ss.ss.ss']) {
      expect(counted(text).quick.n, text).toBe(text.split(':')[1].length - 1);
      expect(counted(text).steady.n).toBe(0);
    }
    expect(counted('6.8:............').steady.n).toBe(11);
  });

  it('part at a pause, at a take and at a slow stroke, not at an empty beat or a double', () => {
    const whole = passage('....');
    const lengths = (strokes: ReturnType<typeof passage>) => fastRuns(strokes).map(({ length }) => length);
    expect(lengths([...whole, ...passage('....', { start: 3 })])).toEqual([4, 4]);
    expect(lengths([...whole, ...passage('....', { start: 4 / 6 })])).toEqual([8]);
    expect(lengths([...whole, ...passage('....', { start: 4 / 6, take: 2 })])).toEqual([4, 4]);
    expect(
      lengths([...whole, ...passage('.', { start: 0.7, passage: 'slow' }), ...passage('....', { start: 0.9 })]),
    ).toEqual([4, 4]);
    expect(lengths(passage('.ss.dd..'))).toEqual([8]);
  });

  it('count 6 dB under as failed after a damped gap, by rate', () => {
    const six = counted('.oOx.l.s....');
    expect(six.dampedSteady).toEqual({ n: 3, failed: 2 });
    expect(six.dampedQuick).toEqual({ n: 0, failed: 0 });
    // The one that is 7 dB under is no failure of the series.
    expect(six.steady).toEqual({ n: 11, silent: 2, faint: 2 });
    expect(counted('8:.oOx........').dampedQuick).toEqual({ n: 3, failed: 2 });
  });

  it('keep passages asked for with full return apart', () => {
    const strokes = [...passage('.s.w........'), ...passage('.ssssssss...', { take: 2, start: 9 })];
    const counts = countRepeats(strokes, new Map([take(1, 'slow-fast'), take(2, 'full-return')]));
    expect(counts.steady).toEqual({ n: 11, silent: 1, faint: 2 });
    expect(counts.fullReturn).toEqual({ n: 11, failed: 8 });
    expect(counts.passages).toHaveLength(1);
  });

  it('count strokes struck twice, each once, of slow and fast strokes', () => {
    expect(counted('.d..d.......').struck).toEqual({ n: 12, doubles: 2 });
    expect(counted('..d.....', { passage: 'slow' }).struck).toEqual({ n: 8, doubles: 1 });
    const [one, twice] = passage('d');
    const thrice = { ...twice, timeSeconds: twice.timeSeconds + 0.05 };
    expect(countRepeats([one, twice, thrice, ...passage('...', { start: 1 })], new Map()).struck).toEqual({
      n: 4,
      doubles: 1,
    });
    // A double whose own stroke was not heard leaves no share above one.
    expect(countRepeats([twice], new Map()).struck).toEqual({ n: 0, doubles: 0 });
  });

  it('add up over looks, and stand as measures with their n', () => {
    const looks = [counted('.s.w........'), counted('8:.oO.s.......'), counted('.d..........')];
    const sum = joined(looks);
    expect(sum).toMatchObject({
      steady: { n: 22, silent: 1, faint: 2 },
      quick: { n: 11, silent: 1, faint: 1 },
      dampedQuick: { n: 2, failed: 1 },
      struck: { n: 34, doubles: 1 },
    });
    expect(sum.passages).toHaveLength(3);
    const measures = measuresOf(sum);
    expect(measures.map(({ kind, n }) => [kind, n])).toEqual([
      ['silent-repeats', 33],
      ['weak-repeats', 33],
      ['after-damped', 2],
      ['double-strikes', 34],
    ]);
    for (const { value, interval } of measures) {
      expect(interval[0]).toBeLessThanOrEqual(value);
      expect(interval[1]).toBeGreaterThanOrEqual(value);
    }
    expect(measuresOf(counted(''))).toEqual([]);
  });
});
