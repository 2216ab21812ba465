/** Shares of two outcomes: symmetries, and the recursion against plain integration. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { betaCdf, logGamma } from '../../src/statistics/distributions.ts';
import { jeffreysGreater, newcombeDifference, wilsonInterval } from '../../src/statistics/proportions.ts';

const share = fc.integer({ min: 1, max: 40 }).chain((n) => fc.tuple(fc.integer({ min: 0, max: n }), fc.constant(n)));

describe('Wilson interval', () => {
  it('holds its share and mirrors', () => {
    fc.assert(
      fc.property(share, fc.double({ min: 0.5, max: 0.999, noNaN: true }), ([x, n], coverage) => {
        const { value, interval } = wilsonInterval(x, n, coverage);
        expect(interval[0]).toBeLessThanOrEqual(value);
        expect(interval[1]).toBeGreaterThanOrEqual(value);
        expect(wilsonInterval(n - x, n, coverage).interval[1]).toBeCloseTo(1 - interval[0], 12);
      }),
    );
  });

  it('refuses no trials and impossible counts', () => {
    expect(() => wilsonInterval(0, 0)).toThrow('0 trials');
    expect(() => wilsonInterval(4, 3)).toThrow('4 of 3');
    expect(() => newcombeDifference(1, 2, -1, 2)).toThrow(RangeError);
  });
});

describe('P(p1 > p2) of Jeffreys posteriors', () => {
  it('agrees with integration by Simpson’s rule', () => {
    // With p = sin²θ both densities are smooth to the ends.
    const integrated = (x1: number, n1: number, x2: number, n2: number): number => {
      const steps = 4000;
      const norm = logGamma(n1 + 1) - logGamma(x1 + 0.5) - logGamma(n1 - x1 + 0.5);
      const f = (theta: number): number => {
        const [s, c] = [Math.sin(theta) ** 2, Math.cos(theta) ** 2];
        return 2 * Math.exp(norm) * s ** x1 * c ** (n1 - x1) * betaCdf(s, x2 + 0.5, n2 - x2 + 0.5);
      };
      const h = Math.PI / 2 / steps;
      let sum = 0;
      for (let i = 0; i <= steps; i++) sum += (i === 0 || i === steps ? 1 : i % 2 ? 4 : 2) * f(i * h);
      return (sum * h) / 3;
    };
    for (const [x1, n1, x2, n2] of [
      [4, 12, 0, 12],
      [0, 0, 3, 7],
      [2, 12, 1, 24],
      [60, 200, 55, 210],
      [0, 12, 12, 12],
    ]) {
      expect(jeffreysGreater(x1, n1, x2, n2)).toBeCloseTo(integrated(x1, n1, x2, n2), 9);
    }
  });

  it('is one half for equals, and the rest of one the other way round', () => {
    fc.assert(
      fc.property(share, share, ([x1, n1], [x2, n2]) => {
        expect(jeffreysGreater(x1, n1, x1, n1)).toBeCloseTo(0.5, 11);
        expect(jeffreysGreater(x1, n1, x2, n2) + jeffreysGreater(x2, n2, x1, n1)).toBeCloseTo(1, 11);
        expect(jeffreysGreater(x1, n1, x2, n2)).toBeCloseTo(jeffreysGreater(n2 - x2, n2, n1 - x1, n1), 11);
      }),
    );
    expect(jeffreysGreater(0, 0, 0, 0)).toBe(0.5);
    expect(() => jeffreysGreater(1, 0, 0, 0)).toThrow(RangeError);
  });
});
