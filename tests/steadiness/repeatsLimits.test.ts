/** Base rates learned among failing notes, and the limits that follow from them. */

import { describe, expect, it } from 'vitest';
import { mean } from '../../src/statistics/intervals.ts';
import { baseRate, failingProbability, type Count } from '../../src/steadiness/repeats/baseRates.ts';
import { limitOf, powerOf, tailOf, type Held } from '../../src/steadiness/repeats/limits.ts';
import { betaBinomialTail } from '../../src/statistics/tails.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

/** Failures of one look: logistic in the depth of return, which shifts from passage to passage; no beta-binomial. */
function failures(random: RandomStream, n: number, place: number): Count {
  const shift = random.normal(0, 0.3);
  let failed = 0;
  for (let i = 0; i < n; i++) {
    const depth = shift + random.normal(0, 0.8);
    if (random.chance(1 / (1 + Math.exp((depth - place) / 0.35)))) failed++;
  }
  return { n, failed };
}

/** Where that curve must stand for a share of failures, by a sum over depths. */
function placeFor(share: number): number {
  const meanAt = (place: number) => {
    let [sum, weight] = [0, 0];
    for (let z = -5; z <= 5; z += 0.05) {
      const w = Math.exp((-z * z) / 2);
      sum += w / (1 + Math.exp((Math.hypot(0.3, 0.8) * z - place) / 0.35));
      weight += w;
    }
    return sum / weight;
  };
  let [low, high] = [-8, 2];
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (meanAt(middle) < share) low = middle;
    else high = middle;
  }
  return low;
}

/** Estimates of the base rate over pianos of 88 notes, a share `bad` of which fail at 10 to 40 % and were played again. */
function estimates(share: number, bad: number, pianos: number): number[] {
  const random = new RandomStream(Math.round(1000 * share + 7 * bad), 'rates');
  const place = placeFor(share);
  return Array.from({ length: pianos }, () => {
    const counts = Array.from({ length: 88 }, (_, note) => {
      if (note >= Math.round(bad * 88)) return [failures(random, 11, place)];
      const own = random.between(0.1, 0.4);
      return [11, 33].map((n) => ({ n, failed: Array.from({ length: n }).filter(() => random.chance(own)).length }));
    });
    return baseRate(counts, 0.003, 0.15).rate;
  });
}

describe('base rate', () => {
  it.each([0.005, 0.01, 0.04])('recovers %d within its scatter', (share) => {
    const found = estimates(share, 0, 40);
    // 88 x 11 strokes of this share scatter by so much by themselves; passages that shift double the variance at most.
    const scatter = Math.sqrt((2 * share) / (88 * 11));
    expect(Math.abs(mean(found) - share)).toBeLessThan(0.2 * share + (3 * scatter) / Math.sqrt(40));
    for (const one of found) expect(Math.abs(one - share)).toBeLessThan(0.2 * share + 3.5 * scatter);
  });

  // Lone failures are shared out between the classes: the rate comes out low, by up to a half. Reached, not aimed at.
  it.each([
    [0.005, 0.15],
    [0.005, 0.33],
    [0.01, 0.15],
    [0.01, 0.33],
    [0.04, 0.15],
    [0.04, 0.33],
  ])('is not driven up from %d where %d of the notes fail, nor down to less than half', (share, bad) => {
    const middle = mean(estimates(share, bad, 40)) / share;
    expect(middle).toBeLessThan(1.2);
    expect(middle).toBeGreaterThan(0.5);
  });

  it('stays between its ends', () => {
    const notes = (n: number, failed: number) => Array.from({ length: 60 }, () => [{ n, failed }]);
    expect(baseRate(notes(11, 0), 0.003, 0.15).rate).toBeCloseTo(0.003, 6);
    expect(baseRate(notes(24, 5), 0.003, 0.15).rate).toBeLessThanOrEqual(0.15 + 1e-12);
    const nothing = baseRate([], 0.003, 0.15);
    expect(nothing.rate).toBeGreaterThan(0.003);
    expect(nothing.rate).toBeLessThan(0.02);
    expect(baseRate([[{ n: 0, failed: 0 }]], 0.003, 0.15)).toEqual(nothing);
  });

  it('learns from all looks: their counts add', () => {
    const one = Array.from({ length: 40 }, (_, i) => [{ n: 12, failed: i % 8 === 0 ? 1 : 0 }]);
    const more = one.map((looks) => [...looks, { n: 36, failed: 3 }]);
    expect(baseRate(more, 0.003, 0.15).rate).toBeGreaterThan(2 * baseRate(one, 0.003, 0.15).rate);
    const empty = one.map((looks) => [...looks, { n: 0, failed: 0 }]);
    expect(baseRate(empty, 0.003, 0.15)).toEqual(baseRate(one, 0.003, 0.15));
  });

  it('says how probably a note fails: more with every look that does, less with every clean one', () => {
    const fit = { rate: 0.01, failingShare: 0.15 };
    const of = (...failed: number[]) =>
      failingProbability(
        failed.map((k) => ({ n: 12, failed: k })),
        fit,
      );
    expect(of(0)).toBeLessThan(0.15);
    expect(of(4)).toBeGreaterThan(0.95);
    expect(of(2, 2)).toBeGreaterThan(of(2));
    expect(of(2, 0)).toBeLessThan(of(2));
    expect(failingProbability([], fit)).toBeCloseTo(0.15, 12);
  });
});

describe('limits', () => {
  const held = (n: number, rate: number, failed = 0): Held => ({ n, rate, failed });
  // Model study of repeated strokes: one look, one rate, error 0.0005.
  const STUDIED = [
    [0.003, 5, 4],
    [0.005, 6, 4],
    [0.01, 7, 5],
    [0.02, 8, 5],
    [0.03, 9, 6],
    [0.04, 9, 6],
    [0.06, 10, 7],
    [0.08, 11, 7],
    [0.1, 12, 8],
  ] as const;

  it.each(STUDIED)(
    'at a base rate of %d are %i of 24 and %i of 12, as the model study has them',
    (rate, of24, of12) => {
      expect(limitOf([held(24, rate)], 0.0005).limit).toBe(of24);
      expect(limitOf([held(12, rate)], 0.0005).limit).toBe(of12);
    },
  );

  it('add parts as direct enumeration does', () => {
    const parts = [held(5, 0.04), held(4, 0.1), held(3, 0.01)];
    const chance = ({ n, rate }: Held, k: number) =>
      betaBinomialTail(k, n, rate, 0.03) - betaBinomialTail(k + 1, n, rate, 0.03);
    for (let least = 1; least <= 12; least++) {
      let sum = 0;
      for (let a = 0; a <= 5; a++)
        for (let b = 0; b <= 4; b++)
          for (let c = 0; c <= 3; c++)
            if (a + b + c >= least) sum += chance(parts[0], a) * chance(parts[1], b) * chance(parts[2], c);
      const shown = parts.map((part, i) => ({ ...part, failed: Math.max(0, Math.min(part.n, least - [0, 5, 9][i])) }));
      expect(tailOf(shown)).toBeCloseTo(sum, 12);
      const { limit, chance: left } = limitOf(parts, sum * (1 + 1e-9));
      expect(limit).toBeLessThanOrEqual(least);
      expect(left).toBeLessThanOrEqual(sum * (1 + 1e-9));
      expect(powerOf(parts, least, 0.5)).toBeGreaterThan(sum);
    }
  });

  it('agree with the tail: the limit reaches the error, one fewer does not', () => {
    for (const rate of [0.004, 0.02, 0.07]) {
      const parts = [held(11, rate), held(22, rate), held(11, 2 * rate)];
      const { limit, chance } = limitOf(parts, 0.001);
      const at = (failed: number) => tailOf([{ ...parts[0], failed }, ...parts.slice(1)]);
      expect(at(limit)).toBeCloseTo(chance, 12);
      expect(at(limit)).toBeLessThanOrEqual(0.001);
      expect(at(limit - 1)).toBeGreaterThan(0.001);
    }
  });

  it('are out of reach of few strokes, and of none', () => {
    expect(limitOf([held(2, 0.05)], 0.0005)).toEqual({ limit: 3, chance: 0 });
    expect(limitOf([], 0.0005)).toEqual({ limit: 1, chance: 0 });
    expect(limitOf([held(0, 0.05)], 0.0005).limit).toBe(1);
    expect(tailOf([])).toBe(1);
    expect(tailOf([held(24, 0.01, 0)])).toBe(1);
    expect(powerOf([held(24, 0.01)], 5, 1)).toBeCloseTo(1, 12);
    expect(powerOf([held(24, 0.01)], 25, 0.5)).toBe(0);
  });
});
