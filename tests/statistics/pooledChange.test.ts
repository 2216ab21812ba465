/** Shares over clusters, the family's error, the median's interval: against published and plain values. */

import { describe, expect, it } from 'vitest';
import { sharesChange } from '../../src/statistics/clusteredShares.ts';
import { adjustedForFamily } from '../../src/statistics/familyError.ts';
import { medianEstimate } from '../../src/statistics/medianInterval.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

describe('the change of a share over clusters', () => {
  it('is Newcombe’s where the clusters are alike: 56 of 70 against 48 of 80, his table II', () => {
    // Very many alike clusters with one tenth of the design effect each: Student's factor is then 1.
    const many = Array.from({ length: 2000 }, () => ({
      before: { failed: 48, n: 80 },
      after: { failed: 56, n: 70 },
    }));
    const { difference, interval, designEffect } = sharesChange(many, 2000)!;
    expect(designEffect).toBe(2000);
    expect(difference).toBeCloseTo(0.2, 12);
    expect(interval[0]).toBeCloseTo(0.0524, 3);
    expect(interval[1]).toBeCloseTo(0.3339, 3);
  });

  it('is Student’s of the clusters’ own differences where these scatter and all count alike', () => {
    const failed: [number, number][] = [
      [30, 10],
      [50, 20],
      [20, 25],
      [60, 30],
      [40, 15],
    ];
    const found = sharesChange(
      failed.map(([first, then]) => ({ before: { failed: first, n: 100 }, after: { failed: then, n: 100 } })),
      1,
    )!;
    const own = failed.map(([first, then]) => (then - first) / 100);
    const centre = own.reduce((sum, value) => sum + value, 0) / 5;
    const error = Math.sqrt(own.reduce((sum, value) => sum + (value - centre) ** 2, 0) / 4 / 5);
    expect(found.difference).toBeCloseTo(centre, 12);
    // By hand: mean −0.2, squares of the distances 0.085 in all, so −0.2 / √(0.085 / 4 / 5).
    expect(centre / error).toBeCloseTo(-0.2 / Math.sqrt(0.085 / 20), 9);
    // Two-sided p of that t on 4 degrees: 1 − F by its closed form, sin θ (1 + cos² θ / 2) with tan θ = t / 2.
    const angle = Math.atan(0.2 / Math.sqrt(0.085 / 20) / 2);
    expect(found.p).toBeCloseTo(1 - Math.sin(angle) * (1 + Math.cos(angle) ** 2 / 2), 6);
  });

  it('says how little nothing proves, and needs two clusters', () => {
    const none = { before: { failed: 0, n: 11 }, after: { failed: 0, n: 11 } };
    const found = sharesChange(
      Array.from({ length: 20 }, () => none),
      1.33,
    )!;
    expect(found).toMatchObject({ difference: 0, p: 1 });
    expect(found.interval[1]).toBeGreaterThan(0.01);
    expect(found.interval[1]).toBeLessThan(0.04);
    expect(sharesChange([none], 1.33)).toBeNull();
  });

  it('a cluster counted more often on one side does not pull the shares apart', () => {
    const good = { before: { failed: 0, n: 12 }, after: { failed: 0, n: 12 } };
    const bad = { before: { failed: 6, n: 12 }, after: { failed: 24, n: 48 } };
    expect(sharesChange([good, good, good, bad], 1)!.difference).toBeCloseTo(0, 12);
  });

  it.each([
    ['few go wrong', 88, 0.01, 0],
    ['clustered', 30, 0.05, 0.2],
    ['ten notes', 10, 0.02, 0],
  ])('hardly ever calls nothing a change: %s', (_, clusters, share, spread) => {
    const random = new RandomStream(11, `shares ${clusters}`);
    let called = 0;
    for (let draw = 0; draw < 600; draw++) {
      const counts = Array.from({ length: clusters }, () => {
        const own = random.chance(0.2) ? share + spread : share;
        const count = () => ({
          failed: Array.from({ length: 11 }, () => random.chance(own)).filter(Boolean).length,
          n: 11,
        });
        return { before: count(), after: count() };
      });
      if (sharesChange(counts, 1.33)!.p <= 0.05) called++;
    }
    // Nominal 30 of 600.
    expect(called).toBeLessThanOrEqual(40);
  });
});

describe('the family’s error', () => {
  it('is Holm’s: his steps by hand', () => {
    const adjusted = adjustedForFamily([0.03, 0.01, 0.05, 0.02, 0.04]);
    [0.09, 0.05, 0.09, 0.08, 0.09].forEach((value, i) => expect(adjusted[i]).toBeCloseTo(value, 12));
    expect(adjustedForFamily([])).toEqual([]);
    expect(() => adjustedForFamily([1.2])).toThrow(RangeError);
  });
});

describe('the interval of a median', () => {
  it.each([
    [6, 1],
    [10, 2],
    [20, 6],
    [50, 18],
  ])('of %s values begins at the %s. smallest, as in the tables of the sign test', (n, k) => {
    const values = Array.from({ length: n }, (_, i) => n - i);
    const { value, interval } = medianEstimate(values);
    expect(value).toBe((n + 1) / 2);
    expect(interval).toEqual([k, n + 1 - k]);
  });

  it('needs six', () => {
    expect(() => medianEstimate([1, 2, 3, 4, 5])).toThrow('5 values');
  });
});
