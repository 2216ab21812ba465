/** Exact tests, tests of spread, variance components: against a library, by hand, and by simulation. */

import fc from 'fast-check';
import * as library from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { signFlipTest, splitTest } from '../../src/statistics/exactTests.ts';
import { spreadTest } from '../../src/statistics/spreadTests.ts';
import { oneWay, repeatabilityStudy } from '../../src/statistics/variance.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

const values = fc.array(fc.integer({ min: -20, max: 20 }), { minLength: 1, maxLength: 6 });

describe('sign-flip test', () => {
  it('turns with the sign and scales with nothing', () => {
    fc.assert(
      fc.property(values, fc.double({ min: 0.01, max: 100, noNaN: true }), (differences, scale) => {
        const test = signFlipTest(differences);
        const turned = signFlipTest(differences.map((d) => -d * scale));
        expect(turned).toEqual({ ...test, greater: test.less, less: test.greater });
        expect(test.greater + test.less).toBeGreaterThanOrEqual(1);
        expect(test.twoSided).toBeGreaterThanOrEqual(Math.min(1, test.greater, test.less));
      }),
    );
  });

  it('of all of one sign leaves one arrangement in 2^n', () => {
    expect(signFlipTest([1, 2, 3, 0.1])).toEqual({ greater: 1 / 16, less: 1, twoSided: 2 / 16, arrangements: 16 });
    expect(signFlipTest([0, 0])).toMatchObject({ greater: 1, twoSided: 1 });
  });

  it('refuses none, and more than two million arrangements', () => {
    expect(() => signFlipTest([])).toThrow(RangeError);
    expect(() => signFlipTest(new Array(21).fill(1))).toThrow('2097152 arrangements');
    expect(signFlipTest(new Array(20).fill(1)).arrangements).toBe(1048576);
  });
});

describe('split test', () => {
  it('agrees with a library, which shuffles at random', () => {
    const first = [12, 15, 9, 18, 14];
    const second = [8, 11, 10, 7, 13, 9];
    const stream = new RandomStream(7, 'shuffle');
    const shuffled = library.permutationTest(first, second, 'greater', 20000, () => stream.between(0, 1));
    // Three standard errors of the shuffled share.
    const { greater } = splitTest(first, second);
    expect(Math.abs(shuffled - greater)).toBeLessThan(3 * Math.sqrt((greater * (1 - greater)) / 20000));
  });

  it('is the mirror with the groups exchanged', () => {
    fc.assert(
      fc.property(values, values, (first, second) => {
        const test = splitTest(first, second);
        const turned = splitTest(second, first);
        expect(turned.greater).toBeCloseTo(test.less, 12);
        expect(turned.twoSided).toBeCloseTo(test.twoSided, 12);
      }),
    );
    expect(splitTest([5, 6, 7], [1, 2])).toEqual({ greater: 0.1, less: 1, twoSided: 0.1, arrangements: 10 });
  });

  it('refuses an empty group, and more than two million arrangements', () => {
    expect(() => splitTest([], [1])).toThrow(RangeError);
    expect(() => splitTest(new Array(12).fill(1), new Array(12).fill(2))).toThrow('2704156 arrangements');
  });
});

describe('test of spread', () => {
  it('sees neither place nor the unit', () => {
    const groups = [
      [1, 4, 2, 8],
      [3, 3.5, 3.2, 3.1, 3.3],
      [10, 14, 9, 13],
    ];
    for (const centre of ['median', 'mean'] as const) {
      const moved = groups.map((group, i) => group.map((v) => 40 * i - 7 * v));
      expect(spreadTest(moved, centre).f).toBeCloseTo(spreadTest(groups, centre).f, 9);
    }
  });

  it('about medians calls at most about as often as it says where nothing differs', () => {
    const stream = new RandomStream(11, 'spread');
    const runs = 1500;
    let called = 0;
    for (let run = 0; run < runs; run++) {
      const groups = Array.from({ length: 4 }, () => Array.from({ length: 12 }, () => stream.normal()));
      if (spreadTest(groups).probability <= 0.05) called++;
    }
    // 5 % and three standard errors above; the test about medians is known to stay a little below.
    expect(called / runs).toBeLessThan(0.067);
    expect(called / runs).toBeGreaterThan(0.015);
  });
});

describe('one-way analysis of variance', () => {
  it('of two groups is the square of Student’s t', () => {
    const first = [3, 5, 4, 6.5, 2];
    const second = [7, 6, 8.5, 5, 9, 7.5];
    expect(oneWay([first, second]).f).toBeCloseTo((library.tTestTwoSample(first, second) ?? 0) ** 2, 10);
  });

  it('by hand: groups 1 2 3 and 5 6 7', () => {
    const { between, within, f, repeatability, betweenDeviation } = oneWay([
      [1, 2, 3],
      [5, 6, 7],
    ]);
    expect(between).toEqual({ squares: 24, degrees: 1, meanSquare: 24 });
    expect(within).toEqual({ squares: 4, degrees: 4, meanSquare: 1 });
    expect(f).toBe(24);
    expect(repeatability.value).toBe(1);
    // (24 − 1) / 3.
    expect(betweenDeviation).toBeCloseTo(Math.sqrt(23 / 3), 12);
  });

  it('by hand: unequal groups 1 3 and 5', () => {
    const { between, within, betweenDeviation } = oneWay([[1, 3], [5]]);
    expect([between.meanSquare, within.meanSquare]).toEqual([6, 2]);
    // A group is worth (3 − (4 + 1)/3) / 1 = 4/3 values; (6 − 2) / (4/3) = 3.
    expect(betweenDeviation).toBeCloseTo(Math.sqrt(3), 12);
  });

  it('finds the component of unequal groups again', () => {
    const stream = new RandomStream(3, 'groups');
    let square = 0;
    for (let run = 0; run < 400; run++) {
      const groups = [2, 3, 5, 8, 2, 4, 6, 10, 3, 7, 2, 12].map((n) => {
        const centre = stream.normal(0, 2);
        return Array.from({ length: n }, () => stream.normal(centre, 1));
      });
      square += oneWay(groups).betweenDeviation ** 2 / 400;
    }
    expect(square).toBeGreaterThan(3.6);
    expect(square).toBeLessThan(4.4);
  });

  it('refuses what has no spread within or nothing to compare', () => {
    expect(() => oneWay([[1, 2]])).toThrow('1 groups');
    expect(() => oneWay([[1], [2]])).toThrow('no group of two');
    expect(() => oneWay([[1, 2], []])).toThrow(RangeError);
  });
});

describe('repeatability study', () => {
  it('by hand: three notes in two takes', () => {
    const study = repeatabilityStudy([
      [1, 2],
      [4, 7],
      [10, 12],
    ]);
    // Means of notes 1.5, 5.5, 11, of takes 5, 7, of all 6; what is left ±0.5, ∓0.5, 0.
    expect(study.notes).toEqual({ squares: 91, degrees: 2, meanSquare: 45.5 });
    expect(study.takes).toEqual({ squares: 6, degrees: 1, meanSquare: 6 });
    expect(study.rest).toEqual({ squares: 1, degrees: 2, meanSquare: 0.5 });
    expect(study.takeDeviation).toBeCloseTo(Math.sqrt(5.5 / 3), 12);
    expect(study.noteDeviation).toBeCloseTo(Math.sqrt(22.5), 12);
    const gauge = 0.5 + 5.5 / 3;
    expect(study.gaugeShare).toBeCloseTo(Math.sqrt(gauge / (gauge + 22.5)), 12);
    expect(study.classes).toBeCloseTo((1.41 * Math.sqrt(22.5)) / Math.sqrt(gauge), 12);
    expect(study.detectableChange).toBeCloseTo(1.96, 12);
  });

  it('finds the components again, and its interval holds the repeatability nine times in ten', () => {
    const stream = new RandomStream(5, 'study');
    const sums = { rest: 0, take: 0, note: 0, held: 0 };
    const runs = 600;
    for (let run = 0; run < runs; run++) {
      const takes = Array.from({ length: 3 }, () => stream.normal(0, 1));
      const table = Array.from({ length: 10 }, () => {
        const note = stream.normal(60, 3);
        return takes.map((take) => note + take + stream.normal(0, 1.7));
      });
      const { repeatability, takeDeviation, noteDeviation } = repeatabilityStudy(table);
      sums.rest += repeatability.value ** 2 / runs;
      sums.take += takeDeviation ** 2 / runs;
      sums.note += noteDeviation ** 2 / runs;
      if (repeatability.interval[0] <= 1.7 && repeatability.interval[1] >= 1.7) sums.held += 1 / runs;
    }
    expect(sums.rest).toBeGreaterThan(2.8);
    expect(sums.rest).toBeLessThan(2.98);
    expect(sums.note).toBeGreaterThan(8.3);
    expect(sums.note).toBeLessThan(9.7);
    // Cut off at none: a little above 1 is right.
    expect(sums.take).toBeGreaterThan(0.85);
    expect(sums.take).toBeLessThan(1.25);
    expect(sums.held).toBeGreaterThan(0.86);
    expect(sums.held).toBeLessThan(0.94);
  });

  it('says 0 where all values are one, and refuses gaps', () => {
    const study = repeatabilityStudy([
      [3, 3],
      [3, 3],
    ]);
    expect([study.gaugeShare, study.classes, study.detectableChange]).toEqual([0, 0, 0]);
    expect(() => repeatabilityStudy([[1, 2], [3]])).toThrow('missing from a take');
    expect(() => repeatabilityStudy([[1], [3]])).toThrow('2 notes × 1 takes');
    expect(() => repeatabilityStudy([])).toThrow('0 notes');
  });
});
