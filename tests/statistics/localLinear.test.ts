/** Robust local lines: exact on lines, blind to their own point, hardly moved by bad neighbours. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { localLinearAt, predictedByNeighbours } from '../../src/statistics/localLinear.ts';
import { median } from '../../src/statistics/order.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

const options = { halfWindow: 12 };
const keys = Array.from({ length: 88 }, (_, i) => 21 + i);
const normal = (seed: number): (() => number) => {
  const stream = new RandomStream(seed, 'curve');
  return () => stream.normal();
};

describe('the value predicted by neighbours', () => {
  it('is exact on straight lines, whatever the places, errors and window', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 21, max: 108 }), { minLength: 8, maxLength: 88 }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.integer({ min: 3, max: 40 }),
        (places, slope, level, halfWindow) => {
          const points = places.map((x) => ({ x, y: level + slope * x, se: 0.5 + (x % 3) }));
          const predicted = predictedByNeighbours(points, { halfWindow });
          predicted.forEach((p, i) => {
            if (p) expect(Math.abs(p.value - points[i].y)).toBeLessThan(1e-7 * (1 + Math.abs(level) + Math.abs(slope)));
          });
          if (halfWindow === 40) expect(predicted.every((p) => p !== null)).toBe(true);
        },
      ),
    );
  });

  it('does not see its own point', () => {
    const draw = normal(1);
    const points = keys.map((x) => ({ x, y: Math.sin(x / 20) + 0.1 * draw() }));
    const before = predictedByNeighbours(points, options);
    for (const i of [0, 1, 40, 87]) {
      const moved = points.with(i, { x: points[i].x, y: 1e6 });
      expect(predictedByNeighbours(moved, options)[i]).toEqual(before[i]);
      expect(predictedByNeighbours(moved, options)[i === 0 ? 1 : i - 1]).not.toEqual(before[i === 0 ? 1 : i - 1]);
    }
  });

  it('keeps as many neighbours at the ends as within', () => {
    const counts = predictedByNeighbours(
      keys.map((x) => ({ x, y: 0 })),
      options,
    ).map((p) => p?.neighbours);
    // Points at the very edge of the window have no weight: 11 to either side within, 24 of one side at the ends.
    expect(counts[44]).toBe(22);
    expect(counts[0]).toBe(24);
    expect(counts[87]).toBe(24);
    expect(Math.min(...counts.map(Number))).toBe(22);
    expect(Math.max(...counts.map(Number))).toBe(24);
  });

  it('is hardly moved by one bad note in ten', () => {
    const truth = (x: number): number => 60 - 0.3 * (x - 60);
    /** Root mean square error over 40 compasses with a scatter of 2. */
    const error = (soiled: boolean, rounds: number): number => {
      const draw = normal(2);
      let square = 0;
      for (let run = 0; run < 40; run++) {
        const points = keys.map((x, i) => ({ x, y: truth(x) + 2 * draw() + (soiled && i % 10 === 5 ? 20 : 0) }));
        for (const [i, p] of predictedByNeighbours(points, { ...options, rounds }).entries())
          square += (p!.value - truth(keys[i])) ** 2 / (40 * 88);
      }
      return Math.sqrt(square);
    };
    expect(error(false, 4)).toBeLessThan(0.65);
    expect(error(true, 4)).toBeLessThan(0.75);
    expect(error(true, 0)).toBeGreaterThan(2);
  });

  it('has about the stated standard error, with equal and with unequal prior weights', () => {
    for (const uneven of [false, true]) {
      const draw = normal(3);
      let square = 0;
      let stated = 0;
      let unit = 0;
      const runs = 60;
      for (let run = 0; run < runs; run++) {
        const points = keys.map((x) => {
          const se = uneven ? (x % 2 ? 1 : 3) : 1;
          return { x, y: 2 * se * draw(), ...(uneven ? { se } : {}) };
        });
        for (const p of predictedByNeighbours(points, options)) {
          square += p!.value ** 2 / (88 * runs);
          stated += p!.standardError ** 2 / (88 * runs);
          unit += p!.unitError ** 2 / (88 * runs);
        }
      }
      expect(Math.sqrt(square / stated)).toBeGreaterThan(0.93);
      expect(Math.sqrt(square / stated)).toBeLessThan(1.1);
      // The scatter is twice the stated errors.
      expect(Math.sqrt(square / unit)).toBeGreaterThan(1.9);
      expect(Math.sqrt(square / unit)).toBeLessThan(2.15);
    }
  });

  it('has a scale that few neighbours make uncertain, not small', () => {
    const draw = normal(4);
    const scales = Array.from({ length: 3000 }, () => {
      const points = Array.from({ length: 8 }, (_, x) => ({ x, y: draw() }));
      return localLinearAt(points, 3.5, { halfWindow: 12, rounds: 0 })!.scale;
    });
    expect(median(scales)).toBeGreaterThan(0.85);
    expect(median(scales)).toBeLessThan(1.1);
  });

  it('is none where too few lie near, or all at one place', () => {
    const sparse = [21, 40, 60, 61, 80].map((x) => ({ x, y: x }));
    expect(localLinearAt(sparse, 60.5, { halfWindow: 5 })).toBeNull();
    expect(localLinearAt(Array(9).fill({ x: 50, y: 1 }), 50, options)).toBeNull();
    expect(localLinearAt([], 50, options)).toBeNull();
    expect(localLinearAt(sparse, 60, { halfWindow: 60 })?.value).toBeCloseTo(60, 9);
  });

  it('refuses what is no number', () => {
    const points = keys.map((x) => ({ x, y: 0 }));
    expect(() => localLinearAt([...points, { x: 3, y: Number.NaN }], 50, options)).toThrow(RangeError);
    expect(() => localLinearAt([...points, { x: 3, y: 0, se: 0 }], 50, options)).toThrow('standard error 0');
    expect(() => localLinearAt(points, 50, { halfWindow: 0 })).toThrow('half-window 0');
  });
});
