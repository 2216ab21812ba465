/** Clicks at known places, and what is no click. */

import { describe, expect, it } from 'vitest';
import { ClickSearch } from '../../src/signal/clickSearch.ts';
import { ringing, whiteNoise } from './noise.ts';

const RATE = 24_000;
const COUNT = 0.3 * RATE;
const FROM = 0.1 * RATE;
const NOISE = 1e-3;

interface Found {
  readonly leads: number[];
  readonly ratios: number[];
  readonly floor: number;
}

function search(piece: Float32Array, stepwise = false): Found {
  const click = new ClickSearch(RATE);
  click.piece.set(piece);
  click.begin(piece.length, FROM);
  let steps = 1;
  while (!click.step()) steps++;
  if (stepwise) expect(steps).toBeGreaterThan(10);
  return {
    leads: Array.from(click.lead.subarray(0, click.clicks)),
    ratios: Array.from(click.ratio.subarray(0, click.clicks)),
    floor: click.floor[0],
  };
}

/** Adds a burst of 5 kHz that dies within 0.7 ms, from `lead` seconds before the end. */
function withClick(piece: Float32Array, lead: number, size: number): Float32Array {
  const start = piece.length - lead * RATE;
  return piece.map((x, i) => {
    const t = (i - start) / RATE;
    return t < 0 ? x : x + size * Math.exp(-t / 0.0007) * Math.sin(2 * Math.PI * 5000 * t + 1);
  });
}

const noise = whiteNoise(COUNT, NOISE, 3);

describe('ClickSearch', () => {
  it.each([
    ['silence', new Float32Array(COUNT)],
    ['a constant', new Float32Array(COUNT).fill(0.25)],
  ])('finds nothing in %s, and no number that is none', (_, piece) => {
    const { leads, floor } = search(piece);
    expect(leads).toEqual([]);
    expect(Number.isFinite(floor)).toBe(true);
  });

  it.each([0, 1, 40, 200])('is content with a piece of %i samples', (count) => {
    const { leads, floor } = search(noise.subarray(0, count));
    expect(leads).toEqual([]);
    expect(Number.isFinite(floor)).toBe(true);
  });

  it('finds a click within 0.3 ms of its place, in noise and over ringing partials', () => {
    const rings = ringing(COUNT, RATE, [3800, 4400, 5200, 6100, 7400], 100 * NOISE).map((x, i) => x + noise[i]);
    for (const [name, piece] of [
      ['noise', noise],
      ['ringing', rings],
    ] as const) {
      for (const lead of [0.02, 0.0503, 0.11, 0.17]) {
        const { leads, ratios } = search(withClick(piece, lead, 12 * NOISE));
        expect(Math.abs(leads[0] - lead), `${name}, ${lead} s`).toBeLessThan(0.0003);
        expect(ratios[0], `${name}, ${lead} s`).toBeGreaterThan(4);
      }
    }
  });

  it('finds two clicks, the clearer first', () => {
    const { leads } = search(withClick(withClick(noise, 0.09, 20 * NOISE), 0.04, 10 * NOISE));
    // A click that is over before the burst of 1.5 ms is may be placed earlier by the difference.
    expect(Math.abs(leads[0] - 0.09)).toBeLessThan(0.0008);
    expect(Math.abs(leads[1] - 0.04)).toBeLessThan(0.0008);
  });

  it('says the same whatever the gain', () => {
    const piece = withClick(noise, 0.05, 10 * NOISE);
    const [a, b] = [search(piece), search(piece.map((x) => x * 2 ** -6))];
    expect(b.leads).toEqual(a.leads);
    a.ratios.forEach((ratio, i) => expect(b.ratios[i] / ratio).toBeCloseTo(1, 3));
    expect(b.floor / a.floor).toBeCloseTo(2 ** -12, 6);
  });

  it('takes no swell for a click', () => {
    const swell = noise.map((x, i) => x * (1 + 9 * Math.exp(-(((i / RATE - 0.22) / 0.03) ** 2))));
    expect(Math.max(0, ...search(swell).ratios)).toBeLessThan(2.7);
  });

  it('takes no noise that stays for a click', () => {
    const step = noise.map((x, i) => (i > 0.2 * RATE ? 6 * x : x));
    const { leads, ratios } = search(step);
    leads.forEach((lead, i) => expect(Math.abs(lead - 0.1) < 0.003 ? ratios[i] : 0).toBeLessThan(2.7));
  });

  it('says the same again, as new', () => {
    const click = new ClickSearch(RATE);
    const once = (piece: Float32Array): number[] => {
      click.piece.set(piece);
      click.begin(piece.length, FROM);
      while (!click.step()) continue;
      return Array.from(click.lead.subarray(0, click.clicks));
    };
    const piece = withClick(noise, 0.06, 10 * NOISE);
    const first = once(piece);
    once(whiteNoise(COUNT, 1, 9));
    expect(once(piece)).toEqual(first);
    expect(first).toEqual(search(piece, true).leads);
  });
});
