import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distribution, median, quantile } from '../../src/evaluation/distribution.ts';
import { timingErrors, type TimedStroke } from '../../src/evaluation/timing.ts';

const stroke = (group: string, reference: number, estimate: number | null, marked = false): TimedStroke => ({
  group,
  referenceSeconds: reference,
  estimateSeconds: estimate,
  marked,
});

describe('timingErrors', () => {
  it('works out the hand example', () => {
    // A: errors 2.0, 2.1, 2.0, 2.5 ms: constant 2.05, rest 0.05, 0.05, 0.05, 0.45 ms, of which the last is a slip.
    // B: errors 7, 7, 7 ms: constant 7, rest 0.
    const found = timingErrors([
      stroke('A', 1, 1.002),
      stroke('A', 2, 2.0021),
      stroke('A', 3, 3.002),
      stroke('A', 4, 4.0025),
      stroke('B', 5, 5.007),
      stroke('B', 6, 6.007),
      stroke('B', 7, 7.007),
    ]);
    expect(found.constants.get('A')).toBeCloseTo(0.00205, 9);
    expect(found.constants.get('B')).toBeCloseTo(0.007, 9);
    expect(found.absolute.n).toBe(7);
    expect(found.absolute.median).toBeCloseTo(0.00005, 9);
    expect(found.absolute.worst).toBeCloseTo(0.00045, 9);
    expect([found.slips, found.missed, found.unmarkedSlips]).toEqual([1, 0, 1]);
    expect(found.slipShare).toBeCloseTo(1 / 7, 12);
  });

  it('counts a stroke that was not found as an infinite error', () => {
    const list = [stroke('A', 1, 1), stroke('A', 2, 2), stroke('A', 3, 3), stroke('A', 4, null)];
    const found = timingErrors(list);
    expect(found.absolute.n).toBe(4);
    expect(found.absolute.failures).toBe(1);
    expect(found.absolute.worst).toBe(Infinity);
    expect(found.absolute.median).toBe(0);
    expect(found.slipShare).toBe(0.25);
  });

  it('gives a group of two found strokes no constant: all of it counts as missed', () => {
    const found = timingErrors([stroke('A', 1, 1), stroke('A', 2, 2.1), stroke('A', 3, null), stroke('A', 4, null)]);
    expect(found.missed).toBe(4);
    expect(found.constants.get('A')).toBeNull();
    expect(found.markedShare).toBeNull();
  });

  it('keeps marked slips apart from unmarked ones', () => {
    const good = [1, 2, 3, 4].map((t) => stroke('A', t, t));
    const found = timingErrors([...good, stroke('A', 5, 5.002, true), stroke('A', 6, 6.002)]);
    expect([found.slips, found.unmarkedSlips, found.marked]).toEqual([2, 1, 1]);
    expect(found.markedShare).toBeCloseTo(1 / 6, 12);
    expect(found.unmarked?.n).toBe(5);
  });

  it('does not see a constant, whatever it is', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 3, maxLength: 20 }),
        fc.integer({ min: -64, max: 64 }),
        (errors, constant) => {
          const list = (shift: number): TimedStroke[] =>
            errors.map((e, i) => stroke('A', i + 1, i + 1 + e / 2 ** 20 + shift));
          expect(timingErrors(list(constant / 64)).absolute.p95).toBeCloseTo(timingErrors(list(0)).absolute.p95, 9);
        },
      ),
      { numRuns: 100, seed: 3 },
    );
  });

  it.each([
    [[], /no strokes to judge/],
    [[stroke('A', 1, 1), stroke('A', 2, 2)], /group "A" has 2 strokes/],
    [[stroke('A', Number.NaN, 1)], /reference time of stroke 0 is NaN/],
    [[stroke('A', 1, Number.NaN)], /estimate of stroke 0 is NaN.*null/],
  ])('refuses what cannot be judged (%#)', (list, message) => {
    expect(() => timingErrors(list)).toThrow(message);
  });
});

describe('distribution', () => {
  it('works out the hand example: quantiles of definition 7, MAD scaled', () => {
    // 1 1 2 2 4 6 9: median 2, deviations 1 1 0 0 2 4 7, their median 1 (textbook example, computed by hand).
    const found = distribution([9, 1, 2, 1, 6, 2, 4]);
    expect(found.median).toBe(2);
    expect(found.robustSd).toBeCloseTo(1.4826, 12);
    // Place 0.9·6 = 5.4: 6 + 0.4·(9 - 6) = 7.2.
    expect(found.p90).toBeCloseTo(7.2, 12);
    expect(found.worst).toBe(9);
  });

  it('keeps failures in their place', () => {
    expect(quantile([1, 2, 3, Infinity], 0.5)).toBe(2.5);
    expect(quantile([1, Infinity], 0.5)).toBe(Infinity);
    expect(quantile([1, Infinity, Infinity], 1)).toBe(Infinity);
    const found = distribution([1, 2, Infinity, Infinity, Infinity]);
    expect([found.failures, found.median, found.robustSd]).toEqual([3, Infinity, Infinity]);
  });

  it('does not depend on the order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ noNaN: true, min: -1e6, max: 1e6 }), { minLength: 1, maxLength: 30 }),
        (list) => {
          expect(distribution([...list].reverse())).toEqual(distribution(list));
          expect(median(list)).toBeGreaterThanOrEqual(Math.min(...list));
        },
      ),
      { numRuns: 100, seed: 4 },
    );
  });

  it('refuses the empty list, NaN, and a share that looks like per cent', () => {
    expect(() => distribution([])).toThrow(/empty list/);
    expect(() => distribution([1, Number.NaN])).toThrow(/value 1 is NaN/);
    expect(() => quantile([1], 95)).toThrow(/quantile at 95; expected a share/);
  });
});
