/** The measuring material itself: what the meter and the gate rest on. */

import { beforeAll, describe, expect, it } from 'vitest';
import { arrivalOf, firstArrival } from './arrival.ts';
import { chance } from './chance.ts';
import { convolve, resample } from './filters.ts';
import { CLEAN_SNR_DB, grand, layersApart, record, type Recording } from './material.ts';
import { ALTERNATION_DB, alternatingTake, faultyTake, wholeTake } from './patterns.ts';
import { addNoise, rms } from './room.ts';
import { LAYERS, SAMPLE_RATE, SAMPLED_KEYS } from './samples.ts';
import { asMarkdown, asText, figure, replaceBetween } from './table.ts';

/** A tone burst that is known at every real time. */
const burst = (t: number): number => Math.exp(-(((t - 300) / 60) ** 2)) * Math.sin(0.35 * t);

describe('placing', () => {
  it('shifts by a fraction of a frame, to 1/1000 of it', () => {
    const input = Float32Array.from({ length: 600 }, (_, i) => burst(i));
    for (const shift of [0.25, 0.5, 0.9, 17.123]) {
      const moved = resample(input, -shift, 1, 640);
      let worst = 0;
      for (let i = 0; i < 640; i++) worst = Math.max(worst, Math.abs(moved[i] - burst(i - shift)));
      // A slip of 1/1000 frame on a slope of 0.35 a frame.
      expect(worst).toBeLessThan(0.0006);
    }
  });

  it('changes the pitch by the step', () => {
    const input = Float32Array.from({ length: 600 }, (_, i) => burst(i));
    const faster = resample(input, 0, 1.0595, 560);
    for (let i = 0; i < 560; i += 7) expect(faster[i]).toBeCloseTo(burst(i * 1.0595), 2);
  });

  it('convolves as the sum says', () => {
    const random = chance(1);
    const input = Float32Array.from({ length: 9000 }, () => random.normal());
    const response = Float32Array.from({ length: 700 }, () => random.normal());
    const fast = convolve(input, response);
    for (const n of [0, 1, 699, 700, 4500, 8999]) {
      let sum = 0;
      for (let k = 0; k <= Math.min(n, 699); k++) sum += response[k] * input[n - k];
      expect(fast[n]).toBeCloseTo(sum, 2);
    }
  });

  it('adds noise at the level asked for', () => {
    const samples = new Float32Array(20 * SAMPLE_RATE);
    addNoise(samples, 0.01, chance(2));
    expect(20 * Math.log10(rms(samples, 0, samples.length))).toBeCloseTo(-40, 0);
  });
});

describe('the reference pick', () => {
  it('finds the start of a tone in noise 40 dB down within half a millisecond', () => {
    const random = chance(3);
    const start = 700.4;
    const samples = Float32Array.from({ length: 4800 }, (_, i) => {
      const t = i - start;
      return 0.01 * random.normal() + (t > 0 ? Math.min(1, t / 96) * Math.sin(0.2 * t) : 0);
    });
    expect(Math.abs(firstArrival(samples, SAMPLE_RATE) - start)).toBeLessThan(24);
  });

  it('knows every recorded stroke against the others of its key within 0.05 ms', async () => {
    for (const midi of SAMPLED_KEYS) {
      for (const layer of LAYERS) {
        const { uncertaintySeconds } = await arrivalOf(midi, layer);
        expect(uncertaintySeconds, `${midi} layer ${layer}`).not.toBeNull();
        expect(uncertaintySeconds!, `${midi} layer ${layer}`).toBeLessThan(0.05e-3);
      }
    }
  });
});

describe('recordings', () => {
  let clean: Recording;
  let noisy: Recording;

  beforeAll(async () => {
    const plan = { midi: 33, slowLayers: [8], fastLayers: [12, 4], rate: 8, ringDb: -10, seed: 4 } as const;
    clean = await record(wholeTake({ ...plan, snrDb: CLEAN_SNR_DB }));
    noisy = await record(wholeTake({ ...plan, snrDb: 12 }));
  });

  it('are the same for the same plan', async () => {
    const again = await record(
      wholeTake({ midi: 33, slowLayers: [8], fastLayers: [12, 4], rate: 8, ringDb: -10, seed: 4, snrDb: 12 }),
    );
    expect(again.samples).toEqual(noisy.samples);
    expect(again.strokes).toEqual(noisy.strokes);
  });

  it('hold 8 slow and 12 fast strokes at times between frames, within full scale', () => {
    expect(clean.strokes.map(({ passage }) => passage)).toEqual([
      ...Array.from({ length: 8 }, () => 'slow'),
      ...Array.from({ length: 12 }, () => 'fast'),
    ]);
    const fractions = clean.strokes.slice(1).map(({ timeSeconds }) => (timeSeconds * SAMPLE_RATE) % 1);
    expect(fractions.filter((f) => f > 0.05 && f < 0.95).length).toBeGreaterThan(10);
    expect(clean.samples.every((x) => Math.abs(x) < 1)).toBe(true);
  });

  it('have the noise that was asked for', () => {
    const lead = rms(noisy.samples, 0, 0.6 * SAMPLE_RATE);
    const levels = noisy.strokes
      .map(({ timeSeconds }) => rms(noisy.samples, Math.round(timeSeconds * SAMPLE_RATE), 0.05 * SAMPLE_RATE))
      .sort((a, b) => a - b);
    // The strokes' own level holds the noise and the ringing too: half a decibel at 12 dB.
    expect(20 * Math.log10(levels[10] / lead)).toBeGreaterThan(11);
    expect(20 * Math.log10(levels[10] / lead)).toBeLessThan(13.5);
  });

  it('let the next stroke meet the ringing that was asked for', () => {
    const fast = clean.strokes.slice(9).map(({ ringingDb }) => ringingDb!);
    const slow = clean.strokes.slice(1, 8).map(({ ringingDb }) => ringingDb!);
    expect(Math.max(...slow)).toBeLessThan(-30);
    expect(Math.min(...fast)).toBeGreaterThan(-30);
    expect(Math.max(...fast)).toBeGreaterThan(-12);
  });

  it('alternate by 8 dB where that is asked', async () => {
    const apart = await layersApart(60, 12, 4);
    const plan = alternatingTake({ midi: 60, rate: 8, ringDb: -5, snrDb: 30, seed: 9 }, apart);
    const level = async (parity: number): Promise<number> => {
      const own = plan.strokes.filter(({ passage }) => passage === 'fast').filter((_, i) => i % 2 === parity);
      const mean = own.reduce((sum, { gainDb }) => sum + gainDb, 0) / own.length;
      const { samples, arrival } = await grand(60, own[0].layer, 0);
      return mean + 20 * Math.log10(rms(samples, Math.round(arrival), 2400));
    };
    // Six strokes each with 2 dB of human scatter.
    expect(Math.abs((await level(0)) - (await level(1)) - ALTERNATION_DB)).toBeLessThan(3);
  });

  it('hold silent strokes without a tone and doubles 12 dB under', async () => {
    const plan = faultyTake({ midi: 60, rate: 6, ringDb: -6, snrDb: 30, seed: 6 }, await layersApart(60, 8, 4));
    const { strokes } = await record(plan);
    expect(strokes.filter(({ kind }) => kind === 'silent').map(({ levelDb }) => levelDb)).toEqual([null, null]);
    const doubles = strokes.flatMap((stroke, i) => (stroke.kind === 'double' ? [[strokes[i - 1], stroke]] : []));
    expect(doubles.length).toBe(4);
    for (const [before, double] of doubles) {
      expect(double.levelDb! - before.levelDb!).toBeCloseTo(-12, 6);
      expect(double.timeSeconds - before.timeSeconds).toBeGreaterThan(0.04);
      expect(double.timeSeconds - before.timeSeconds).toBeLessThan(0.115);
    }
  });
});

describe('tables', () => {
  const table = { title: 'T', rests: 'On this.', head: ['a', 'b'], rows: [['x', figure(Infinity, 2)]] };

  it('say lost for what was not found, and a dash for what was not measured', () => {
    expect(asText(table)).toContain('lost');
    expect(figure(null, 3)).toBe('-');
    expect(asMarkdown(table)).toContain('| x | lost |');
  });

  it('replace a block between its marks, and refuse a text without them', () => {
    expect(replaceBetween('a <b> old <e> c', '<b>', '<e>', 'new')).toBe('a <b>\n\nnew\n\n<e> c');
    expect(() => replaceBetween('a <e> <b>', '<b>', '<e>', 'new')).toThrow(/once each and in this order/);
  });
});
