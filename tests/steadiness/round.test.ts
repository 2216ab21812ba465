/** A round parted into notes and looks: by what was asked for, and without. */

import { describe, expect, it } from 'vitest';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { MOST_LOOKS, playOf, type RecordedTake } from '../../src/steadiness/round.ts';
import { passage } from './repeatPlay.ts';

type Part = 'slow' | 'fast' | 'few';
type Asked = RecordedTake['asked'];

/** Strokes and takes of one note, a take each with its parts in order. */
function played(...takes: readonly [Asked, ...Part[]][]) {
  const strokes: RecordedStroke[] = [];
  const said: RecordedTake[] = [];
  takes.forEach(([asked, ...parts], i) => {
    const take = i + 1;
    said.push({ take, midi: 60, asked, touch: 'finger', ratePerSecond: null });
    parts.forEach((part, k) => {
      const text = part === 'few' ? '..' : part === 'slow' ? '........' : '............';
      const start = 100 * take + 20 * k;
      strokes.push(...passage(text, { take, start, passage: part === 'fast' ? 'fast' : 'slow' }));
    });
  });
  return { strokes, takes: said };
}

/** The takes of each look of that note. */
function looksOf(...takes: readonly [Asked, ...Part[]][]): number[][] {
  const { strokes, takes: said } = played(...takes);
  const [{ looks }] = playOf(strokes, said);
  expect(looks.flat()).toEqual(strokes);
  return looks.map((look) => [...new Set(look.map(({ take }) => take))]);
}

describe('looks by what was asked for', () => {
  it('begin with every open pattern', () => {
    expect(looksOf(['slow-fast', 'slow', 'fast'])).toEqual([[1]]);
    expect(
      looksOf(['slow-fast', 'slow', 'fast'], ['open', 'slow', 'fast', 'fast'], ['open', 'slow', 'fast', 'fast']),
    ).toEqual([[1], [2], [3]]);
  });

  it('hold an open pattern together that was heard as several takes', () => {
    const first = ['slow-fast', 'slow', 'fast'] as [Asked, ...Part[]];
    expect(looksOf(first, ['open', 'slow', 'fast'], ['open', 'fast'], ['open', 'fast'])).toEqual([[1], [2, 3, 4]]);
    expect(looksOf(first, ['open', 'slow'], ['open', 'fast'], ['open', 'fast'])).toEqual([[1], [2, 3, 4]]);
    expect(
      looksOf(first, ['open', 'slow', 'fast'], ['open', 'fast'], ['open', 'slow', 'fast'], ['open', 'fast']),
    ).toEqual([[1], [2, 3], [4, 5]]);
    // A couple of strokes before the passage are no slow pattern.
    expect(looksOf(first, ['open', 'slow', 'fast'], ['open', 'few', 'fast'])).toEqual([[1], [2, 3]]);
  });

  it('begin with an open take of quick strokes alone after the first look', () => {
    expect(looksOf(['slow-fast', 'slow', 'fast'], ['open', 'fast'], ['open', 'fast'])).toEqual([[1], [2, 3]]);
  });

  it('are one where the first pattern fell into two takes', () => {
    expect(looksOf(['slow-fast', 'slow'], ['slow-fast', 'fast'])).toEqual([[1, 2]]);
  });

  it('do not begin with a control, a gentle take or a bar', () => {
    const first = ['slow-fast', 'slow', 'fast'] as [Asked, ...Part[]];
    for (const asked of ['full-return', 'gentle', 'bar', 'just-over-half'] as const) {
      expect(looksOf(first, [asked, 'slow', 'fast'], ['open', 'slow', 'fast']), asked).toEqual([[1, 2], [3]]);
    }
  });
});

describe('looks where nothing is known', () => {
  const plain = (...parts: Part[]): [Asked, ...Part[]] => [null, ...parts];

  it('begin with slow strokes after fast ones', () => {
    expect(looksOf(plain('slow', 'fast'), plain('slow', 'fast', 'fast'), plain('slow', 'fast'))).toEqual([
      [1],
      [2],
      [3],
    ]);
    expect(looksOf(plain('slow'), plain('fast'))).toEqual([[1, 2]]);
    expect(looksOf(plain('slow'), plain('slow'), plain('fast'))).toEqual([[1, 2, 3]]);
  });

  it('begin with fast strokes after the first look, later ones go on', () => {
    expect(looksOf(plain('slow', 'fast'), plain('fast'), plain('fast'))).toEqual([[1], [2, 3]]);
    expect(looksOf(plain('slow', 'fast'), plain('few'))).toEqual([[1, 2]]);
  });

  it('are three at most; what is played after belongs to the last', () => {
    const all = Array.from({ length: 5 }, () => plain('slow', 'fast'));
    expect(MOST_LOOKS).toBe(3);
    expect(looksOf(...all)).toEqual([[1], [2], [3, 4, 5]]);
  });
});

describe('notes of a round', () => {
  it('stand from bass to treble, each with its own takes, strokes without a note left out', () => {
    const strokes = [
      ...passage('....', { midi: 72, take: 1 }),
      ...passage('....', { midi: 40, take: 2, start: 10 }),
      ...passage('..', { take: 3, start: 20 }).map((one) => ({ ...one, midi: null })),
      ...passage('....', { midi: 72, take: 4, start: 30 }),
    ];
    const takes = [1, 2, 3].map((take) => ({ take, midi: 40, asked: null, touch: null, ratePerSecond: 6 }));
    const plays = playOf(strokes, takes);
    expect(plays.map(({ midi }) => midi)).toEqual([40, 72]);
    // Take 4 is not known: its strokes stand all the same.
    expect([...plays[1].takes.keys()]).toEqual([1]);
    expect(plays[1].looks.flat()).toHaveLength(8);
    expect(playOf([], [])).toEqual([]);
  });

  it('have looks of their own, however they were played in turn', () => {
    const strokes: RecordedStroke[] = [];
    const takes: RecordedTake[] = [];
    for (const [i, midi] of [60, 62, 60, 64, 62].entries()) {
      const take = i + 1;
      takes.push({ take, midi, asked: i < 2 || midi === 64 ? 'slow-fast' : 'open', touch: null, ratePerSecond: 6 });
      strokes.push(...passage('........', { take, midi, start: 100 * take, passage: 'slow' }));
      strokes.push(...passage('............', { take, midi, start: 100 * take + 10 }));
    }
    expect(playOf(strokes, takes).map(({ midi, looks }) => [midi, looks.length])).toEqual([
      [60, 2],
      [62, 2],
      [64, 1],
    ]);
  });
});
