import { beforeAll, describe, expect, it } from 'vitest';
import { madeTable, recordedTable, type OctaveTable } from './realism.ts';

/**
 * How far a made note may lie outside the recorded notes of its octave. The recorded spread is that of one grand, one
 * microphone, four or five notes; another seed is another piano.
 */
const MARGINS = {
  // Milliseconds: beats of the unisons within the first 150 ms move the highest level by a period or two of the bass.
  riseMs: { low: 3.5, high: 15 },
  // dB per octave: hammers of the same maker differ by that much in voicing (common practice, no source).
  slopeDbPerOctave: { low: 8, high: 3 },
  // dB: partials of one note decay by a factor of two apart (two-stage decay, Weinreich 1977).
  decayDb: { low: 4, high: 4 },
  // dB: the ratio is asked for in the plan.
  floorDb: { low: 4, high: 3 },
} as const;

let decoded: Promise<OctaveTable> | null = null;

describe.each(['training', 'judging'] as const)('%s tones beside recorded ones', (variant) => {
  let recorded: OctaveTable;
  let made: OctaveTable;
  beforeAll(async () => {
    recorded = await (decoded ??= recordedTable());
    made = madeTable(variant, [1]);
  }, 120_000);

  it.each(Object.keys(MARGINS) as (keyof typeof MARGINS)[])('%s: the middle of each octave lies inside', (measure) => {
    made.forEach((octave, i) => {
      const spread = recorded[i][measure];
      // Half of the margin: medians must do better than single notes.
      const { low, high } = MARGINS[measure];
      expect(octave[measure].median, `octave ${i + 1}`).toBeGreaterThanOrEqual(spread.low - low / 2);
      expect(octave[measure].median, `octave ${i + 1}`).toBeLessThanOrEqual(spread.high + high / 2);
    });
  });

  it.each(Object.keys(MARGINS) as (keyof typeof MARGINS)[])('%s: no note lies far outside', (measure) => {
    made.forEach((octave, i) => {
      const spread = recorded[i][measure];
      const { low, high } = MARGINS[measure];
      expect(octave[measure].low, `octave ${i + 1}`).toBeGreaterThanOrEqual(spread.low - low);
      expect(octave[measure].high, `octave ${i + 1}`).toBeLessThanOrEqual(spread.high + high);
    });
  });
});
