/** Adjusted p values: order, bounds, refusals. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adjustedForDiscovery } from '../../src/statistics/falseDiscovery.ts';

describe('p values adjusted for the false discovery rate', () => {
  const list = fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 15 });

  it('keep their order, never fall, never pass one, and call what the step-up rule calls', () => {
    fc.assert(
      fc.property(list, fc.double({ min: 0.01, max: 0.5, noNaN: true }), (p, q) => {
        const adjusted = adjustedForDiscovery(p);
        for (let i = 0; i < p.length; i++) {
          expect(adjusted[i]).toBeGreaterThanOrEqual(p[i]);
          expect(adjusted[i]).toBeLessThanOrEqual(1);
          for (let j = 0; j < p.length; j++) if (p[i] <= p[j]) expect(adjusted[i]).toBeLessThanOrEqual(adjusted[j]);
        }
        // The step-up rule as published: the greatest k with p(k) ≤ k·q/m, in the same arithmetic.
        const sorted = [...p].sort((a, b) => a - b);
        const called = sorted.findLastIndex((value, i) => value * (p.length / (i + 1)) <= q) + 1;
        expect(adjusted.filter((value) => value <= q)).toHaveLength(called);
      }),
    );
  });

  it('leave one test alone and none empty, and refuse what is no probability', () => {
    expect(adjustedForDiscovery([0.03])).toEqual([0.03]);
    expect(adjustedForDiscovery([])).toEqual([]);
    expect(() => adjustedForDiscovery([0.1, Number.NaN])).toThrow(RangeError);
  });
});
