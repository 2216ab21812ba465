/** Doubles and failed repeats, on practice recordings whose law nothing here was fitted to; the tone taken away, on a made one. */

import { describe, expect, it } from 'vitest';
import { scoreKinds } from '../../src/evaluation/kinds.ts';
import { learnTone, TONE_FROM, withoutTone } from '../../src/signal/tone.ts';
import { hear } from '../../src/strokes/hear.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

const play = (midi: number, faults: readonly { name: 'double-strikes' | 'missed-repeats'; size: number }[]) =>
  makePractice(
    {
      variant: 'judging',
      snrDb: 40,
      notes: [
        {
          midi,
          passages: [
            { kind: 'slow', strokes: 8 },
            { kind: 'fast', strokes: 12 },
            { kind: 'fast', strokes: 12 },
          ],
          faults,
        },
      ],
    },
    midi,
  );
const heardIn = ({ samples, sampleRate }: ReturnType<typeof play>) =>
  hear(samples, sampleRate).takes.flatMap(({ strokes }) => strokes);

const DOUBLES_TO = 12;

describe('what hides under a tone', () => {
  it.each([57, 76])('doubles and silent repeats of %i are found and not made up', (midi) => {
    const recording = play(midi, [
      { name: 'double-strikes', size: 0.5 },
      { name: 'missed-repeats', size: 0.15 },
    ]);
    const { truth } = recording;
    const strokes = heardIn(recording);
    const score = scoreKinds(truth.strokes, strokes, { sounded: 0.03, silent: 0.05, double: 0.03 });
    // Practice doubles lie 6 to 20 dB under; what is promised ends at 12.
    const loud = truth.strokes.filter(
      ({ kind, levelDb, timeSeconds }) =>
        kind === 'double' &&
        levelDb! >=
          truth.strokes.findLast((s) => s.kind === 'sounded' && s.timeSeconds < timeSeconds)!.levelDb! - DOUBLES_TO,
    );
    const doubles = strokes.filter(({ kind }) => kind === 'double');
    const found = loud.filter(({ timeSeconds }) =>
      doubles.some((double) => Math.abs(double.timeSeconds - timeSeconds) < 0.01),
    );
    expect(loud.length).toBeGreaterThanOrEqual(3);
    expect(found.length / loud.length).toBeGreaterThanOrEqual(0.8);
    expect(score.double.extras).toBeLessThanOrEqual(1);
    expect(score.silent.misses + score.silent.extras).toBeLessThanOrEqual(2);
  });

  it('a note in order has neither, and every stroke its relative level', () => {
    const strokes = heardIn(play(64, []));
    expect(strokes.filter(({ kind }) => kind === 'double')).toEqual([]);
    const sounded = strokes.filter(({ kind }) => kind === 'sounded');
    expect(sounded.length).toBeGreaterThan(25);
    for (const { relativeDb, force, absent, knockDb } of sounded) {
      expect(Math.abs(relativeDb!)).toBeLessThan(16);
      expect(force).not.toBeNull();
      expect(knockDb).toBeNull();
      expect(absent.knock).toBe('masked');
    }
  });

  it('gives the knock in the treble, and says why not below', () => {
    const sounded = heardIn(play(88, [])).filter(({ kind }) => kind === 'sounded');
    const knocks = sounded.filter(({ knockDb, levelDb }) => knockDb !== null && knockDb < levelDb!);
    expect(knocks.length).toBeGreaterThan(sounded.length / 2);
  });
});

describe('withoutTone', () => {
  const rate = 8000;
  const start = 0;
  /** Decaying noise of two colours, mixed by loudness: what strokes of one note have in common. */
  const wave = (loud: number) => {
    let state = 1;
    const noise = Float32Array.from({ length: 3000 }, () => (state = (state * 48271) % 2147483647) / 2147483647 - 0.5);
    return noise.map((v, i) => (v + loud * ((noise[i - 1] ?? 0) + v)) * Math.exp(-i / 800));
  };
  const data = new Float32Array(10 * rate);
  const strokes = Array.from({ length: 8 }, (_, i) => {
    const loud = i % 2;
    wave(loud).forEach((v, k) => (data[(i + 1) * rate + k] += (1 + loud) * v));
    return { seconds: i + 1, gain: loud ? 6.02 : 0, until: 1 };
  });
  const energy = (piece: Float32Array) => piece.reduce((sum, v) => sum + v * v, 0);

  it('leaves little of a stroke, whatever its loudness, and what was laid under it', () => {
    const tone = learnTone({ data, start, rate }, strokes, 0.25)!;
    const before = energy(data.subarray((1 + TONE_FROM) * rate, 1.25 * rate));
    expect(energy(withoutTone({ data, start, rate }, tone, 1, 0.25)) / before).toBeLessThan(1e-3);
    const other = data.slice();
    for (let k = 0; k < 40; k++) other[Math.round(1.1 * rate) + k] += 0.1 * (k % 2 ? 1 : -1);
    const left = withoutTone({ data: other, start, rate }, tone, 1, 0.25);
    const at = Math.round((0.1 - TONE_FROM) * rate);
    expect(energy(left.subarray(at, at + 40)) / energy(left)).toBeGreaterThan(0.8);
  });

  it('is not learned from two strokes', () => {
    expect(learnTone({ data, start, rate }, strokes.slice(0, 2), 0.25)).toBeNull();
  });
});
