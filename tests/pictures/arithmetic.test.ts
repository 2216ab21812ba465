/** The arithmetic behind the pictures: the robust line, the even pulse, round places, extremes, rows of sound. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { extremes } from '../../src/pictures/extremes.ts';
import { fastPassages } from '../../src/pictures/pulse.ts';
import { robustLine } from '../../src/pictures/robustLine.ts';
import { levelRange, roundPlaces, scale } from '../../src/pictures/scale.ts';
import { soundRows } from '../../src/pictures/stretches.ts';
import { figure, signed, span, spokenNote, wrapped } from '../../src/pictures/words.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { silent, stroke } from './strokes.ts';

describe('robustLine', () => {
  it('finds a line that two of ten points are far off', () => {
    const points = Array.from({ length: 10 }, (_, x) => ({ x, y: 3 - 0.5 * x + (x % 5 === 2 ? 40 : 0) }));
    const { slope, intercept, n } = robustLine(points)!;
    expect(slope).toBeCloseTo(-0.5, 9);
    expect(intercept).toBeCloseTo(3, 9);
    expect(n).toBe(10);
  });

  it('has the true slope in its interval about nine times in ten', () => {
    const random = new RandomStream(5, 'robust line');
    let inside = 0;
    for (let trial = 0; trial < 1000; trial++) {
      const points = Array.from({ length: 12 }, () => random.between(0, 10)).map((x) => ({
        x,
        y: 2 * x + random.normal(0, 1),
      }));
      const [low, high] = robustLine(points)!.interval;
      if (low <= 2 && high >= 2) inside++;
    }
    expect(inside).toBeGreaterThan(870);
    expect(inside).toBeLessThan(960);
  });

  it('has no line through points over fewer than three places', () => {
    expect(robustLine([])).toBeNull();
    expect(robustLine([0, 0, 1, 1].map((x, y) => ({ x, y })))).toBeNull();
  });
});

describe('fastPassages', () => {
  const fast = (times: readonly number[]) => times.map((t) => stroke(t, { passage: 'fast' }));
  const added = (gaps: readonly number[]) =>
    gaps.reduce<number[]>((times, gap) => [...times, times.at(-1)! + gap], [1]);

  it('takes a steady drift of the tempo for even', () => {
    const [{ gapsMs, ratePerSecond }] = fastPassages(fast(added([0.15, 0.152, 0.154, 0.156, 0.158])));
    for (const gap of gapsMs) expect(gap).toBeCloseTo(0, 6);
    expect(ratePerSecond).toBeCloseTo(1 / 0.154, 6);
  });

  it('shows a late stroke as one long gap and one short, the others even', () => {
    const gaps = [0.15, 0.15, 0.15, 0.15, 0.17, 0.13, 0.15, 0.15, 0.15, 0.15];
    const [{ gapsMs }] = fastPassages(fast(added(gaps)));
    gapsMs.forEach((gap, i) => expect(gap).toBeCloseTo(i === 4 ? 20 : i === 5 ? -20 : 0, 6));
  });

  it('knows no gap beside a silent stroke', () => {
    const strokes = fast(added(Array(8).fill(0.15) as number[]));
    strokes[3] = silent(strokes[3].timeSeconds, { passage: 'fast' });
    expect(fastPassages(strokes)[0].gapsMs.map((gap) => gap === null)).toEqual([
      false,
      false,
      true,
      true,
      false,
      false,
      false,
      false,
    ]);
  });

  it('keeps a double with its stroke, and makes no slot of it', () => {
    const strokes = fast([1, 1.15, 1.3]);
    strokes.splice(2, 0, stroke(1.2, { kind: 'double', passage: 'fast' }));
    const [{ slots, gapsMs }] = fastPassages(strokes);
    expect(slots.map(({ doubles }) => doubles.length)).toEqual([0, 1, 0]);
    expect(gapsMs).toHaveLength(2);
  });

  it('parts passages at a pause, a slow stroke, another take, another recording', () => {
    const one = fast([1, 1.15, 1.3]);
    const two = fast([1.45, 1.6, 1.75]);
    expect(fastPassages([...one, ...two])).toHaveLength(1);
    expect(fastPassages([...one, ...fast([2.5, 2.65])])).toHaveLength(2);
    expect(fastPassages([...one, stroke(1.4), ...two])).toHaveLength(2);
    expect(fastPassages([...one, ...two.map((s) => ({ ...s, take: 2 }))])).toHaveLength(2);
    expect(fastPassages([...one, ...two.map((s) => ({ ...s, source: 1 }))])).toHaveLength(2);
  });
});

describe('roundPlaces', () => {
  it('lie within, few, ascending and evenly apart', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        fc.integer({ min: 1, max: 8 }),
        (low, width, most) => {
          const places = roundPlaces(low, low + width, most);
          expect(places.length).toBeGreaterThan(0);
          expect(places.length).toBeLessThanOrEqual(most);
          for (const place of places) {
            expect(place).toBeGreaterThanOrEqual(low - 1e-6 * width);
            expect(place).toBeLessThanOrEqual(low + width * (1 + 1e-6));
          }
        },
      ),
    );
    expect(roundPlaces(44, 71)).toEqual([50, 60, 70]);
    expect(roundPlaces(-78, -1)).toEqual([-60, -40, -20]);
    expect(roundPlaces(-95, -1)).toEqual([-75, -50, -25]);
    expect(roundPlaces(5, 5)).toEqual([5]);
  });
});

describe('scales', () => {
  it('put a value without extent in the middle', () => {
    expect(scale(3, 3, 10, 20)(3)).toBe(15);
    expect(scale(0, 10, 100, 0)(2.5)).toBe(75);
  });

  it('keep equal levels level, and know no range without levels', () => {
    expect(levelRange([-20, null, -20])).toEqual([-32, -20]);
    expect(levelRange([-50, -20])).toEqual([-50, -20]);
    expect(levelRange([null])).toBeNull();
  });
});

describe('extremes', () => {
  it('are those of each column, 0 outside, whatever stands in the samples', () => {
    const samples = Float32Array.from({ length: 100 }, (_, i) =>
      i === 37 ? 0.75 : i === 81 ? -0.5 : i === 50 ? NaN : 0,
    );
    const columns = extremes(samples, 0, 200, 20);
    expect(columns.map(({ high }) => high).findIndex((high) => high > 0)).toBe(3);
    expect(columns.map(({ low }) => low).findIndex((low) => low < 0)).toBe(8);
    expect(columns.slice(11)).toEqual(Array(9).fill({ low: 0, high: 0 }));
    expect(extremes(new Float32Array(0), 0, 10, 2)).toEqual([
      { low: 0, high: 0 },
      { low: 0, high: 0 },
    ]);
  });
});

describe('soundRows', () => {
  const sound = { samples: new Float32Array(8000 * 60), sampleRate: 8000 };
  const slow = Array.from({ length: 12 }, (_, i) => stroke(2 + i));

  it('hold every stroke once, with its contact, in rows that follow each other', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0.05, max: 9, noNaN: true }), { maxLength: 40 }),
        fc.integer({ min: 300, max: 900 }),
        (gaps, width) => {
          let at = 0;
          const strokes = gaps.map((gap) => stroke((at += gap))).filter(({ timeSeconds }) => timeSeconds < 60);
          const { rows, rowSeconds } = soundRows(strokes, [sound], width);
          expect(rows.flatMap((row) => row.strokes)).toEqual(strokes);
          rows.forEach(({ from, to, strokes: own }, i) => {
            expect(to - from).toBeLessThanOrEqual(rowSeconds + 1e-6);
            expect(from).toBeGreaterThanOrEqual(i > 0 ? rows[i - 1].to : 0);
            for (const { timeSeconds } of own) expect(timeSeconds >= from && timeSeconds <= to).toBe(true);
          });
        },
      ),
    );
  });

  it('break between strokes, not within a fast passage', () => {
    const fast = Array.from({ length: 12 }, (_, i) => stroke(15 + i / 6, { passage: 'fast' }));
    const { rows } = soundRows([...slow, ...fast], [sound], 350);
    expect(rows.length).toBeGreaterThan(2);
    expect(rows.filter(({ strokes }) => strokes.some(({ passage }) => passage === 'fast'))).toHaveLength(1);
  });

  it('leave out long pauses, and recordings that are not at hand', () => {
    const late = [stroke(40), stroke(41)];
    const { rows } = soundRows([...slow, ...late, stroke(1, { source: 1 })], [sound, null], 900);
    expect(rows.at(-1)).toMatchObject({ from: 39.7, strokes: late });
    expect(soundRows(slow, [], 900).rows).toEqual([]);
    expect(soundRows(slow, [{ samples: new Float32Array(0), sampleRate: 8000 }], 900).rows).toEqual([]);
  });
});

describe('words', () => {
  it('have a true minus, and no sign on nothing', () => {
    expect([figure(-3.26, 1), figure(-0.04, 1), signed(20), signed(0.2), signed(-20)]).toEqual([
      '\u22123.3',
      '0.0',
      '+20',
      '0',
      '\u221220',
    ]);
    expect(span([48.2, 61.4], 'ms')).toBe('48 to 61 ms');
    expect(span([48.2, 48.4], 'ms')).toBe('48 ms');
    expect([spokenNote(69), spokenNote(70)]).toEqual(['A4', 'A sharp 4']);
  });

  it('are broken at blanks, and a long name is cut', () => {
    expect(wrapped('one two three', 70, 13)).toEqual(['one two', 'three']);
    expect(wrapped('', 60, 13)).toEqual([]);
    const [cut] = wrapped('x'.repeat(500), 60, 13);
    expect(cut).toMatch(/^x+\u2026$/);
    expect(cut.length).toBeLessThan(10);
  });
});
