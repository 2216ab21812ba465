/** Warnings: each from the sound it names, none from a clean take. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import { findGaps } from '../../src/analysis/gaps.ts';
import { plainTake, TROUBLES } from '../accuracy/troubled.ts';
import { namedAlone } from '../accuracy/patterns.ts';
import { record } from '../accuracy/material.ts';
import { SAMPLE_RATE } from '../accuracy/samples.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

const of = (samples: Float32Array, sampleRate = SAMPLE_RATE) =>
  analyse(samples, { file: 'x', sampleRate, channels: 1, durationSeconds: samples.length / sampleRate }).warnings;
const codes = (samples: Float32Array, sampleRate = SAMPLE_RATE) => of(samples, sampleRate).map(({ code }) => code);
const trouble = (name: string) => TROUBLES.find((one) => one.name === name)!;

describe('clean takes', () => {
  it.each([21, 48, 75, 108])('of MIDI %i give no warning', async (midi) => {
    expect(codes((await plainTake(midi, 40, midi)).samples)).toEqual([]);
  });

  it.each(['training', 'judging'] as const)('nor do practice recordings (%s)', (variant) => {
    const passages = [
      { kind: 'slow' as const, strokes: 8 },
      { kind: 'fast' as const, strokes: 12 },
    ];
    const notes = [45, 64].map((midi) => ({ midi, passages }));
    const { samples, sampleRate } = makePractice({ variant, sampleRate: 48000, snrDb: 40, notes }, 3);
    expect(codes(samples, sampleRate)).toEqual([]);
  });
});

describe('a take', () => {
  it('that hums is said to, at 50 and at 60 Hz', async () => {
    for (const [name, hertz] of [
      ['hum of 50 Hz, -35 dB', '50 Hz'],
      ['hum of 60 Hz, -25 dB', '60 Hz'],
    ]) {
      const { samples } = await trouble(name).take(48, 'judged');
      expect(of(samples).find(({ code }) => code === 'hum')?.message).toContain(hertz);
    }
  });

  it('that is clipped is said to, with when and what to do', async () => {
    const { samples } = await trouble('clipped by 9 dB').take(60, 'judged');
    const [warning] = of(samples).filter(({ code }) => code === 'clipping');
    expect(warning.message).toMatch(/between 0:0\d and 0:\d\d.*microphone away/);
  });

  it('in loud noise is said to be noisy', async () => {
    const { samples } = await plainTake(60, 6, 6);
    expect(codes(samples)).toContain('noisy');
  });

  it('of three strokes is said to be short, by name', async () => {
    const { samples } = await record(namedAlone(60, 8, 0, 40, 1));
    const warning = of(samples).find(({ code }) => code === 'short-note');
    expect(warning?.message).toMatch(/Fewer than 5 strokes were heard of C4/);
  });
});

describe('gaps', () => {
  const take = async () => (await plainTake(60, 40, 4)).samples.slice();
  const at = 0.9 * SAMPLE_RATE;

  it('of zeros inside sound are found, from 128 on', async () => {
    const samples = await take();
    samples.fill(0, at, at + 127);
    expect(codes(samples)).not.toContain('gaps');
    samples.fill(0, at, at + 300);
    const [gap] = findGaps(samples, SAMPLE_RATE);
    expect(gap).toEqual({ seconds: at / SAMPLE_RATE, lengthSeconds: 300 / SAMPLE_RATE, kind: 'zeros' });
    expect(of(samples).find(({ code }) => code === 'gaps')?.message).toMatch(/1 holes? of exact silence.*0:00/);
  });

  it.each([128, 441, 480, 1024])('of a block of %i played twice are found', async (block) => {
    const samples = await take();
    samples.copyWithin(at + block, at, at + block);
    expect(findGaps(samples, SAMPLE_RATE)).toEqual([
      { seconds: (at + block) / SAMPLE_RATE, lengthSeconds: block / SAMPLE_RATE, kind: 'repeated' },
    ]);
  });

  it('are not seen in silence, at the ends, or in a tone whose period is exact', () => {
    const samples = new Float32Array(SAMPLE_RATE);
    expect(findGaps(samples, SAMPLE_RATE)).toEqual([]);
    samples.fill(0.1, 20_000, 30_000);
    expect(findGaps(samples, SAMPLE_RATE)).toEqual([]);
    const tone = Float32Array.from({ length: SAMPLE_RATE }, (_, i) => [0, 0.1, 0.2, 0.1, 0, -0.1, -0.2, -0.1][i % 8]);
    expect(findGaps(tone, SAMPLE_RATE)).toEqual([]);
  });

  it('are not seen in quantised noise', () => {
    const { samples } = makePractice(
      { variant: 'judging', sampleRate: 24000, notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 4 }] }] },
      1,
    );
    expect(
      findGaps(
        samples.map((x) => Math.round(x * 512) / 512),
        24000,
      ),
    ).toEqual([]);
  });
});
