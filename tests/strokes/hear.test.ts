/** From samples to strokes, on recordings whose truth is exact and whose law no estimator here was fitted to. */

import { describe, expect, it } from 'vitest';
import { matchOnsets } from '../../src/evaluation/matching.ts';
import { hear } from '../../src/strokes/hear.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

const RATE = 48000;
const take = (midi: number, rate = 6) => ({
  midi,
  passages: [
    { kind: 'slow' as const, strokes: 6 },
    { kind: 'fast' as const, strokes: 10, ratePerSecond: rate, returnMm: 11 },
  ],
});

const recording = makePractice(
  { variant: 'judging', sampleRate: RATE, snrDb: 40, notes: [take(45), take(64), take(88)] },
  21,
);
const { samples, truth } = recording;
const heard = hear(samples, RATE);
const strokesOf = (result: ReturnType<typeof hear>) => result.takes.flatMap((t) => t.strokes);
const onsets = (result: ReturnType<typeof hear>) =>
  strokesOf(result)
    .filter((stroke) => stroke.kind === 'sounded')
    .map((stroke) => stroke.onsetSeconds!)
    .sort((a, b) => a - b);

describe('hear', () => {
  it('makes one take of each note, named and in order', () => {
    expect(heard.takes.map(({ take }) => take.midi)).toEqual([45, 64, 88]);
    expect(heard.takes.map(({ take }) => take.take)).toEqual([1, 2, 3]);
  });

  it('finds the strokes within 10 ms and tells slow from fast', () => {
    const sounded = truth.strokes.filter((stroke) => stroke.kind === 'sounded');
    const score = matchOnsets(
      sounded.map((stroke) => stroke.onsetSeconds!),
      onsets(heard),
      0.01,
    );
    expect(score.fMeasure!).toBeGreaterThan(0.97);
    const found = strokesOf(heard)
      .filter((stroke) => stroke.kind === 'sounded')
      .sort((a, b) => a.onsetSeconds! - b.onsetSeconds!);
    const wrong = score.pairs.filter(({ reference, estimate }) => {
      const { passage } = found[estimate];
      return passage !== sounded[reference].passage;
    });
    // The first stroke of a fast passage may be taken for the last slow one, and the other way round.
    expect(wrong.length).toBeLessThanOrEqual(3);
  });

  it('gives every stroke a kind, a time, a cause for what is absent, and a probability', () => {
    for (const stroke of strokesOf(heard)) {
      expect(Number.isFinite(stroke.timeSeconds)).toBe(true);
      expect(stroke.confidence).toBeGreaterThan(0);
      expect(stroke.confidence).toBeLessThanOrEqual(1);
      if (stroke.contactSeconds === null) expect(stroke.absent.contact).toBeDefined();
      else {
        expect(stroke.absent.contact).toBeUndefined();
        expect(stroke.contactSeconds).toBeLessThan(stroke.onsetSeconds!);
        expect(stroke.contactConfidence).toBeGreaterThan(0);
      }
      if (stroke.onsetSeconds === null) expect(stroke.absent.onset).toBeDefined();
    }
  });

  it('does not depend on gain or polarity', () => {
    const other = hear(
      samples.map((x) => -0.5 * x),
      RATE,
    );
    const before = onsets(heard);
    const after = onsets(other);
    expect(after).toHaveLength(before.length);
    after.forEach((time, i) => expect(Math.abs(time - before[i])).toBeLessThan(2e-5));
    const level = (result: ReturnType<typeof hear>) => strokesOf(result)[2].levelDb!;
    expect(level(other) - level(heard)).toBeCloseTo(-6.02, 1);
  });

  it('moves with the samples', () => {
    const shift = 4800;
    const later = new Float32Array(samples.length + shift);
    later.set(samples, shift);
    const quiet = samples.subarray(0, shift);
    later.set(quiet, 0);
    const before = onsets(heard);
    const after = onsets(hear(later, RATE));
    expect(after).toHaveLength(before.length);
    after.forEach((time, i) => expect(Math.abs(time - 0.1 - before[i])).toBeLessThan(1e-4));
  });

  it('names a piano far off pitch, once its first note is told', () => {
    const low = makePractice(
      { variant: 'judging', sampleRate: RATE, snrDb: 40, tuningCents: -40, notes: [take(64), take(57)] },
      6,
    );
    // Played back slower: another 70 cents down, 110 in all.
    const ratio = 2 ** (-70 / 1200);
    const slower = new Float32Array(Math.floor(low.samples.length / ratio) - 2);
    for (let i = 0; i < slower.length; i++) {
      const at = i * ratio;
      const k = Math.floor(at);
      slower[i] = low.samples[k] + (at - k) * (low.samples[k + 1] - low.samples[k]);
    }
    const names = (result: ReturnType<typeof hear>) => result.takes.map(({ take }) => take.midi);
    expect(names(hear(slower, RATE))).toEqual([63, 56]);
    const told = hear(slower, RATE, 64);
    expect(names(told)).toEqual([64, 57]);
    expect(told.tuning!).toBeCloseTo(-110, -1);
  });

  it('hears nothing in silence, a constant, a sample, or what is not a number', () => {
    for (const input of [
      new Float32Array(0),
      Float32Array.of(0.5),
      new Float32Array(RATE),
      new Float32Array(RATE).fill(0.3),
    ]) {
      expect(hear(input, RATE).takes).toEqual([]);
    }
    expect(hear(new Float32Array(RATE).fill(NaN), RATE).takes).toEqual([]);
  });

  it.each([22050, 44100, 96000])('hears the same at %i Hz', (sampleRate) => {
    const other = makePractice({ variant: 'judging', sampleRate, snrDb: 40, notes: [take(64)] }, 4);
    const result = hear(other.samples, sampleRate);
    expect(result.takes.map(({ take }) => take.midi)).toEqual([64]);
    const sounded = other.truth.strokes.filter((stroke) => stroke.kind === 'sounded');
    const score = matchOnsets(
      sounded.map((stroke) => stroke.onsetSeconds!),
      onsets(result),
      0.01,
    );
    expect(score.fMeasure!).toBeGreaterThan(0.95);
  });
});
