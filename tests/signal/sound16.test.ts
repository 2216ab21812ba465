/** Sound as it is kept: exact where it was 16 bit, to the nearest step where not. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromSound16, toSound16 } from '../../src/signal/sound16.ts';

describe('sound of 16 bit', () => {
  it('comes back exactly, every value', () => {
    const all = Int16Array.from({ length: 65536 }, (_, i) => i - 32768);
    expect(toSound16(fromSound16(all))).toEqual(all);
    expect([...fromSound16(Int16Array.of(-32768, -1, 0, 1, 32767))]).toEqual([
      -1,
      -1 / 32768,
      0,
      1 / 32768,
      32767 / 32768,
    ]);
  });

  it('is rounded to the nearest step', () => {
    fc.assert(
      fc.property(fc.float({ min: -1, max: Math.fround(32767 / 32768), noNaN: true }), (value) => {
        const back = fromSound16(toSound16(Float32Array.of(value)))[0];
        return Math.abs(back - value) <= 0.5 / 32768;
      }),
    );
  });

  it('is cut off beyond full scale; what is no number is silence', () => {
    const odd = Float32Array.of(1, 1.5, -1, -1.5, Infinity, -Infinity, NaN);
    expect([...toSound16(odd)]).toEqual([32767, 32767, -32768, -32768, 32767, -32768, 0]);
  });

  it('goes into a list that is given', () => {
    const into = new Int16Array(2);
    expect(toSound16(Float32Array.of(0.5, -0.5), into)).toBe(into);
    expect([...into]).toEqual([16384, -16384]);
    expect(toSound16(new Float32Array(0))).toHaveLength(0);
  });
});
