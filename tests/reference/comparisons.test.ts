/**
 * Tests of spread and of means, variance components, robust lines and the two-level timing model against published
 * examples. Grades as in published.test.ts.
 */

import { describe, expect, it } from 'vitest';
import { signFlipTest, splitTest } from '../../src/statistics/exactTests.ts';
import { standardDeviation } from '../../src/statistics/intervals.ts';
import { robustLine } from '../../src/statistics/robustLine.ts';
import { spreadTest } from '../../src/statistics/spreadTests.ts';
import { twoLevelIntervals } from '../../src/statistics/twoLevelTiming.ts';
import { oneWay } from '../../src/statistics/variance.ts';

describe('gear diameters, ten batches of ten (NIST/SEMATECH e-Handbook 1.3.5.7, 1.3.5.10; data read, results computed)', () => {
  const gears = [
    [1.006, 0.996, 0.998, 1.0, 0.992, 0.993, 1.002, 0.999, 0.994, 1.0],
    [0.998, 1.006, 1.0, 1.002, 0.997, 0.998, 0.996, 1.0, 1.006, 0.988],
    [0.991, 0.987, 0.997, 0.999, 0.995, 0.994, 1.0, 0.999, 0.996, 0.996],
    [1.005, 1.002, 0.994, 1.0, 0.995, 0.994, 0.998, 0.996, 1.002, 0.996],
    [0.998, 0.998, 0.982, 0.99, 1.002, 0.984, 0.996, 0.993, 0.98, 0.996],
    [1.009, 1.013, 1.009, 0.997, 0.988, 1.002, 0.995, 0.998, 0.981, 0.996],
    [0.99, 1.004, 0.996, 1.001, 0.998, 1.0, 1.018, 1.01, 0.996, 1.002],
    [0.998, 1.0, 1.006, 1.0, 1.002, 0.996, 0.998, 0.996, 1.002, 1.006],
    [1.002, 0.998, 0.996, 0.995, 0.996, 1.004, 1.004, 0.998, 0.999, 0.991],
    [0.991, 0.995, 0.984, 0.994, 0.997, 0.997, 0.991, 0.998, 1.004, 0.997],
  ];

  it('spread alike about their medians at 5 %, and not about their means', () => {
    const { f, degrees, probability } = spreadTest(gears);
    expect(f).toBeCloseTo(1.7059176930008939, 9);
    expect(degrees).toEqual([9, 90]);
    expect(probability).toBeCloseTo(0.0990829755522, 10);
    const about = spreadTest(gears, 'mean');
    expect(about.f).toBeCloseTo(2.1594598564728518, 9);
    expect(about.probability).toBeCloseTo(0.0322368, 7);
  });

  it('differ in their means: F 2.2969', () => {
    const { f, probability } = oneWay(gears);
    expect(f).toBeCloseTo(2.296912413358539, 10);
    expect(probability).toBeCloseTo(0.0226608, 7);
  });

  it('have these SDs', () => {
    const deviations = [
      0.004346, 0.005216, 0.003978, 0.003853, 0.007578, 0.009886, 0.007878, 0.003627, 0.004138, 0.005329,
    ];
    gears.forEach((batch, i) => expect(standardDeviation(batch)).toBeCloseTo(deviations[i], 6));
  });
});

describe('two groups about means and medians (a public statistics library’s manual; data read, results computed)', () => {
  const first = [1, 2, 3, 4, 5, 6, 7, 8, 100, 10];
  const second = [30, 40, 50, 60, 70, 80, 90, 100, 110, 120];

  it('give F 0.7781 and 1.6738', () => {
    expect(spreadTest([first, second], 'mean').f).toBeCloseTo(0.778121319848449, 12);
    expect(spreadTest([first, second], 'mean').probability).toBeCloseTo(0.389344552595791, 11);
    expect(spreadTest([first, second]).f).toBeCloseTo(1.673803, 6);
    expect(spreadTest([first, second]).probability).toBeCloseTo(0.212106, 6);
  });
});

describe('silicon resistivity, five instruments (NIST StRD SiRstv, certified; read in public test suites)', () => {
  const instruments = [
    [196.3052, 196.124, 196.189, 196.2569, 196.3403],
    [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
    [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
    [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
    [196.2119, 196.1051, 196.185, 196.0052, 196.209],
  ];

  it('has the certified analysis of variance', () => {
    const { between, within, f, repeatability } = oneWay(instruments);
    expect([between.degrees, within.degrees]).toEqual([4, 20]);
    expect(between.squares).toBeCloseTo(5.11462616e-2, 12);
    expect(within.squares).toBeCloseTo(2.1663656e-1, 12);
    expect(f).toBeCloseTo(1.18046237440255, 11);
    expect(repeatability.value).toBeCloseTo(0.104076068334656, 12);
  });
});

describe('exact tests (results computed by laying out all arrangements)', () => {
  it('Darwin’s maize, crossed less selfed, signs flipped (Fisher 1935): 863 and 1726 of 32768', () => {
    const test = signFlipTest([49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48]);
    expect(test.arrangements).toBe(32768);
    expect(test.greater * 32768).toBe(863);
    expect(test.twoSided * 32768).toBe(1726);
  });

  it('survival of mice, treated and not (Efron & Tibshirani 1993): 1613 and 3184 of 11440', () => {
    const test = splitTest([94, 197, 16, 38, 99, 141, 23], [52, 104, 146, 10, 51, 30, 40, 27, 46]);
    expect(test.arrangements).toBe(11440);
    expect(test.greater * 11440).toBeCloseTo(1613, 8);
    expect(test.twoSided * 11440).toBeCloseTo(3184, 8);
  });
});

describe('robust line', () => {
  it('of the example of Sen 1968: slope 4, limits 26/7 and 4.375 (computed)', () => {
    // Programs that take the limits' ranks from the normal approximation call these 93 %; by the exact distribution of
    // seven points they hold 1 − 2·76/5040 = 97 %, and the next inner pair 1 − 2·174/5040 = 93.1 %.
    const [x, y] = [
      [1, 2, 3, 4, 10, 12, 18],
      [9, 15, 19, 20, 45, 55, 78],
    ];
    const line = robustLine(x, y, 0.9698);
    expect(robustLine(x, y, 0.93).slopeInterval[0]).toBeCloseTo(3.75, 12);
    expect(line.slope).toBeCloseTo(4, 12);
    // Of y − 4·x = 5, 7, 7, 4, 5, 7, 6. (Median y less 4 times median x, as some programs have it, is 4.)
    expect(line.intercept).toBeCloseTo(6, 12);
    expect(line.slopeInterval[0]).toBeCloseTo(26 / 7, 12);
    expect(line.slopeInterval[1]).toBeCloseTo(4.375, 12);
  });
});

describe('two-level timing (Wing & Kristofferson 1973; model read, values computed)', () => {
  it.each([
    [10, 5, 12.247, -0.1667],
    [0, 5, 7.071, -0.5],
    [10, 0, 10, 0],
  ])('timer %d and motor %d make intervals of SD %d with autocorrelation %d', (timer, motor, sd, r) => {
    const { deviation, correlation } = twoLevelIntervals({ timer, motor });
    expect(deviation).toBeCloseTo(sd, 3);
    expect(correlation).toBeCloseTo(r, 4);
  });
});
