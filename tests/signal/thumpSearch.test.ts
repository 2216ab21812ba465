/** Thumps from known starts, and what is no thump. */

import { describe, expect, it } from 'vitest';
import { ContactSeeker } from '../../src/signal/contactSeeker.ts';
import { ThumpSearch, type ThumpFind } from '../../src/signal/thumpSearch.ts';
import { ringing, whiteNoise } from './noise.ts';

const RATE = 6000;
const COUNT = 0.4 * RATE;
const FROM = 0.2 * RATE;
const NOISE = 1e-3;

interface Found {
  readonly thump: ThumpFind;
  readonly whitened: ThumpFind;
  readonly floor: number;
}

function search(piece: Float32Array): Found {
  const search = new ThumpSearch(RATE);
  search.piece.set(piece);
  search.begin(piece.length, FROM);
  while (!search.step()) continue;
  return { thump: { ...search.thump }, whitened: { ...search.whitened }, floor: search.floor[0] };
}

/** Noise that is `times` as strong from `lead` seconds before the end on, for `lasts` seconds. */
function withStep(piece: Float32Array, lead: number, times: number, lasts = Infinity): Float32Array {
  const start = piece.length - lead * RATE;
  const end = start + lasts * RATE;
  return piece.map((x, i) => (i >= start && i < end ? times * x : x));
}

/** A vibration of 300 Hz from `lead` seconds before the end on. */
function withVibration(piece: Float32Array, lead: number, size: number): Float32Array {
  const start = piece.length - lead * RATE;
  return piece.map((x, i) => (i < start ? x : x + size * Math.cos((2 * Math.PI * 300 * (i - start)) / RATE)));
}

const noise = whiteNoise(COUNT, NOISE, 5);
const numbers = ({ thump, whitened, floor }: Found): number[] => [
  ...Object.values(thump as unknown as Record<string, number>),
  ...Object.values(whitened as unknown as Record<string, number>),
  floor,
];

describe('ThumpSearch', () => {
  it.each([
    ['silence', new Float32Array(COUNT)],
    ['a constant', new Float32Array(COUNT).fill(0.25)],
  ])('finds nothing in %s, and no number that is none', (_, piece) => {
    const found = search(piece);
    expect(found.thump.score).toBeLessThan(1);
    expect(numbers(found).every(Number.isFinite)).toBe(true);
  });

  it.each([0, 1, 30, 500, 1300])('is content with a piece of %i samples', (count) => {
    expect(numbers(search(noise.subarray(0, count))).every(Number.isFinite)).toBe(true);
  });

  it('finds the start of a noise that stays within 0.3 ms', () => {
    for (const lead of [0.015, 0.0305, 0.08, 0.15]) {
      const { thump } = search(withStep(noise, lead, 30));
      expect(Math.abs(thump.lead - lead), `${lead} s`).toBeLessThan(0.00035);
      expect(thump.score).toBeGreaterThan(100);
      expect(thump.held).toBe(1);
      expect(thump.step).toBeGreaterThan(25);
      expect(thump.step).toBeLessThan(33);
      expect(thump.rise).toBeLessThanOrEqual(thump.lead);
    }
  });

  it('finds the start of a vibration that stays, over another that rings', () => {
    const rings = ringing(COUNT, RATE, [220, 440, 660], 100 * NOISE).map((x, i) => x + noise[i]);
    const lead = 0.05;
    const { whitened, thump } = search(withVibration(rings, lead, 40 * NOISE));
    expect(Math.abs(whitened.lead - lead)).toBeLessThan(0.0006);
    expect(whitened.score).toBeGreaterThan(3 * thump.score);
  });

  it('says the same whatever the gain', () => {
    const piece = withStep(noise, 0.05, 4);
    const [a, b] = [search(piece), search(piece.map((x) => x * 2 ** -5))];
    expect(b.thump.lead).toBe(a.thump.lead);
    expect(b.thump.held).toBe(a.thump.held);
    expect(b.thump.score / a.thump.score).toBeCloseTo(1, 3);
    expect(b.thump.step).toBeCloseTo(a.thump.step, 2);
  });

  it('does not hold a click for a thump: nothing of it lasts', () => {
    expect(search(withStep(noise, 0.06, 20, 0.003)).thump.held).toBeLessThan(0.3);
  });

  it('finds no thump in steady noise', () => {
    for (let seed = 20; seed < 40; seed++) {
      const { thump } = search(whiteNoise(COUNT, NOISE, seed));
      expect(thump.held < 0.7 ? 0 : thump.score, `seed ${seed}`).toBeLessThan(40);
    }
  });
});

describe('ContactSeeker', () => {
  it('says step by step what it says all at once', () => {
    const fill = (seeker: ContactSeeker): ContactSeeker => {
      seeker.click.piece.set(whiteNoise(5000, NOISE, 7));
      seeker.thump.piece.set(withStep(noise, 0.04, 5));
      seeker.begin(5000, 2000, COUNT, FROM);
      return seeker;
    };
    const whole = fill(new ContactSeeker(24_000, RATE));
    whole.run();
    const stepped = fill(new ContactSeeker(24_000, RATE));
    let steps = 1;
    while (!stepped.step()) steps++;
    expect(steps).toBeGreaterThan(10);
    expect(stepped.thump.thump).toEqual(whole.thump.thump);
    expect(stepped.thump.whitened).toEqual(whole.thump.whitened);
    expect(stepped.click.clicks).toBe(whole.click.clicks);
    expect(stepped.click.lead).toEqual(whole.click.lead);
    expect(stepped.click.ratio).toEqual(whole.click.ratio);
  });
});
