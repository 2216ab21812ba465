/** The extremes that the picture of the sound is drawn from: against a plain search, and never short of a peak. */

import { describe, expect, it } from 'vitest';
import { Envelope } from '../../src/app/envelope.ts';

/** A fixed, uneven sequence within ±1. */
const samples = Float32Array.from({ length: 10_007 }, (_, i) => Math.sin(i * i * 0.37) * Math.cos(i * 0.011));
const envelope = new Envelope(samples);

function extremes(from: number, to: number): [number, number] {
  const part = samples.subarray(Math.max(0, from), Math.max(0, to));
  return [part.reduce((a, b) => Math.min(a, b)), part.reduce((a, b) => Math.max(a, b))];
}

describe('columns', () => {
  it('hold the extremes of their own samples and the one before', () => {
    const { low, high } = envelope.columns(100, 2100, 200);
    for (let column = 0; column < 200; column++) {
      expect([low[column], high[column]]).toEqual(extremes(99 + 10 * column, 110 + 10 * column));
    }
  });

  it('lose no peak, however wide', () => {
    const { low, high } = envelope.columns(0, samples.length, 7);
    expect([Math.min(...low), Math.max(...high)]).toEqual(extremes(0, samples.length));
    for (let column = 0; column < 7; column++) {
      const width = samples.length / 7;
      const [least, most] = extremes(Math.ceil(column * width), Math.floor((column + 1) * width));
      expect(low[column]).toBeLessThanOrEqual(least);
      expect(high[column]).toBeGreaterThanOrEqual(most);
    }
  });

  it('join where a sample spans several columns, and are 0 outside', () => {
    const { low, high } = envelope.columns(500, 504, 40);
    for (let column = 1; column < 40; column++) {
      expect(low[column]).toBeLessThanOrEqual(high[column - 1]);
      expect(high[column]).toBeGreaterThanOrEqual(low[column - 1]);
    }
    const outside = envelope.columns(-300, -100, 10);
    const behind = envelope.columns(samples.length + 10, samples.length + 90, 10);
    expect([...outside.low, ...outside.high, ...behind.low, ...behind.high].every((x) => x === 0)).toBe(true);
  });

  it('know the peak; of nothing it is 0', () => {
    const [low, high] = extremes(0, samples.length);
    expect(envelope.peak).toBe(Math.max(-low, high));
    expect(new Envelope(new Float32Array(0)).peak).toBe(0);
    expect([...new Envelope(new Float32Array(0)).columns(0, 0, 3).high]).toEqual([0, 0, 0]);
  });
});
