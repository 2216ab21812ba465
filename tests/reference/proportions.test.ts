/**
 * Shares, tails and many tests at once against published and computed values.
 *
 * Grades as in published.test.ts; *computed* here means from the stated formula with SciPy.
 */

import { describe, expect, it } from 'vitest';
import { betaCdf, fisherCdf, fisherTail, gammaTail } from '../../src/statistics/distributions.ts';
import { adjustedForDiscovery } from '../../src/statistics/falseDiscovery.ts';
import { jeffreysGreater, newcombeDifference, wilsonInterval } from '../../src/statistics/proportions.ts';
import {
  betaBinomialLimit,
  betaBinomialTail,
  binomialTail,
  normalCdf,
  normalQuantile,
} from '../../src/statistics/tails.ts';

describe('tails (computed)', () => {
  it('of the normal distribution', () => {
    expect(normalCdf(-5) / 2.866515718791933e-7).toBeCloseTo(1, 12);
    expect(normalQuantile(0.975)).toBeCloseTo(1.959963984540054, 12);
    expect(normalQuantile(0.05)).toBeCloseTo(-1.6448536269514729, 12);
    expect(normalQuantile(1e-10)).toBeCloseTo(-6.361340902404056, 10);
  });

  it('of F, chi-square and the incomplete beta function', () => {
    expect(fisherCdf(3, 5, 20)).toBeCloseTo(0.964798662547, 12);
    expect(fisherTail(3, 5, 20)).toBeCloseTo(0.035201337452666626, 14);
    expect(gammaTail(2.5, 11.070497693516 / 2)).toBeCloseTo(0.05, 12);
    expect(betaCdf(0.3, 2, 5)).toBeCloseTo(0.579825, 12);
  });

  it('of a binomial count: P(X ≥ 2 | 12, 0.01)', () => {
    expect(binomialTail(2, 12, 0.01)).toBeCloseTo(0.006174537772824743, 15);
  });

  it.each([
    [12, 0.01, 0.1, [0.07639355493028854, 0.02629335600134386, 0.010410188757609129, 0.004231923442253538]],
    [24, 0.05, 0.2, [0.34076947547363823, 0.22269833675249884, 0.15954400673886626, 0.11845973828913736]],
    [36, 0.02, 0.05, [0.3384193543312397, 0.16963115528706507, 0.09216564774398617, 0.05168709375725011]],
  ])('of a clustered count: n %i, p %d, ρ %d, from 1 to 4', (n, p, rho, tails) => {
    tails.forEach((tail, i) => expect(betaBinomialTail(i + 1, n, p, rho)).toBeCloseTo(tail, 13));
  });

  // The smallest count as rare as this among 12, 24 and 36 independent trials (computed).
  it.each([
    [0.005, 0.01, [2, 2, 3]],
    [0.01, 0.01, [2, 3, 3]],
    [0.02, 0.01, [3, 4, 4]],
    [0.03, 0.01, [3, 4, 5]],
    [0.04, 0.01, [4, 5, 6]],
    [0.06, 0.01, [4, 6, 7]],
    [0.005, 0.002, [2, 3, 3]],
    [0.01, 0.002, [3, 3, 4]],
    [0.02, 0.002, [3, 4, 5]],
    [0.03, 0.002, [4, 5, 6]],
    [0.04, 0.002, [4, 6, 7]],
    [0.06, 0.002, [5, 7, 8]],
  ])('limit at p %d, alpha %d', (p, alpha, limits) => {
    expect([12, 24, 36].map((n) => betaBinomialLimit(n, p, 0, alpha))).toEqual(limits);
  });
});

describe('shares', () => {
  // 81/263, 15/148, 0/20 and 1/29 are the cases of Newcombe 1998, Statistics in Medicine 17:857.
  it.each([
    [81, 263, 0.255289, 0.36621],
    [15, 148, 0.062386, 0.160487],
    [0, 20, 0, 0.161125],
    [1, 29, 0.006113, 0.171755],
    [0, 10, 0, 0.277533],
    [5, 10, 0.236593, 0.763407],
    [9, 10, 0.59585, 0.982124],
    [10, 10, 0.722467, 1],
    [19, 20, 0.763869, 0.991119],
    [20, 20, 0.838875, 1],
  ])('Wilson, %i of %i: %d to %d (computed)', (count, n, low, high) => {
    const { interval } = wilsonInterval(count, n);
    expect(interval[0]).toBeCloseTo(low, 6);
    expect(interval[1]).toBeCloseTo(high, 6);
  });

  // The cases of Newcombe 1998, Statistics in Medicine 17:873, method 10.
  it.each([
    [56, 70, 48, 80, 0.0524, 0.3339],
    [9, 10, 3, 10, 0.1705, 0.809],
    [6, 7, 2, 7, 0.0582, 0.8062],
    [5, 56, 0, 29, -0.0381, 0.1926],
    [0, 10, 0, 20, -0.1611, 0.2775],
    [0, 10, 0, 10, -0.2775, 0.2775],
    [10, 10, 0, 20, 0.6791, 1],
    [10, 10, 0, 10, 0.6075, 1],
  ])('difference of %i of %i and %i of %i: %d to %d (computed)', (x1, n1, x2, n2, low, high) => {
    const { interval } = newcombeDifference(x1, n1, x2, n2);
    expect(interval[0]).toBeCloseTo(low, 4);
    expect(interval[1]).toBeCloseTo(high, 4);
  });

  it.each([
    [4, 12, 0, 12, 0.9907494401292014],
    [3, 12, 0, 12, 0.9747100375561721],
    [2, 12, 1, 24, 0.8957256145361762],
    [12, 12, 0, 12, 0.9999999907566144],
  ])('P(p1 > p2) after %i of %i and %i of %i is %d (computed by quadrature)', (x1, n1, x2, n2, chance) => {
    expect(jeffreysGreater(x1, n1, x2, n2)).toBeCloseTo(chance, 10);
  });
});

describe('false discovery rate', () => {
  // The worked example of Benjamini & Hochberg 1995: p values read in several public test suites.
  const p = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262, 0.5719, 0.6528, 0.759, 1,
  ];

  it('calls four of the fifteen at 0.05 (read), Bonferroni three (computed)', () => {
    expect(adjustedForDiscovery(p).filter((q) => q <= 0.05)).toHaveLength(4);
    expect(p.filter((value) => value * p.length <= 0.05)).toHaveLength(3);
  });

  it('adjusts them (computed), in whatever order they come', () => {
    const expected = [
      0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645, 0.0765, 0.486, 0.581182, 0.714875, 0.753231,
      0.813214, 1,
    ];
    adjustedForDiscovery(p).forEach((q, i) => expect(q).toBeCloseTo(expected[i], 6));
    adjustedForDiscovery([...p].reverse()).forEach((q, i) => expect(q).toBeCloseTo(expected[14 - i], 6));
  });
});
