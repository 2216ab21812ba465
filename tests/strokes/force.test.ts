/** Strength against the note's own, gentle runs and damped gaps, on hand-made levels and tones. */

import { describe, expect, it } from 'vitest';
import { relativeStrokes, type Struck } from '../../src/strokes/force.ts';
import { gapsBefore } from '../../src/strokes/gaps.ts';

const struck = (passage: Struck['passage'], levels: readonly (number | null)[]): Struck[] =>
  levels.map((level) => ({ passage, level, double: false }));

describe('relativeStrokes', () => {
  it('holds re-strikes against the upper quartile of the fast ones: weak from 10 dB under, faint beyond 16', () => {
    const all = relativeStrokes(struck('fast', [-20, -20, -20, -29.9, -30, -36, -36.1, -20, -20, -20]));
    expect(all.map(({ force }) => force)).toEqual([
      ...['usual', 'usual', 'usual', 'usual', 'weak', 'weak', 'weak'],
      ...['usual', 'usual', 'usual'],
    ]);
    expect(all.map(({ faint }) => faint).indexOf(true)).toBe(6);
    expect(all[4].relativeDb).toBeCloseTo(-10, 9);
  });

  it('calls firm what is 6 dB over the slow median, gentle what is 8 under, and no lone gentle stroke a passage', () => {
    const all = relativeStrokes(struck('slow', [-20, -14, -20, -20, -28, -20]));
    expect(all.map(({ force }) => force)).toEqual(['usual', 'firm', 'usual', 'usual', 'gentle', 'usual']);
    expect(all.every(({ passage }) => passage === 'slow')).toBe(true);
  });

  it('makes a gentle passage of six in a row, which does not pull the slow median down', () => {
    const all = relativeStrokes(struck('slow', [...Array<number>(8).fill(-20), ...Array<number>(8).fill(-33)]));
    expect(all.slice(0, 8).every(({ passage, force }) => passage === 'slow' && force === 'usual')).toBe(true);
    expect(
      all.slice(8).every(({ passage, force, faint }) => passage === 'gentle' && force === 'gentle' && !faint),
    ).toBe(true);
  });

  it('leaves doubles out of the references and gives them no strength', () => {
    const strokes = struck('fast', [-20, -20, -20, -20]);
    const all = relativeStrokes([...strokes, { passage: 'fast', level: -5, double: true }]);
    expect(all[0].relativeDb).toBe(0);
    expect(all[4]).toMatchObject({ force: null, relativeDb: 15, faint: false });
  });

  it('says nothing of a level that is not there, or with two strokes only', () => {
    expect(relativeStrokes(struck('fast', [-20, null, -20, -20]))[1].relativeDb).toBeNull();
    expect(relativeStrokes(struck('slow', [-20, -40])).every(({ force, faint }) => force === null && !faint)).toBe(
      true,
    );
  });
});

describe('gapsBefore', () => {
  const RATE = 8000;
  /** A 440 Hz tone of strokes that decay by 30 dB a second; before stroke `dampedAt` it is damped by 15 dB. */
  function tones(onsets: readonly number[], dampedAt: number | null): Float32Array {
    const samples = new Float32Array(Math.round((onsets[onsets.length - 1] + 1) * RATE));
    onsets.forEach((onset, i) => {
      const end = i + 1 < onsets.length ? onsets[i + 1] : onset + 0.9;
      for (let k = Math.round(onset * RATE); k < Math.round(end * RATE); k++) {
        const t = k / RATE - onset;
        const damped = i + 1 === dampedAt && k / RATE > end - 0.06 ? -15 : 0;
        samples[k] = 0.3 * Math.sin(2 * Math.PI * 440 * t) * 10 ** ((-30 * t + damped) / 20);
      }
    });
    return samples;
  }
  const slow = [0.5, 1.4, 2.3, 3.2];
  const fast = [4.1, 4.27, 4.44, 4.61, 4.78];
  const onsets = [...slow, ...fast];
  const strokes = onsets.map((onset, i) => ({ onset, slow: i < slow.length }));

  it('hears a damper that fell, and only that', () => {
    const gaps = gapsBefore({ samples: tones(onsets, 6), rate: RATE }, strokes);
    expect(gaps[6].damped).toBe(true);
    expect(gaps[6].gapDb).toBeCloseTo(15, 0);
    for (const i of [5, 7, 8]) {
      expect(gaps[i].damped).toBe(false);
      expect(Math.abs(gaps[i].gapDb!)).toBeLessThan(1);
    }
  });

  it('does not know without a stroke before, or without slow strokes', () => {
    const samples = tones(onsets, null);
    expect(gapsBefore({ samples, rate: RATE }, strokes)[0]).toEqual({ damped: null, gapDb: null });
    const allFast = onsets.map((onset) => ({ onset, slow: false }));
    expect(gapsBefore({ samples, rate: RATE }, allFast).every(({ damped }) => damped === null)).toBe(true);
  });
});
