/** Hands-free takes from strokes alone: where they begin and end, what counts, and what is left out. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TakeCutter, type Asked, type Cut, type NamedStroke } from '../../src/strokes/taking.ts';

const A4 = 69;
const B4 = 71;

interface Played {
  readonly midi: number | null;
  readonly at: number;
  readonly alike?: boolean;
}

/** Plays strokes, the clock going on by hundredths of a second between them and `after` seconds past the last. */
function play(played: readonly Played[], options: { heard?: number[]; asked?: Asked; after?: number } = {}): Cut[] {
  const cutter = new TakeCutter(options.heard ?? [], options.asked ?? 'slow-fast', 12);
  const cuts: Cut[] = [];
  let now = 0;
  const until = (end: number) => {
    for (; now < end; now += 0.01) cuts.push(...cutter.advance(now));
  };
  for (const { midi, at, alike } of played) {
    until(at);
    cuts.push(...cutter.stroke({ seconds: at, midi, alike: alike ?? midi === cutter.midi }));
  }
  until(now + (options.after ?? 6));
  return cuts;
}

const row = (midi: number, from: number, count: number, interval: number): Played[] =>
  Array.from({ length: count }, (_, i) => ({ midi, at: from + i * interval }));
const pattern = (midi: number, from: number): Played[] => [
  ...row(midi, from, 8, 1),
  ...row(midi, from + 8.2, 12, 1 / 6),
];
const ends = (cuts: readonly Cut[]) => cuts.filter((cut) => cut.type === 'ended');
const strays = (cuts: readonly Cut[]) => cuts.flatMap((cut) => (cut.type === 'stray' ? [cut.midi] : []));

describe('a take', () => {
  it('begins with the first of two strokes of a note, turns to fast, and ends 1.2 s after the twelfth fast one', () => {
    const cuts = play(pattern(A4, 1));
    expect(cuts[0]).toEqual({ type: 'begun', midi: A4, seconds: 1 });
    const told = new Map<number, string>();
    for (const cut of cuts) if (cut.type === 'stroke') told.set(cut.seconds, cut.passage);
    expect([...told.values()].filter((passage) => passage === 'slow')).toHaveLength(8);
    expect([...told.values()].filter((passage) => passage === 'fast')).toHaveLength(12);
    const [end] = ends(cuts);
    expect(end).toMatchObject({ midi: A4, worth: 'enough' });
    expect(end.type === 'ended' && end.toSeconds).toBeCloseTo(1 + 8.2 + 11 / 6 + 1.2, 1);
    expect(ends(cuts)).toHaveLength(1);
  });

  it('ends so after a fast passage whose repeats failed, because its beats count', () => {
    const fast = row(A4, 9.2, 12, 1 / 6).filter((_, i) => ![3, 5, 8].includes(i));
    const [end] = ends(play([...row(A4, 1, 8, 1), ...fast]));
    expect(end.type === 'ended' && end.toSeconds).toBeCloseTo(9.2 + 11 / 6 + 1.2, 1);
  });

  it('bears a pause of 2.5 s, or of 2.5 running intervals, and no longer', () => {
    for (const [interval, bears] of [
      [1, 2.5],
      [1.5, 3.75],
    ]) {
      const first = row(A4, 1, 6, interval);
      const last = first[5].at;
      const second = (pause: number) => row(A4, last + pause, 6, interval);
      expect(ends(play([...first, ...second(bears - 0.1)]))).toHaveLength(1);
      expect(ends(play([...first, ...second(bears + 0.1)]))).toHaveLength(2);
    }
  });

  it('ends where another note is played twice, before its first stroke', () => {
    const cuts = play([...row(A4, 1, 8, 1), ...row(B4, 9, 8, 1)]);
    expect(ends(cuts)[0]).toMatchObject({ midi: A4, worth: 'enough' });
    const end = ends(cuts)[0];
    expect(end.type === 'ended' && end.toSeconds).toBeCloseTo(8.95, 6);
    const begun = cuts.filter((cut) => cut.type === 'begun');
    expect(begun[1]).toEqual({ type: 'begun', midi: B4, seconds: 9 });
    expect(strays(cuts)).toEqual([]);
  });

  it('is not spoilt by a note played once, nor by sounds without a note', () => {
    const strokes = [...pattern(A4, 1), { midi: B4, at: 3.5 }, { midi: null, at: 5.4 }, { midi: 64, at: 6.5 }];
    const cuts = play(strokes.sort((a, b) => a.at - b.at));
    expect(ends(cuts)).toHaveLength(1);
    expect(ends(cuts)[0]).toMatchObject({ midi: A4, worth: 'enough' });
    expect(strays(cuts)).toEqual([B4, 64]);
  });

  it('takes in strokes whose name is unclear or wrong, where their attack is its own', () => {
    const strokes = pattern(A4, 1).map((s, i) => (i % 3 === 2 ? { ...s, midi: i % 2 ? null : 57, alike: true } : s));
    const cuts = play(strokes);
    expect(ends(cuts)).toHaveLength(1);
    expect(new Set(cuts.flatMap((cut) => (cut.type === 'stroke' ? [cut.seconds] : []))).size).toBe(20);
    expect(strays(cuts)).toEqual([]);
  });
});

describe('what is no take', () => {
  it('a scale begins none, and every note of it is told as left out', () => {
    const scale = [60, 62, 64, 65, 67, 69, 71, 72].map((midi, i) => ({ midi, at: 1 + 0.4 * i }));
    const cuts = play(scale);
    expect(cuts.filter(({ type }) => type !== 'stray')).toEqual([]);
    expect(strays(cuts)).toEqual(scale.map(({ midi }) => midi));
  });

  it('a test blow or two are too few', () => {
    expect(ends(play(row(A4, 1, 2, 0.8)))).toMatchObject([{ worth: 'too-few-strokes' }]);
    expect(ends(play(row(A4, 1, 4, 1)))).toMatchObject([{ worth: 'too-few-strokes' }]);
    expect(ends(play(row(A4, 1, 5, 1)))).toMatchObject([{ worth: 'enough' }]);
  });

  it('a fast passage alone counts only for a note that was heard slowly', () => {
    const fast = row(A4, 1, 12, 1 / 6);
    expect(ends(play(fast))).toMatchObject([{ worth: 'fast-only-of-a-new-note' }]);
    expect(ends(play(fast, { heard: [A4] }))).toMatchObject([{ worth: 'enough' }]);
    expect(ends(play([...pattern(A4, 1), ...row(A4, 14, 12, 1 / 6)]))).toMatchObject([
      { worth: 'enough' },
      { worth: 'enough' },
    ]);
    expect(ends(play(row(A4, 1, 4, 1 / 6), { heard: [A4] }))).toMatchObject([{ worth: 'too-few-strokes' }]);
  });

  it('gentle strokes and those under a bar count from six on', () => {
    for (const asked of ['gentle', 'bar'] as const) {
      expect(ends(play(row(A4, 1, 5, 1.5), { asked }))).toMatchObject([{ worth: 'too-few-strokes' }]);
      expect(ends(play(row(A4, 1, 6, 1.5), { asked }))).toMatchObject([{ worth: 'enough' }]);
    }
  });
});

describe('the cutter', () => {
  const stroke = (midi: number, seconds: number): NamedStroke => ({ midi, seconds, alike: false });

  it('begins nothing while it rests, and goes on afterwards', () => {
    const cutter = new TakeCutter([], 'slow-fast', 12);
    for (let i = 0; i < 6; i++) cutter.stroke(stroke(A4, i));
    expect(cutter.rest(5.5)).toMatchObject([{ type: 'ended', toSeconds: 5.5, worth: 'enough' }]);
    expect([6, 7, 8].flatMap((at) => cutter.stroke(stroke(B4, at)))).toEqual([]);
    cutter.goOn();
    expect([9, 10].flatMap((at) => cutter.stroke(stroke(B4, at)))[0]).toMatchObject({ type: 'begun', midi: B4 });
  });

  it('forgets a take that was taken back: its note must be heard slowly again', () => {
    const cutter = new TakeCutter([A4], 'slow-fast', 12);
    cutter.forget(A4);
    for (let i = 0; i < 12; i++) cutter.stroke(stroke(A4, i / 6));
    expect(cutter.cut(3)).toMatchObject([{ worth: 'fast-only-of-a-new-note' }]);
  });

  it('keeps its order whatever is played: takes do not overlap, and each stroke is in one or told or unnamed', () => {
    const strokes = fc.array(
      fc.record({
        midi: fc.constantFrom(60, 64, 69, null),
        gap: fc.double({ min: 0.05, max: 5, noNaN: true }),
        alike: fc.boolean(),
      }),
      { minLength: 1, maxLength: 60 },
    );
    fc.assert(
      fc.property(strokes, (list) => {
        const cutter = new TakeCutter([], 'slow-fast', 12);
        const cuts: Cut[] = [];
        let at = 0;
        for (const { midi, gap, alike } of list) {
          at += gap;
          cuts.push(...cutter.stroke({ seconds: at, midi, alike: alike && cutter.midi !== null }));
        }
        cuts.push(...cutter.advance(at + 60));
        let running: number | null = null;
        let lastEnd = 0;
        const placed = new Set<number>();
        for (const cut of cuts) {
          if (cut.type === 'begun') {
            expect(running).toBeNull();
            expect(cut.seconds).toBeGreaterThanOrEqual(lastEnd);
            running = cut.midi;
          } else if (cut.type === 'ended') {
            expect(cut.midi).toBe(running);
            expect(cut.toSeconds).toBeGreaterThan(lastEnd);
            lastEnd = cut.toSeconds;
            running = null;
          } else if (cut.type === 'stroke') {
            expect(running).not.toBeNull();
            placed.add(cut.seconds);
          } else placed.add(cut.seconds);
        }
        expect(running).toBeNull();
        let time = 0;
        for (const { midi, gap, alike } of list) {
          time += gap;
          if (midi !== null && !alike) expect(placed.has(time)).toBe(true);
        }
      }),
      { numRuns: 300 },
    );
  });
});
