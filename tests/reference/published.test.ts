/**
 * Published figures, each with its source and the grade of our knowledge of it.
 *
 * Grades: *computed* from the stated formula or data, held exactly; *read* on the page named, held with a stated
 * tolerance; *read at second hand* in a public note that cites the source, held as a loose range; *from memory*, not
 * held here at all.
 */

import { describe, expect, it } from 'vitest';
import { median } from '../../src/evaluation/distribution.ts';
import { inharmonicity, partialFrequency, stretch, tunedFirstPartial } from '../../src/piano/strings.ts';
import { fitFirstPartial, reliefOf } from '../../src/signal/pitch.ts';
import { Pyramid } from '../../src/signal/pyramid.ts';
import { betaQuantile } from '../../src/statistics/distributions.ts';
import { standardDeviation } from '../../src/statistics/intervals.ts';
import { medianDeviation } from '../../src/statistics/order.ts';
import { contactDuration, contactDurationAt, decibelsToNepers, decayRates } from '../../src/synthesis/modes.ts';
import { centsBetween, hertzToMidi, midiToHertz } from '../../src/units.ts';
import { grand } from '../accuracy/material.ts';
import { rms } from '../accuracy/room.ts';
import { SAMPLE_RATE, SAMPLED_KEYS } from '../accuracy/samples.ts';

describe('tuning: f = 440·2^((m - 69)/12), A4 = 440 Hz (ISO 16); computed', () => {
  it.each([
    [21, 27.5],
    [24, 32.7032],
    [36, 65.4064],
    [48, 130.8128],
    [60, 261.6256],
    [72, 523.2511],
    [84, 1046.5023],
    [93, 1760],
    [96, 2093.0045],
    [108, 4186.009],
  ])('MIDI %i is %d Hz', (midi, hertz) => {
    expect(midiToHertz(midi)).toBeCloseTo(hertz, 4);
    expect(hertzToMidi(hertz)).toBeCloseTo(midi, 4);
  });
});

describe('inharmonicity: B(m) of Rigaud, David & Daudet (JASA 133:3107, 2013); constants read at second hand', () => {
  // Values computed from the formula, three figures.
  it.each([
    [21, 5.09e-4],
    [24, 4.0e-4],
    [33, 2.07e-4],
    [36, 1.74e-4],
    [45, 1.43e-4],
    [48, 1.52e-4],
    [57, 2.57e-4],
    [60, 3.27e-4],
    [69, 7.18e-4],
    [72, 9.44e-4],
    [81, 2.16e-3],
    [84, 2.85e-3],
    [93, 6.55e-3],
    [96, 8.65e-3],
    [108, 2.63e-2],
  ])('at MIDI %i is %d', (midi, b) => {
    expect(Math.abs(inharmonicity(midi) / b - 1)).toBeLessThan(0.004);
  });

  it('is least at MIDI 44, 1.415e-4 (computed)', () => {
    const keys = Array.from({ length: 88 }, (_, i) => 21 + i);
    const least = keys.reduce((a, b) => (inharmonicity(b) < inharmonicity(a) ? b : a));
    expect(least).toBe(44);
    expect(inharmonicity(44)).toBeCloseTo(1.415e-4, 7);
  });
});

describe('partials: f_n = n·f0·√(1 + B·n²) (Fletcher, JASA 36:203, 1964); sharpness re the first, computed', () => {
  it.each([
    [21, [1.32, 6.59, 27.3, 105.7]],
    [36, [0.45, 2.26, 9.44, 37.6]],
    [60, [0.85, 4.23, 17.6, 69.3]],
    [69, [1.86, 9.27, 38.3, 145.5]],
    [84, [7.35, 36.1, 142.5, 471.7]],
  ])('MIDI %i: partials 2, 4, 8, 16 are %j cents sharp', (midi, cents) => {
    const first = midiToHertz(midi);
    [2, 4, 8, 16].forEach((n, i) => {
      const sharp = centsBetween(n * first, partialFrequency(first, n, inharmonicity(midi)));
      expect(Math.abs(sharp - cents[i])).toBeLessThan(0.005 * cents[i] + 0.006);
    });
  });

  it('square, over n², lie on a line whose slope over intercept is B (after Fletcher & Rossing; read)', () => {
    const b = 3.27e-4;
    const r = (n: number): number => (partialFrequency(261.6, n, b) / n) ** 2;
    const slope = (r(12) - r(2)) / (144 - 4);
    const intercept = r(2) - slope * 4;
    expect(slope / intercept).toBeCloseTo(b, 10);
  });
});

describe('stretch of a 7-ft grand, cents from equal temperament; fits read at second hand', () => {
  it.each([
    [21, -16],
    [24, -15],
    [33, -7],
    [36, -4],
    [45, -1],
    [48, 0],
    [60, -1],
    [69, 0],
    [81, 4],
    [84, 6],
    [93, 12],
    [96, 14],
  ])('at MIDI %i about %i', (midi, cents) => {
    // Pianos differ by more than this; the model is for an average one.
    expect(Math.abs(stretch(midi) - cents)).toBeLessThan(6);
  });
});

describe('decay', () => {
  it('60 dB are ln 1000 = 6.908 time constants (T60; read, and computed)', () => {
    expect(decibelsToNepers(60)).toBeCloseTo(Math.log(1000), 12);
    expect(decibelsToNepers(60)).toBeCloseTo(6.908, 3);
  });

  it.each([
    [21, 8.1, 7.4],
    [45, 16.7, 3.6],
    [60, 25.5, 2.4],
    [96, 41.6, 1.4],
  ])(
    'prompt sound at MIDI %i: %d dB/s is a T60 of %d s (computed from fits read at second hand)',
    (midi, rate, t60) => {
      expect(decayRates(midi).prompt).toBeCloseTo(rate, 6);
      expect(60 / decayRates(midi).prompt).toBeCloseTo(t60, 1);
    },
  );
});

describe('hammer-string contact', () => {
  it.each([
    [21, 3.7],
    [36, 3.0],
    [48, 2.8],
    [60, 2.1],
    [72, 1.45],
    [84, 1.1],
    [96, 0.6],
    [108, 0.5],
  ])('at MIDI %i lasts %d ms at mezzo forte (a lecture figure, read at second hand)', (midi, milliseconds) => {
    expect(contactDuration(midi) * 1000).toBeCloseTo(milliseconds, 6);
  });

  it('is shorter than the period in the lowest four octaves, longer in C6 to C7 (Chaigne; read)', () => {
    for (let midi = 21; midi < 69; midi++) expect(contactDuration(midi)).toBeLessThan(1 / midiToHertz(midi));
    for (let midi = 84; midi <= 96; midi++) expect(contactDuration(midi)).toBeGreaterThan(1 / midiToHertz(midi));
  });

  it('goes as v^-0.19: four times the speed, 0.77 of the time (C4, read at second hand; computed)', () => {
    expect(contactDurationAt(60, 4) / contactDurationAt(60, 1)).toBeCloseTo(0.77, 2);
  });

  it('stays within 20 % of mezzo forte from soft to loud at C4 (Askenfelt; read)', () => {
    for (const speed of [1, 5]) {
      expect(Math.abs(contactDurationAt(60, speed) / contactDuration(60) - 1)).toBeLessThan(0.22);
    }
  });
});

describe('statistics', () => {
  it.each([
    [81, 263, 0.252737, 0.367622],
    [15, 148, 0.057844, 0.16165],
    [1, 29, 0.000873, 0.177644],
    [5, 10, 0.187086, 0.812914],
    [19, 20, 0.751267, 0.998735],
  ])('%i of %i: Clopper & Pearson 95 %% from %d to %d, by beta quantiles (computed)', (count, n, low, high) => {
    expect(betaQuantile(0.025, count, n - count + 1)).toBeCloseTo(low, 6);
    expect(betaQuantile(0.975, count + 1, n - count)).toBeCloseTo(high, 6);
  });

  it('SDs of two batches of gear diameters (NIST/SEMATECH e-Handbook 1.3.5.7; data read, results computed)', () => {
    const first = [1.006, 0.996, 0.998, 1.0, 0.992, 0.993, 1.002, 0.999, 0.994, 1.0];
    const sixth = [1.009, 1.013, 1.009, 0.997, 0.988, 1.002, 0.995, 0.998, 0.981, 0.996];
    expect(standardDeviation(first)).toBeCloseTo(0.004346, 6);
    expect(standardDeviation(sixth)).toBeCloseTo(0.009886, 6);
  });

  it('MAD of 1 1 2 2 4 6 9 is 1 (computed), scaled 1.4826', () => {
    expect(medianDeviation([1, 1, 2, 2, 4, 6, 9])).toBeCloseTo(1.4826, 12);
  });
});

describe('a recorded concert grand against the figures', () => {
  /** First partial and B of a recorded stroke, loud layer, as the project fits them 30 to 370 ms after the arrival. */
  const fitted = async (midi: number): Promise<{ hertz: number; b: number }> => {
    const { samples, arrival } = await grand(midi, 12, 0);
    const relief = reliefOf(new Pyramid(samples, SAMPLE_RATE).atLeast(20_000), arrival / SAMPLE_RATE + 0.03, 0.34);
    const candidate = { midi, firstPartial: tunedFirstPartial(midi), inharmonicity: inharmonicity(midi) };
    const fit = fitFirstPartial(relief, candidate, 0);
    if (!fit) throw new Error(`no partials found at MIDI ${midi}`);
    return fit;
  };

  it('has about half the average B in the bass (read at second hand: half, longer grands less)', async () => {
    const bass = SAMPLED_KEYS.filter((midi) => midi <= 45);
    const ratios = await Promise.all(bass.map(async (midi) => (await fitted(midi)).b / inharmonicity(midi)));
    for (const ratio of ratios) {
      expect(ratio).toBeGreaterThan(0.25);
      expect(ratio).toBeLessThan(1);
    }
    expect(median(ratios)).toBeGreaterThan(0.35);
    expect(median(ratios)).toBeLessThan(0.7);
  });

  it('has the average B within a factor of two from C4 to A5', async () => {
    for (const midi of SAMPLED_KEYS.filter((key) => key >= 60 && key <= 81)) {
      const ratio = (await fitted(midi)).b / inharmonicity(midi);
      expect(ratio, `MIDI ${midi}`).toBeGreaterThan(0.5);
      expect(ratio, `MIDI ${midi}`).toBeLessThan(2);
    }
  });

  it('is tuned within 10 cents of the average stretch from A0 to A7', async () => {
    for (const midi of SAMPLED_KEYS.filter((key) => key <= 105)) {
      expect(Math.abs(centsBetween(tunedFirstPartial(midi), (await fitted(midi)).hertz)), `MIDI ${midi}`).toBeLessThan(
        10,
      );
    }
  });

  it('dies away by 5 to 11 dB/s at first in the loud bass (read at second hand)', async () => {
    const rates = await Promise.all(
      SAMPLED_KEYS.filter((midi) => midi <= 33).map(async (midi) => {
        const { samples, arrival } = await grand(midi, 12, 0);
        const level = (seconds: number): number =>
          20 * Math.log10(rms(samples, Math.round(arrival + seconds * SAMPLE_RATE), 0.1 * SAMPLE_RATE));
        return (level(0.1) - level(0.6)) / 0.5;
      }),
    );
    expect(median(rates)).toBeGreaterThan(5);
    expect(median(rates)).toBeLessThan(11);
  });
});
