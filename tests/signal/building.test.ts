/** The pieces that hearing is built of, each against arithmetic or a library. */

import { describe, expect, it } from 'vitest';
import { akaikeSplit } from '../../src/signal/arrival.ts';
import { bandSections, filterAll, highPass, lowPass } from '../../src/signal/biquad.ts';
import { fourier, powerOfTwo } from '../../src/signal/fourier.ts';
import { correlate, matchEverywhere, peakOffset, resampleAt } from '../../src/signal/matching.ts';
import { Pyramid } from '../../src/signal/pyramid.ts';
import { fitPredictor, residual } from '../../src/signal/whitening.ts';

let state = 7;
const uniform = () => (state = (state * 16807) % 2147483647) / 2147483647 - 0.5;
const noise = (n: number) => Float32Array.from({ length: n }, uniform);
const tone = (n: number, hertz: number, rate: number) =>
  Float32Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * hertz * i) / rate));
const power = (x: ArrayLike<number>, from = 0) => {
  let sum = 0;
  for (let i = from; i < x.length; i++) sum += x[i] * x[i];
  return sum / (x.length - from);
};

describe('filters', () => {
  it('halve the power at the corner and fall 12 dB an octave beyond', () => {
    const rate = 48000;
    const through = (hertz: number, sections: Parameters<typeof filterAll>[1]) =>
      10 * Math.log10(power(filterAll(tone(9600, hertz, rate), sections, new Float32Array(9600)), 4800) / 0.5);
    expect(through(1000, [lowPass(1000, Math.SQRT1_2, rate)])).toBeCloseTo(-3.01, 1);
    expect(through(4000, [lowPass(1000, Math.SQRT1_2, rate)])).toBeCloseTo(-24.1, 0);
    expect(through(250, [highPass(1000, Math.SQRT1_2, rate)])).toBeCloseTo(-24.1, 0);
    expect(through(700, bandSections(200, 2400, rate))).toBeGreaterThan(-0.3);
  });

  it('are causal', () => {
    const input = new Float32Array(200);
    input[100] = 1;
    const output = filterAll(input, bandSections(200, 2400, 48000), new Float32Array(200));
    expect(output.subarray(0, 100).every((x) => x === 0)).toBe(true);
  });
});

describe('fourier', () => {
  it('agrees with the sum it stands for, there and back', () => {
    const x = noise(64);
    const transform = fourier(64);
    const spectrum = transform.forward(x, 0, 64, transform.spectrum());
    for (const k of [0, 1, 17, 32]) {
      let re = 0;
      let im = 0;
      x.forEach((v, n) => {
        re += v * Math.cos((2 * Math.PI * k * n) / 64);
        im -= v * Math.sin((2 * Math.PI * k * n) / 64);
      });
      expect(spectrum[2 * k]).toBeCloseTo(re, 10);
      expect(spectrum[2 * k + 1]).toBeCloseTo(im, 10);
    }
    const back = transform.inverse(spectrum);
    x.forEach((v, n) => expect(back[2 * n]).toBeCloseTo(v, 10));
    expect(powerOfTwo(1025)).toBe(2048);
  });
});

describe('Pyramid', () => {
  it('halves the rate, keeps what is below, drops what is above, and stands still in time', () => {
    const rate = 48000;
    const low = new Pyramid(tone(9600, 2000, rate), rate).atLeast(12000);
    expect(low.rate).toBe(12000);
    for (let i = 200; i < 2000; i++) expect(low.samples[i]).toBeCloseTo(Math.sin((2 * Math.PI * 2000 * i) / 12000), 2);
    const high = new Pyramid(tone(9600, 20000, rate), rate).atLeast(24000);
    expect(10 * Math.log10(power(high.samples, 100))).toBeLessThan(-60);
  });

  it('gives the recording itself where it is slow already', () => {
    const samples = noise(100);
    expect(new Pyramid(samples, 8000).atLeast(6000).samples).toBe(samples);
  });
});

describe('matching', () => {
  it('correlates as the plain sum does', () => {
    const data = noise(3000);
    const kernel = noise(200);
    const fast = correlate(data, kernel, new Float32Array(2801));
    for (const lag of [0, 1, 777, 2800]) {
      let sum = 0;
      kernel.forEach((v, i) => (sum += v * data[lag + i]));
      expect(fast[lag]).toBeCloseTo(sum, 5);
    }
  });

  it('finds a scaled, shifted copy between the samples', () => {
    const smooth = filterAll(noise(400), [lowPass(0.08, 0.7, 1), lowPass(0.08, 0.7, 1)], new Float32Array(400));
    const data = new Float32Array(600);
    const piece = resampleAt(smooth, 20.3, 120);
    piece.forEach((v, i) => (data[250 + i] = 0.25 * v));
    const template = smooth.slice(24, 124);
    const { rho, gain } = matchEverywhere(data, template);
    const at = rho.indexOf(Math.max(...rho));
    expect(rho[at]).toBeGreaterThan(0.97);
    expect(gain[at]).toBeCloseTo(0.25, 1);
    expect(at + peakOffset(rho, at)).toBeCloseTo(253.7, 1);
  });

  it('matches nothing in silence and in too little', () => {
    expect(matchEverywhere(new Float32Array(50), noise(10)).rho.every((v) => v === 0)).toBe(true);
    expect(matchEverywhere(noise(5), noise(10)).rho).toHaveLength(0);
  });
});

describe('whitening', () => {
  it('predicts a ringing tone away and leaves an attack', () => {
    const rate = 6000;
    const ring = Float32Array.from({ length: 6000 }, (_, i) =>
      [220, 441, 664].reduce((sum, f) => sum + Math.exp(-i / 9000) * Math.sin((2 * Math.PI * f * i) / rate), 0),
    );
    const filter = fitPredictor(ring, [{ start: 500, end: 2500 }], 64);
    expect(filter[0]).toBe(1);
    const left = residual(ring, filter, 3000, 5000);
    expect(10 * Math.log10(power(left) / power(ring, 3000))).toBeLessThan(-40);
    const struck = ring.slice();
    for (let i = 4000; i < 4010; i++) struck[i] += 0.3 * uniform();
    const after = residual(struck, filter, 3000, 5000);
    expect(power(after.subarray(1000, 1012))).toBeGreaterThan(300 * power(left));
  });

  it('falls back on fixed pre-emphasis without anything to learn from', () => {
    expect([...fitPredictor(new Float32Array(1000), [{ start: 0, end: 900 }], 32)]).toEqual([1, -0.95]);
    expect([...fitPredictor(noise(100), [{ start: 0, end: 20 }], 32)]).toEqual([1, -0.95]);
  });

  it('treats what lies outside the recording as silence', () => {
    const x = noise(100);
    const out = residual(x, Float64Array.of(1, -0.5), -5, 105);
    expect(out).toHaveLength(110);
    expect(out[2]).toBeCloseTo(0, 6);
    expect(out[5]).toBeCloseTo(x[0], 6);
    expect(out[105]).toBeCloseTo(-0.5 * x[99], 6);
  });
});

describe('akaikeSplit', () => {
  it('finds the step of variance, and none where there is none', () => {
    const wave = noise(2000).map((v, i) => (i < 1200 ? 0.05 * v : v));
    expect(Math.abs(akaikeSplit(wave, 0, 2000)! - 1200)).toBeLessThan(12);
    expect(akaikeSplit(noise(2000), 0, 2000)).toBeNull();
    expect(akaikeSplit(noise(20), 0, 20)).toBeNull();
  });
});
