import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { matchOnsets, pooledRetrieval, retrieval } from '../../src/evaluation/matching.ts';

/** Every one-to-one matching tried: the most pairs, then the least total distance. */
function exhaustive(reference: readonly number[], estimate: readonly number[], tolerance: number): [number, number] {
  let best: [number, number] = [0, 0];
  const used = new Set<number>();
  const go = (r: number, count: number, distance: number): void => {
    if (r === reference.length) {
      if (count > best[0] || (count === best[0] && distance < best[1])) best = [count, distance];
      return;
    }
    go(r + 1, count, distance);
    estimate.forEach((time, e) => {
      const gap = Math.abs(time - reference[r]);
      if (used.has(e) || gap > tolerance) return;
      used.add(e);
      go(r + 1, count + 1, distance + gap);
      used.delete(e);
    });
  };
  go(0, 0, 0);
  return best;
}

const times = (most: number): fc.Arbitrary<number[]> =>
  fc
    .array(fc.integer({ min: 0, max: 400 }), { maxLength: most })
    .map((list) => list.sort((a, b) => a - b).map((t) => t / 1024));

describe('matchOnsets', () => {
  it('works out the hand example', () => {
    // 1.000 is nearest to 1.004, but that one is needed by 1.009: two pairs beat one near pair.
    const found = matchOnsets([1.0, 1.009, 2.0, 3.0], [0.993, 1.004, 2.002, 2.5], 0.01);
    expect(found.pairs).toEqual([
      { reference: 0, estimate: 0 },
      { reference: 1, estimate: 1 },
      { reference: 2, estimate: 2 },
    ]);
    expect(found.missed).toEqual([3]);
    expect(found.extra).toEqual([3]);
    expect([found.precision, found.recall, found.fMeasure]).toEqual([0.75, 0.75, 0.75]);
  });

  it('takes the least total distance among matchings of equal size', () => {
    expect(matchOnsets([1.0], [0.994, 1.001, 1.008], 0.01).pairs).toEqual([{ reference: 0, estimate: 1 }]);
    expect(matchOnsets([1.0, 1.004], [1.003], 0.01).pairs).toEqual([{ reference: 1, estimate: 0 }]);
  });

  it('counts a pair exactly at the tolerance, and none beyond it', () => {
    expect(matchOnsets([1], [1.25], 0.25).hits).toBe(1);
    expect(matchOnsets([1], [1.2500001], 0.25).hits).toBe(0);
  });

  it('gives one reference to one estimate only: a double detection is an extra', () => {
    const found = matchOnsets([1], [1, 1.001], 0.01);
    expect([found.hits, found.misses, found.extras]).toEqual([1, 0, 1]);
    expect(found.fMeasure).toBeCloseTo(2 / 3, 12);
  });

  it('finds what trying everything finds', () => {
    fc.assert(
      fc.property(times(6), times(6), fc.integer({ min: 0, max: 60 }), (reference, estimate, tolerance) => {
        const found = matchOnsets(reference, estimate, tolerance / 1024);
        const distance = found.pairs.reduce(
          (sum, p) => sum + Math.abs(reference[p.reference] - estimate[p.estimate]),
          0,
        );
        const [count, least] = exhaustive(reference, estimate, tolerance / 1024);
        expect(found.pairs.length).toBe(count);
        expect(distance).toBeCloseTo(least, 9);
        expect(
          found.pairs.every((p) => Math.abs(reference[p.reference] - estimate[p.estimate]) <= tolerance / 1024),
        ).toBe(true);
        expect(found.pairs.length + found.missed.length).toBe(reference.length);
        expect(found.pairs.length + found.extra.length).toBe(estimate.length);
      }),
      { numRuns: 400, seed: 1 },
    );
  });

  it('does not depend on a common shift, nor on which list is called the reference', () => {
    fc.assert(
      fc.property(times(12), times(12), (reference, estimate) => {
        const found = matchOnsets(reference, estimate, 0.03125);
        const shifted = matchOnsets(
          reference.map((t) => t + 8),
          estimate.map((t) => t + 8),
          0.03125,
        );
        const swapped = matchOnsets(estimate, reference, 0.03125);
        expect(shifted.pairs).toEqual(found.pairs);
        expect(swapped.hits).toBe(found.hits);
        expect(swapped.fMeasure).toBe(found.fMeasure);
      }),
      { numRuns: 200, seed: 2 },
    );
  });

  it('gives null for a share of nothing, and 0 for finding nothing', () => {
    const nothing = matchOnsets([], [], 0.01);
    expect([nothing.precision, nothing.recall, nothing.fMeasure]).toEqual([null, null, null]);
    const missedAll = matchOnsets([1, 2], [], 0.01);
    expect([missedAll.precision, missedAll.recall, missedAll.fMeasure]).toEqual([null, 0, 0]);
    const madeUp = matchOnsets([], [1, 2], 0.01);
    expect([madeUp.precision, madeUp.recall, madeUp.fMeasure]).toEqual([0, null, 0]);
  });

  it('is quick on long lists', () => {
    const reference = Array.from({ length: 20_000 }, (_, i) => i * 0.1);
    const found = matchOnsets(
      reference,
      reference.map((t) => t + 0.004),
      0.01,
    );
    expect(found.hits).toBe(20_000);
  });

  it.each([
    [[1, 0.5], [1], 0.01, /reference time 1 is 0\.5 s, after 1 s.*Sort/],
    [[1], [Number.NaN], 0.01, /estimate time 0 is NaN/],
    [[1], [Number.POSITIVE_INFINITY], 0.01, /estimate time 0 is Infinity/],
    [[-1], [1], 0.01, /reference time 0 is -1 s/],
    [[1.5, 2.25], [1500, 2251], 0.01, /estimate times look like milliseconds/],
    [[1.5, 2.25], [72_000, 108_010], 0.01, /look like milliseconds|look like frames/],
    [[48_000, 72_000, 1_440_000], [1], 0.01, /reference times.*look like frames/],
    [[30_000.5, 61_000.25], [1], 0.01, /reference times.*look like milliseconds/],
    [[0.5, 1], [24_000, 48_005], 0.01, /estimate times look like frames at 48000 Hz|look like milliseconds/],
    [[1], [1], -0.01, /tolerance -0\.01 s/],
    [[1], [1], Number.NaN, /tolerance NaN s/],
    [[1], [1], 10, /looks like milliseconds/],
  ])('refuses %j against %j at %d', (reference, estimate, tolerance, message) => {
    expect(() => matchOnsets(reference, estimate, tolerance)).toThrow(message);
  });
});

describe('pooledRetrieval', () => {
  it('counts strokes, it does not average shares', () => {
    // 1 of 1 and 1 of 3 found: 2 of 4, not the mean of 1 and 1/3.
    const pooled = pooledRetrieval([retrieval(1, 0, 0), retrieval(1, 2, 1)]);
    expect(pooled).toEqual({ hits: 2, misses: 2, extras: 1, precision: 2 / 3, recall: 0.5, fMeasure: 4 / 7 });
  });
});
