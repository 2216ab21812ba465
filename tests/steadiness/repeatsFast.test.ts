/** Pulse, fading and level of quick passages: what notes in order show, what is found, and what is left alone. */

import { describe, expect, it } from 'vitest';
import { judgeFast } from '../../src/steadiness/repeats/judgeFast.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { fastRates, quickNote, type Quirk } from './fastPiano.ts';

/** 24 notes in order and the note 60 with a quirk. */
function among(quirk: Quirk, passages = 2, seed = 7) {
  const chance = new RandomStream(seed, 'among');
  const plays = Array.from({ length: 24 }, (_, i) => quickNote(21 + i, passages, {}, chance));
  return judgeFast([...plays, quickNote(60, passages, quirk, chance)]).get(60)!;
}

describe('judgeFast', () => {
  it.each([1, 2, 3])('watches about one note in order in a hundred, %i passages', (passages) => {
    // Measured over 60 pianos of 60 notes: 1.1, 1.0, 0.8 in 100 for the pulse, 0.1 for fading.
    const { falsePulse, falseFading } = fastRates({}, passages, 20, 400);
    expect(falsePulse).toBeLessThan(0.02);
    expect(falseFading).toBeLessThan(0.006);
  });

  it('finds an action that adds 12 ms to the onsets, and the slope of 6 dB a passage', () => {
    expect(fastRates({ jitterMs: 12 }, 2, 6, 50).pulseFound).toBeGreaterThan(0.85);
    expect(fastRates({ fadeDb: 6 }, 2, 6, 60).fadingFound).toBeGreaterThan(0.75);
  });

  it('tells pulse from fading, with size and interval', () => {
    const uneven = among({ jitterMs: 15 });
    expect(uneven.findings.map(({ kind }) => kind)).toEqual(['uneven-repeats']);
    expect(uneven.p).toBeLessThan(0.01);
    // 15 ms in two onsets of a sixth of a second each: 13 in 100, on top of the hand's 4.
    expect(uneven.findings[0].size).toBeGreaterThan(9);
    expect(uneven.findings[0].size).toBeLessThan(18);
    const fading = among({ fadeDb: 8 });
    expect(fading.findings.map(({ kind, unit }) => [kind, unit])).toEqual([['fading-repeats', 'dB']]);
    expect(fading.findings[0].size).toBeGreaterThan(5);
    expect(fading.findings[0].interval[0]).toBeGreaterThan(3);
  });

  it('is not misled by misses: intervals over them do not count', () => {
    const { pulse } = rates({ silent: 0.25 });
    expect(pulse).toBeLessThan(0.1);
  });

  it('a level under the slow strokes is a measure, never a finding', () => {
    const { measures, watch } = among({ dropDb: 8 });
    const drop = measures.find(({ kind }) => kind === 'level-drop')!;
    expect(drop.value).toBeGreaterThan(8);
    expect(drop.n).toBeGreaterThan(25);
    expect(watch).toBe(false);
  });

  it('another recording with another gain moves no level', () => {
    const chance = new RandomStream(3, 'sources');
    const plays = Array.from({ length: 24 }, (_, i) => quickNote(21 + i, 1, {}, chance, 0));
    const [here, there] = [quickNote(60, 1, {}, chance, 0), quickNote(60, 1, {}, chance, 1, 25)];
    const pooled = { ...here, looks: [[...here.looks[0], ...there.looks[0]]] };
    const drop = judgeFast([...plays, pooled])
      .get(60)!
      .measures.find(({ kind }) => kind === 'level-drop')!;
    expect(drop.value).toBeLessThan(7);
    expect(judgeFast([...plays, pooled]).get(60)!.watch).toBe(false);
  });

  it('says nothing of pulse or fading with fewer than twelve notes to compare', () => {
    const chance = new RandomStream(5, 'few');
    const few = judgeFast(
      Array.from({ length: 8 }, (_, i) => quickNote(40 + i, 2, { jitterMs: 20, fadeDb: 9 }, chance)),
    );
    for (const { p, watch, findings } of few.values())
      expect({ p, watch, findings }).toEqual({ p: null, watch: false, findings: [] });
  });
});

/** Share of notes with a quirk that are watched for their pulse. */
function rates(quirk: Quirk) {
  return { pulse: fastRates(quirk, 2, 6, 80).pulseFound };
}
