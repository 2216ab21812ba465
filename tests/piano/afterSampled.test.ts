/** After sampled notes: the share of affected ones against published intervals, and what is heard next. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { affectedShare, afterSampled, shareWords, type SampledNote } from '../../src/piano/afterSampled.ts';
import { minutes, sampled } from '../../src/piano/notePlans.ts';
import { sectionsOf, USUAL_BREAKS } from '../../src/piano/sections.ts';

const SAMPLES = sampled().steps.map(({ midi }) => midi);
const noted = (flagged: readonly number[], midis: readonly number[] = SAMPLES): SampledNote[] =>
  midis.map((midi) => ({ midi, judged: true, flagged: flagged.includes(midi) }));
const keysOf = (proposal: ReturnType<typeof afterSampled>) => proposal!.plan.steps.map(({ midi }) => midi);
const range = (low: number, high: number) => Array.from({ length: high - low + 1 }, (_, i) => low + i);

describe('the share of affected notes', () => {
  // Newcombe 1998, Statistics in Medicine 17:857, Wilson's score interval.
  it.each([
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
    [15, 148, 0.0624, 0.1605],
  ])('%s of %s has the published interval', (flagged, judged, low, high) => {
    const notes = Array.from({ length: judged }, (_, i) => ({ midi: i, judged: true, flagged: i < flagged }));
    const { interval, share } = affectedShare([...notes, { midi: 200, judged: false, flagged: false }])!;
    expect(share).toBe(flagged / judged);
    expect(interval[0]).toBeCloseTo(low, 4);
    expect(interval[1]).toBeCloseTo(high, 4);
  });

  it('is none where nothing was judged, and says in words what it does not say', () => {
    expect(affectedShare([{ midi: 60, judged: false, flagged: false }])).toBeNull();
    const words = (flagged: readonly number[], midis: readonly number[]) =>
      shareWords(affectedShare(noted(flagged, midis))!);
    expect(words([], range(40, 59))).toBe(
      'None of 20 sampled notes is to be seen to. If the others are like them, that is 0 to 16 in 100 of this piano’s notes. ' +
        'It says nothing about a note that was not heard.',
    );
    expect(words([40, 41], range(40, 59))).toContain('2 of 20 sampled notes are to be seen to');
    expect(words([40], range(40, 59))).toContain('1 of 20 sampled notes is to be seen to');
  });
});

describe('what to hear next', () => {
  it('is what lies around a flagged note, up to the next samples, and samples in order to make up a dozen', () => {
    // E4; its neighbours among the samples are B3 (59) and A#4 (70), the end of the tenor, with B4 above it.
    const proposal = afterSampled(noted([64]), USUAL_BREAKS);
    expect(proposal).toMatchObject({ kind: 'beside-flagged', plan: { kind: 'hand-picked' } });
    const between = range(60, 69);
    expect(keysOf(proposal).filter((midi) => midi > 59 && midi < 70)).toEqual(between);
    const others = keysOf(proposal).filter((midi) => !between.includes(midi));
    expect(others).toHaveLength(2);
    expect(others.every((midi) => SAMPLES.includes(midi))).toBe(true);
    expect(proposal!.minutes).toBe(minutes(proposal!.plan));
  });

  it('is the whole section of which the samples are flagged', () => {
    const [, , treble] = sectionsOf(USUAL_BREAKS);
    const own = SAMPLES.filter((midi) => midi >= treble.lowest && midi <= treble.highest);
    const flagged = own.slice(0, Math.ceil(own.length / 2));
    const proposal = afterSampled(noted(flagged), USUAL_BREAKS);
    expect(proposal).toMatchObject({ kind: 'whole-sections', plan: { kind: 'section' } });
    expect(proposal!.reason).toContain('of the treble are flagged');
    // Samples of it that are in order were heard; the flagged ones are heard again.
    expect(keysOf(proposal)).toEqual(
      range(treble.lowest, treble.highest).filter((midi) => !own.includes(midi) || flagged.includes(midi)),
    );
  });

  it('is the rest of the compass where much is flagged, and by need where nothing is', () => {
    const many = afterSampled(noted(SAMPLES.filter((_, i) => i % 2 === 0)), USUAL_BREAKS);
    expect(many).toMatchObject({ kind: 'rest-of-compass', plan: { kind: 'compass' } });
    expect(keysOf(many)).toEqual(
      range(21, 108).filter((midi) => !SAMPLES.includes(midi) || SAMPLES.indexOf(midi) % 2 === 0),
    );
    const none = afterSampled(noted([]), USUAL_BREAKS);
    expect(none).toMatchObject({ kind: 'by-need' });
    expect(keysOf(none)).toEqual(range(21, 108).filter((midi) => !SAMPLES.includes(midi)));
  });

  it('is nothing where all was heard', () => {
    expect(afterSampled(noted([30], range(21, 108)), USUAL_BREAKS)).toBeNull();
  });

  it('never asks for a key twice, one of no piano, or one in order that need not be heard', () => {
    const some = fc.subarray([...SAMPLES]);
    fc.assert(
      fc.property(some, some, (heard, flagged) => {
        const notes = noted(flagged, heard);
        const proposal = afterSampled(notes, USUAL_BREAKS);
        const keys = keysOf(proposal);
        expect(keys).toEqual([...new Set(keys)].sort((a, b) => a - b));
        expect(keys.every((key) => key >= 21 && key <= 108)).toBe(true);
        for (const { midi, flagged: off } of notes) if (off) expect(keys).toContain(midi);
        if (keys.length > 12) {
          const inOrder = notes.filter((note) => !note.flagged).map(({ midi }) => midi);
          expect(keys.filter((key) => inOrder.includes(key))).toEqual([]);
        }
      }),
    );
  });
});
