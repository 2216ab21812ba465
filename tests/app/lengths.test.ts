/** Lengths as they are read: millimetres or inches, whatever else stands in the sentence. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lengthsIn } from '../../src/app/lengths.ts';
import { inchesToMillimetres, millimetresToInches } from '../../src/units.ts';

describe('lengths', () => {
  it.each([
    ['A rest that differs by 0.5 mm at the hammer (model).', 'A rest that differs by 0.020 in at the hammer (model).'],
    ['published texts have 44 to 48 mm (hammer to string)', 'published texts have 1.73 to 1.89 in (hammer to string)'],
    ['about 1.6 mm, 1/16 inch', 'about 0.063 in, 1/16 inch'],
    ['line up 3 mm; dip 9.5 mm', 'line up 0.12 in; dip 0.37 in'],
    ['5 of 24 repeats in 12 ms', '5 of 24 repeats in 12 ms'],
  ])('%s', (sentence, inches) => {
    expect(lengthsIn('inch', sentence)).toBe(inches);
    expect(lengthsIn('mm', sentence)).toBe(sentence);
  });

  it('an inch is 25.4 mm, there and back', () => {
    // The international inch: 25.4 mm exactly (agreement of 1959; from memory).
    expect(inchesToMillimetres(1)).toBe(25.4);
    fc.assert(
      fc.property(fc.double({ min: -1000, max: 1000, noNaN: true }), (length) => {
        expect(inchesToMillimetres(millimetresToInches(length))).toBeCloseTo(length, 9);
      }),
    );
  });
});
