/** Statistics against published tables, certified values and a library. */

import * as library from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  betaCdf,
  betaQuantile,
  chiSquareQuantile,
  logGamma,
  studentQuantile,
} from '../../src/statistics/distributions.ts';
import {
  detrended,
  deviationEstimate,
  mean,
  meanEstimate,
  shareEstimate,
  standardDeviation,
} from '../../src/statistics/intervals.ts';
import { median, medianDeviation, quantile } from '../../src/statistics/order.ts';

describe('distributions', () => {
  // Computed with SciPy 1.10 to the digits shown.
  it('agree with computed values', () => {
    expect(studentQuantile(0.975, 10)).toBeCloseTo(2.228138851986, 9);
    expect(chiSquareQuantile(0.95, 5)).toBeCloseTo(11.070497693516, 8);
    expect(betaCdf(0.3, 2, 5)).toBeCloseTo(0.579825, 6);
    expect(betaQuantile(0.975, 0.5, 12.5)).toBeCloseTo(0.185305938312, 9);
  });

  it('agree with a library', () => {
    for (const x of [0.3, 1, 2.5, 7, 40]) expect(logGamma(x)).toBeCloseTo(library.gammaln(x), 8);
  });

  it('turn back', () => {
    for (const p of [0.01, 0.3, 0.5, 0.9]) expect(betaCdf(betaQuantile(p, 3.5, 20.5), 3.5, 20.5)).toBeCloseTo(p, 10);
    expect(studentQuantile(0.05, 7)).toBeCloseTo(-studentQuantile(0.95, 7), 10);
    expect(studentQuantile(0.5, 7)).toBe(0);
  });
});

describe('standard deviation', () => {
  // NIST StRD univariate, certified: NumAcc1, NumAcc2, NumAcc4 (read in public test suites).
  it('holds the certified values', () => {
    expect(standardDeviation([10000001, 10000003, 10000002])).toBeCloseTo(1, 12);
    const pattern = (base: number) => [
      base + 0.2,
      ...Array.from({ length: 1000 }, (_, i) => base + (i % 2 ? 0.3 : 0.1)),
    ];
    expect(mean(pattern(1))).toBeCloseTo(1.2, 12);
    expect(standardDeviation(pattern(1))).toBeCloseTo(0.1, 12);
    expect(standardDeviation(pattern(10000000))).toBeCloseTo(0.1, 8);
  });

  // 95 % limits of sigma/s, computed from chi-square: n = 5 0.599-2.874, n = 20 0.760-1.461.
  it('has the published limits', () => {
    const limits = (n: number) => deviationEstimate(1, n - 1, 0.95).interval;
    expect(limits(5)[0]).toBeCloseTo(0.599, 3);
    expect(limits(5)[1]).toBeCloseTo(2.874, 3);
    expect(limits(20)[0]).toBeCloseTo(0.76, 3);
    expect(limits(20)[1]).toBeCloseTo(1.461, 3);
  });
});

describe('shares', () => {
  it('have Jeffreys limits, closed at none and at all', () => {
    const none = shareEstimate(0, 12, 0.95);
    expect(none.interval[0]).toBe(0);
    expect(none.interval[1]).toBeCloseTo(0.185305938312, 8);
    expect(shareEstimate(12, 12, 0.95).interval[1]).toBe(1);
    expect(shareEstimate(3, 12).value).toBe(0.25);
    expect(shareEstimate(0, 0).interval).toEqual([0, 1]);
  });
});

describe('order statistics', () => {
  it('agree with the definitions', () => {
    // Worked example: median 2, MAD 1 unscaled.
    const values = [1, 1, 2, 2, 4, 6, 9];
    expect(median(values)).toBe(2);
    expect(medianDeviation(values)).toBeCloseTo(1.4826, 10);
    expect(quantile([1, 2, 3, 4], 0.25)).toBe(1.75);
    expect(() => median([])).toThrow(RangeError);
  });
});

describe('detrended', () => {
  it('takes a straight drift out and nothing else', () => {
    expect(detrended([1, 2, 3, 4]).every((r) => Math.abs(r) < 1e-12)).toBe(true);
    const left = detrended([1, 3, 2, 5, 4]);
    expect(mean(left)).toBeCloseTo(0, 12);
    expect(left.reduce((sum, r, i) => sum + r * i, 0)).toBeCloseTo(0, 12);
  });
});

describe('meanEstimate', () => {
  it('is Student’s', () => {
    const { value, interval } = meanEstimate([4, 5, 6, 7, 8], 0.95);
    expect(value).toBe(6);
    // t(0.975; 4) = 2.776445, s = 1.581139.
    expect(interval[1] - value).toBeCloseTo((2.776445 * 1.581139) / Math.sqrt(5), 5);
  });
});
