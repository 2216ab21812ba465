/** The contact meter's own arithmetic: a fade undone, a curve fitted. */

import { describe, expect, it } from 'vitest';
import { contactConfidence, type ContactGrounds } from '../../src/strokes/contactConfidence.ts';
import { chance } from './chance.ts';
import { withoutFade } from './contactFolder.ts';
import { fittedWeights } from './contactWorth.ts';
import { rms } from './room.ts';

const RATE = 44_100;

describe('withoutFade', () => {
  const random = chance(4);
  const hiss = Float32Array.from({ length: 0.5 * RATE }, () => 1e-3 * random.normal());

  it.each([0.05, 0.12, 0.2])('undoes a fade of %f s', (length) => {
    const faded = hiss.map((x, i) => x * Math.min(1, i / (length * RATE)));
    const { samples, cutSeconds, fadeSeconds } = withoutFade(faded, RATE, 0.5);
    expect(Math.abs(fadeSeconds - length)).toBeLessThan(0.04);
    expect(cutSeconds).toBeLessThan(0.4 * length);
    for (let at = 0; at + 0.02 < 0.5 - cutSeconds; at += 0.02) {
      const level = rms(samples, Math.round(at * RATE), Math.round(0.02 * RATE));
      expect(level).toBeGreaterThan(0.8e-3);
      expect(level).toBeLessThan(1.25e-3);
    }
  });

  it('leaves a recording without one nearly as it is', () => {
    const { samples, cutSeconds } = withoutFade(hiss, RATE, 0.5);
    expect(cutSeconds).toBeLessThan(0.02);
    expect(rms(samples, 0, samples.length) / rms(hiss, 0, hiss.length)).toBeCloseTo(1, 1);
  });
});

describe('fittedWeights', () => {
  it('finds the curve that chance was drawn from', () => {
    const truth = [0.5, 1, 1, -0.5, -2, 1, -1];
    const random = chance(6);
    const said = Array.from({ length: 4000 }, () => {
      const grounds: ContactGrounds = {
        kind: random.pick(['click', 'thump'] as const),
        strength: 1 + 4 * random.uniform(),
        agreed: random.uniform() < 0.5,
        off: random.uniform() < 0.3 ? null : random.uniform(),
        rival: random.uniform() < 0.3,
        byChance: 0,
        step: null,
        earlierBy: 0,
      };
      return { grounds, confidence: 0, right: random.uniform() < contactConfidence(grounds, truth) };
    });
    const weights = fittedWeights(said);
    for (const { grounds } of said.slice(0, 50)) {
      expect(Math.abs(contactConfidence(grounds, weights) - contactConfidence(grounds, truth))).toBeLessThan(0.08);
    }
  });
});
