/** Passages, echoes and doubles, on hand-made lists of times. */

import { describe, expect, it } from 'vitest';
import { tellDoubles, withoutEchoes } from '../../src/strokes/company.ts';
import { passagesOf } from '../../src/strokes/passages.ts';

const every = (from: number, step: number, n: number) => Array.from({ length: n }, (_, i) => from + i * step);

describe('passagesOf', () => {
  it('tells slow from fast in any order', () => {
    const times = [...every(0, 1, 8), ...every(8, 0.16, 12), ...every(10.9, 1, 3)];
    const { passages, missing, rate } = passagesOf(times);
    expect(passages.slice(0, 8)).toEqual(Array(8).fill('slow'));
    expect(passages.slice(8, 20)).toEqual(Array(12).fill('fast'));
    expect(passages.slice(20)).toEqual(Array(3).fill('slow'));
    expect(missing).toEqual([]);
    expect(rate).toBeCloseTo(6.25, 6);
  });

  it('says which beats of a fast passage stayed empty', () => {
    const beats = every(0, 0.15, 12).filter((_, i) => i !== 4 && i !== 7 && i !== 8);
    const { passages, missing } = passagesOf(beats);
    expect(passages.every((p) => p === 'fast')).toBe(true);
    expect(missing.map(({ seconds }) => Number(seconds.toFixed(3)))).toEqual([0.6, 1.05, 1.2]);
    expect(missing.map(({ after }) => after)).toEqual([3, 5, 5]);
  });

  it('invents no beat at the end of a passage, nor in slow strokes', () => {
    expect(passagesOf([...every(0, 0.15, 8), 1.5]).missing).toEqual([]);
    expect(passagesOf([0, 1, 2, 4, 5, 6]).missing).toEqual([]);
  });

  it('keeps a fast passage together when half of its repeats fail, edges too', () => {
    const slow = every(0, 1, 6);
    const fast = every(6.2, 0.16, 14).filter((_, i) => ![1, 2, 4, 6, 8, 9, 12].includes(i));
    const { passages, missing, rate } = passagesOf([...slow, ...fast, ...every(9.5, 1, 2)]);
    expect(passages.filter((p) => p === 'fast')).toHaveLength(7);
    expect(missing).toHaveLength(7);
    expect(rate).toBeCloseTo(6.25, 6);
  });

  it('follows a beat that slows down without inventing silence', () => {
    let now = 0;
    const times = Array.from({ length: 16 }, (_, i) => (now += 0.13 + 0.006 * i));
    expect(passagesOf(times).missing).toEqual([]);
  });

  it('places a stroke that stands alone nowhere', () => {
    expect(passagesOf([3]).passages).toEqual([null]);
    expect(passagesOf([0, 9]).passages).toEqual([null, null]);
    expect(passagesOf([]).passages).toEqual([]);
  });
});

describe('withoutEchoes', () => {
  const stroke = (seconds: number, gain = 0, match = 0.9) => ({ seconds, gain, match });

  it('drops what stands at one distance after many strokes', () => {
    const strokes = every(0, 0.51, 8).map((t, i) => stroke(t + 0.013 * i));
    const echoes = strokes.map(({ seconds }) => stroke(seconds + 0.0531, -14, 0.45));
    const all = [...strokes, ...echoes].sort((a, b) => a.seconds - b.seconds);
    expect(withoutEchoes(all)).toEqual(strokes);
  });

  it('keeps soft strokes of an uneven hand', () => {
    const strokes = [0, 0.131, 0.252, 0.389, 0.507, 0.641, 0.759, 0.888].map((t, i) => stroke(t, i % 2 ? -9 : 0));
    expect(withoutEchoes(strokes)).toEqual(strokes);
  });
});

describe('tellDoubles', () => {
  const place = (seconds: number, gain = 0, match = 0.9) => ({ seconds, gain, match });

  it('marks a second contact well before the next stroke', () => {
    const found = [place(0), place(0.07, -10), place(1), place(2), place(2.09, -6), place(3), place(4)];
    expect(tellDoubles(found).map(({ double }) => double)).toEqual([false, true, false, false, true, false, false]);
  });

  it('drops a poor match in that place', () => {
    expect(tellDoubles([place(0), place(0.07, -10, 0.4), place(1), place(2)])).toHaveLength(3);
  });

  it('leaves a soft stroke after a missed beat alone', () => {
    const times = [0, 0.16, 0.49, 0.65, 0.98, 1.14, 1.31];
    const found = times.map((t, i) => place(t, i % 2 ? -6 : 0));
    expect(tellDoubles(found).some(({ double }) => double)).toBe(false);
  });

  it('leaves fourteen strokes a second alone', () => {
    const found = every(0, 0.071, 14).map((t, i) => place(t, i % 2 ? -6 : 0));
    expect(tellDoubles(found).some(({ double }) => double)).toBe(false);
  });

  it('leaves a soft stroke on its beat alone, at eight a second', () => {
    const found = every(0, 0.125, 12).map((t, i) => place(t, i % 2 ? -8 : 0));
    expect(tellDoubles(found).some(({ double }) => double)).toBe(false);
  });
});
