/** Robust lines, lag-one correlation, timer and motor: invariances and simulation. */

import fc from 'fast-check';
import * as library from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { lagOneCorrelation, lagOneCovariance } from '../../src/statistics/autocorrelation.ts';
import { robustLine } from '../../src/statistics/robustLine.ts';
import { twoLevelIntervals, twoLevelTiming } from '../../src/statistics/twoLevelTiming.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

describe('robust line', () => {
  it('is exact on a line, and with a quarter of the values spoilt', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: -50, max: 50 }), { minLength: 8, maxLength: 30 }),
        fc.integer({ min: -9, max: 9 }),
        fc.integer({ min: -9, max: 9 }),
        (x, slope, intercept) => {
          const y = x.map((v, i) => (i < Math.floor(x.length / 4) ? 1000 + 17 * i * i : intercept + slope * v));
          const line = robustLine(x, y);
          expect(line.slope).toBeCloseTo(slope, 12);
          expect(line.intercept).toBeCloseTo(intercept, 12);
        },
      ),
    );
  });

  it.each([
    // Seven points: 1 − 2·174/5040 and 1 − 2·76/5040 (inversions of seven: 1, 6, 20, 49, 98).
    [7, 0.93, 1 - 348 / 5040],
    [7, 0.9698, 1 - 152 / 5040],
    [12, 0.9, 0.9],
  ])(
    'of %i points at %d holds the slope in its limits %d of the time, with long-tailed errors',
    (n, coverage, exact) => {
      const stream = new RandomStream(2, `line ${coverage}`);
      const x = Array.from({ length: n }, (_, i) => i);
      let held = 0;
      for (let run = 0; run < 3000; run++) {
        const y = x.map((v) => 0.3 * v + stream.normal() / Math.abs(stream.normal()));
        const [low, high] = robustLine(x, y, coverage).slopeInterval;
        if (low <= 0.3 && high >= 0.3) held++;
      }
      // Three standard errors; above, the steps of the distribution of twelve points as well.
      expect(held / 3000).toBeGreaterThan(exact - 3 * Math.sqrt((exact * (1 - exact)) / 3000));
      expect(held / 3000).toBeLessThan(exact + 3 * Math.sqrt((exact * (1 - exact)) / 3000) + (n === 12 ? 0.02 : 0));
    },
  );

  it('says where too few points give no limits, and refuses bad input', () => {
    expect(robustLine([0, 1, 2], [0, 1, 3], 0.9).slopeInterval).toEqual([-Infinity, Infinity]);
    // Five points: 2/120 outside the extremes.
    expect(robustLine([0, 1, 2, 3, 4], [0, 1, 3, 2, 9], 0.98).slopeInterval).toEqual([-1, 7]);
    expect(() => robustLine([1], [1])).toThrow(RangeError);
    expect(() => robustLine([1, 1], [1, 2])).toThrow('two points at 1');
    expect(() => robustLine([1, 2], [1])).toThrow('2 places and 1 values');
  });
});

describe('lag-one correlation', () => {
  it('agrees with a library’s correlation of the two halves, less their ends', () => {
    // The definitions differ by the ends' share: with a long series by little.
    const stream = new RandomStream(4, 'lag');
    const values = [0];
    for (let i = 1; i < 4000; i++) values.push(0.6 * values[i - 1] + stream.normal());
    const r = lagOneCorrelation(values)!;
    expect(r).toBeCloseTo(library.sampleCorrelation(values.slice(1), values.slice(0, -1)), 2);
    expect(r).toBeGreaterThan(0.56);
    expect(r).toBeLessThan(0.64);
  });

  it('sees neither level nor unit, and is none for equal values', () => {
    const values = [3, 1, 4, 1, 5, 9, 2, 6];
    expect(lagOneCorrelation(values.map((v) => 1e6 - 3 * v))).toBeCloseTo(lagOneCorrelation(values)!, 9);
    expect(lagOneCorrelation([2, 2, 2])).toBeNull();
    expect(lagOneCovariance([1, -1])).toBe(-0.5);
    expect(() => lagOneCorrelation([1])).toThrow(RangeError);
  });
});

describe('two-level timing', () => {
  /** Intervals of strokes that follow a timer, each late by a delay of its own. */
  const played = (stream: RandomStream, n: number, timer: number, motor: number): number[] => {
    let tick = 0;
    const strokes = [stream.normal(0, motor)];
    for (let i = 0; i < n; i++) {
      tick += stream.normal(160, timer);
      strokes.push(tick + stream.normal(0, motor));
    }
    return strokes.slice(1).map((s, i) => s - strokes[i]);
  };

  it('finds timer and motor again in a long run', () => {
    for (const [timer, motor] of [
      [7, 4],
      [3, 8],
      [6, 0],
      [0, 6],
    ]) {
      const stream = new RandomStream(9, `${timer}/${motor}`);
      const found = twoLevelTiming(played(stream, 20000, timer, motor));
      expect(Math.abs(found.timer ** 2 - timer ** 2)).toBeLessThan(3);
      expect(Math.abs(found.motor ** 2 - motor ** 2)).toBeLessThan(2);
    }
  });

  it('splits what the intervals have, never more', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 100, max: 200 }), { minLength: 3, maxLength: 30 }), (intervals) => {
        const found = twoLevelTiming(intervals);
        const { deviation, correlation } = twoLevelIntervals(found);
        expect(deviation).toBeCloseTo(library.standardDeviation(intervals), 8);
        expect(correlation).toBeGreaterThanOrEqual(-0.5 - 1e-12);
        expect(correlation).toBeLessThanOrEqual(0);
      }),
    );
    expect(() => twoLevelTiming([1, 2])).toThrow('2 intervals');
  });
});
