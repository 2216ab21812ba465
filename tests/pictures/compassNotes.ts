/** Notes and rounds of the compass as numbers, for the tests: plain ones, and any at all. */

import fc from 'fast-check';
import { VERDICTS } from '../../src/analysis/document.ts';
import type { Colour } from '../../src/pictures/colours.ts';
import type { CompassNote, CompassRound, RepeatCount } from '../../src/pictures/compass/compassNote.ts';

/** A steady note with eight strokes about its middle; `change` overwrites. */
export function note(midi: number, change: Partial<CompassNote> = {}): CompassNote {
  return {
    midi,
    verdict: 'steady',
    repeats: { silent: 0, weak: 0, double: 0, of: 23 },
    gentle: null,
    timing: { value: 1, low: -1, high: 3 },
    offsets: [-6, -4, -2, -1, 1, 2, 4, 6],
    restRatio: 1.1,
    travelMs: 58.2,
    trendMs: 57.6,
    failsAgain: false,
    wanders: false,
    colours: { repeats: 'ink2', gentle: 'ink2', timing: 'ink', rest: 'ink3' },
    ...change,
  };
}

/** A note that fails to repeat, of twenty-four. */
export function failing(midi: number, silent: number, weak: number): CompassNote {
  return note(midi, {
    verdict: 'unstable',
    repeats: { silent, weak, double: 0, of: 24 },
    colours: { repeats: 'ember', gentle: 'ink2', timing: 'ink', rest: 'ink3' },
  });
}

export const roundOf = (notes: readonly CompassNote[]): CompassRound => ({ notes, band: 8.4, referenceDb: -22 });

/** All 88 keys with so many slow strokes each. */
export function fullRound(strokes: number, changed: (midi: number) => Partial<CompassNote> = () => ({})): CompassRound {
  const offsets = Array.from({ length: strokes }, (_, i) => 14 * Math.sin(i * 2.4));
  return roundOf(Array.from({ length: 88 }, (_, i) => note(21 + i, { offsets, ...changed(21 + i) })));
}

const count: fc.Arbitrary<RepeatCount> = fc
  .record({ silent: fc.nat(36), weak: fc.nat(12), double: fc.nat(12) })
  .map((counts) => ({ ...counts, of: 60 }));
const percent = fc.double({ min: -80, max: 80, noNaN: true });
const colour = fc.constantFrom<Colour>('ink', 'ink2', 'ink3', 'amber', 'ember');

/** Any round: few notes or many, with whatever may be missing missing. */
export const anyRound: fc.Arbitrary<CompassRound> = fc.record({
  notes: fc
    .uniqueArray(
      fc.record({
        midi: fc.integer({ min: 21, max: 108 }),
        verdict: fc.constantFrom(...VERDICTS),
        repeats: fc.option(count),
        gentle: fc.option(count.map((one) => ({ ...one, weak: 0 }))),
        failsAgain: fc.boolean(),
        wanders: fc.boolean(),
        timing: fc.option(
          fc.tuple(percent, fc.double({ min: 0, max: 40, noNaN: true })).map(([value, half]) => ({
            value,
            low: value - half,
            high: value + half,
          })),
        ),
        offsets: fc.array(percent, { maxLength: 40 }),
        restRatio: fc.option(fc.double({ min: 0, max: 9, noNaN: true })),
        travelMs: fc.constant(null),
        trendMs: fc.constant(null),
        colours: fc.record({ repeats: colour, gentle: colour, timing: colour, rest: colour }),
      }),
      { selector: ({ midi }) => midi, maxLength: 30 },
    )
    .map((notes) => notes.sort((a, b) => a.midi - b.midi)),
  band: fc.option(fc.double({ min: 0.5, max: 19, noNaN: true })),
  referenceDb: fc.constant(-20),
});
