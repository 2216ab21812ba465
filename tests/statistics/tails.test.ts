/** Tails: properties, refusals, and a library beside them. */

import fc from 'fast-check';
import * as library from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import {
  betaBinomialLimit,
  betaBinomialTail,
  binomialTail,
  normalCdf,
  normalQuantile,
} from '../../src/statistics/tails.ts';

const chance = fc.double({ min: 0, max: 1, noNaN: true });
const trials = fc.integer({ min: 1, max: 60 });

describe('normal distribution', () => {
  it('sums to one and turns back', () => {
    fc.assert(
      fc.property(fc.double({ min: -8, max: 8, noNaN: true }), (x) => {
        expect(normalCdf(x) + normalCdf(-x)).toBeCloseTo(1, 14);
        if (Math.abs(x) < 5) expect(normalQuantile(normalCdf(x))).toBeCloseTo(x, 8);
      }),
    );
    for (const p of [1e-300, 1e-20, 0.001, 0.5, 0.9]) expect(normalCdf(normalQuantile(p)) / p).toBeCloseTo(1, 10);
  });

  it('agrees with a library', () => {
    // The library's error function is an approximation to about 1e-7.
    for (const x of [-2.5, -1, -0.2, 0, 0.7, 3]) {
      expect(Math.abs(normalCdf(x) - (1 + library.errorFunction(x / Math.SQRT2)) / 2)).toBeLessThan(1e-6);
    }
  });

  it('refuses certainty', () => {
    expect(() => normalQuantile(0)).toThrow(RangeError);
    expect(() => normalQuantile(1)).toThrow(RangeError);
    expect(() => normalQuantile(Number.NaN)).toThrow(RangeError);
  });
});

describe('binomial tail', () => {
  it('agrees with a library, which sums term by term', () => {
    for (const [n, p] of [
      [12, 0.01],
      [24, 0.2],
      [36, 0.7],
    ]) {
      const terms = library.binomialDistribution(n, p) ?? [];
      expect(terms.length).toBeGreaterThan(2);
      // The library stops where its sum nears one.
      for (let c = 0; c <= terms.length; c++) {
        const below = terms.slice(0, c).reduce((sum, t) => sum + t, 0);
        expect(Math.abs(binomialTail(c, n, p) - (1 - below))).toBeLessThan(1e-4);
      }
    }
  });

  it('is one from none, zero above all, and the mirror of its complement', () => {
    fc.assert(
      fc.property(trials, chance, fc.integer({ min: 0, max: 61 }), (n, p, c) => {
        if (c === 0) expect(binomialTail(c, n, p)).toBe(1);
        else if (c > n) expect(binomialTail(c, n, p)).toBe(0);
        else expect(binomialTail(c, n, p) + binomialTail(n - c + 1, n, 1 - p)).toBeCloseTo(1, 11);
      }),
    );
  });
});

describe('beta-binomial tail', () => {
  it('is the binomial one without correlation, reached another way', () => {
    fc.assert(
      fc.property(trials, chance, fc.integer({ min: 0, max: 61 }), (n, p, c) => {
        expect(betaBinomialTail(c, n, p, 0)).toBeCloseTo(binomialTail(c, n, p), 11);
      }),
    );
  });

  it('has the mean n·p and the variance n·p·(1 − p)·(1 + (n − 1)·ρ)', () => {
    fc.assert(
      fc.property(trials, chance, chance, (n, p, rho) => {
        let mean = 0;
        let square = 0;
        for (let c = 1; c <= n; c++) {
          const tail = betaBinomialTail(c, n, p, rho);
          mean += tail;
          square += (2 * c - 1) * tail;
        }
        expect(mean).toBeCloseTo(n * p, 8);
        expect(square - mean * mean).toBeCloseTo(n * p * (1 - p) * (1 + (n - 1) * rho), 7);
      }),
    );
  });

  it('is even over all counts where a = b = 1 (p ½, ρ ⅓), and all or nothing where ρ = 1', () => {
    for (let c = 0; c <= 9; c++) expect(betaBinomialTail(c, 9, 0.5, 1 / 3)).toBeCloseTo((10 - c) / 10, 12);
    expect(betaBinomialTail(1, 9, 0.2, 1)).toBeCloseTo(0.2, 15);
    expect(betaBinomialTail(9, 9, 0.2, 1)).toBeCloseTo(0.2, 15);
    expect(betaBinomialTail(10, 9, 0.2, 1)).toBe(0);
  });

  it('has a limit just where the tail falls to alpha', () => {
    fc.assert(
      fc.property(trials, chance, chance, fc.double({ min: 1e-6, max: 0.5, noNaN: true }), (n, p, rho, alpha) => {
        const limit = betaBinomialLimit(n, p, rho, alpha);
        expect(betaBinomialTail(limit, n, p, rho)).toBeLessThanOrEqual(alpha);
        expect(betaBinomialTail(limit - 1, n, p, rho)).toBeGreaterThan(alpha);
      }),
    );
    // A tail of just alpha is rare enough.
    expect(betaBinomialLimit(1, 0.5, 0, 0.5)).toBe(1);
    expect(betaBinomialLimit(3, 0.5, 0, 0.01)).toBe(4);
    expect(betaBinomialLimit(12, 0, 0, 0.01)).toBe(1);
  });

  it('refuses what is no count, no probability', () => {
    expect(() => binomialTail(1, 2.5, 0.1)).toThrow('2.5 trials');
    expect(() => binomialTail(1, 2, 1.1)).toThrow('probability 1.1');
    expect(() => betaBinomialTail(1, 2, 0.1, -0.1)).toThrow('correlation -0.1');
    expect(() => betaBinomialLimit(2, Number.NaN, 0, 0.1)).toThrow(RangeError);
  });
});
