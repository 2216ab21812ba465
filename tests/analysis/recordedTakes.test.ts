/** Recordings parted into takes: where each stands, and that no stroke of it is lost. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import { recordedTake, takeSpans } from '../../src/analysis/recordedTakes.ts';
import { readSound } from '../../src/soundfiles/read.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { madeRound } from './madeRound.ts';

const RATE = 48_000;
const LEAD = 0.8;
const TAIL = 2.5;

/** A made round whose notes follow each other after so many seconds. */
function made(pauses: readonly number[]): { document: AnalysisDocument; first: number[]; last: number[] } {
  const midis = [40, 44, 48].slice(0, pauses.length + 1);
  const round = madeRound(
    new RandomStream(5, 'takes'),
    midis.map((midi) => ({ midi })),
  );
  const first: number[] = [];
  const last: number[] = [];
  let shift = 0;
  const strokes = round.takes.flatMap(({ take }, i) => {
    const own = round.strokes.filter((stroke) => stroke.take === take);
    const begins = Math.min(...own.map((stroke) => stroke.contactSeconds ?? stroke.timeSeconds));
    if (i > 0) shift = last[i - 1] + pauses[i - 1] - begins;
    const moved = own.map((stroke) => ({
      ...stroke,
      timeSeconds: stroke.timeSeconds + shift,
      contactSeconds: stroke.contactSeconds === null ? null : stroke.contactSeconds + shift,
    }));
    first.push(begins + shift);
    last.push(Math.max(...moved.map(({ timeSeconds }) => timeSeconds)));
    return moved;
  });
  return { document: { ...round, source: { ...round.source, sampleRate: RATE }, strokes }, first, last };
}

describe('stretches of takes', () => {
  it('have room before and sound after where nothing else is played, and end with the recording', () => {
    const { document, first, last } = made([6, 6]);
    const frames = Math.round((last[2] + 1) * RATE);
    const spans = takeSpans(document, frames);
    expect(spans.map(({ midi }) => midi)).toEqual([40, 44, 48]);
    spans.forEach(({ from, to }, i) => {
      expect(from / RATE).toBeCloseTo(Math.max(0, first[i] - LEAD), 4);
      expect(to / RATE).toBeCloseTo(i < 2 ? last[i] + TAIL : last[i] + 1, 4);
    });
  });

  it('give way to the next one, never overlap, and hold every stroke with its contact', () => {
    for (const pause of [0.02, 0.3, 0.8, 1.5, 2.6, 3.2]) {
      const { document, first, last } = made([pause, pause]);
      const spans = takeSpans(document, Math.round((last[2] + 4) * RATE));
      expect(spans).toHaveLength(3);
      spans.forEach(({ from, to }, i) => {
        expect(from).toBeGreaterThanOrEqual(i > 0 ? spans[i - 1].to : 0);
        expect(from / RATE).toBeLessThanOrEqual(first[i] + 1e-4);
        expect(to / RATE).toBeGreaterThanOrEqual(last[i] - 1e-4);
      });
    }
  });

  it('are none of what is other sound throughout, and none of a recording without strokes', () => {
    const { document, last } = made([6]);
    const frames = Math.round((last[1] + 3) * RATE);
    const strokes = document.strokes.map((stroke) =>
      stroke.take === 1 ? { ...stroke, doubt: ['other-sound' as const] } : stroke,
    );
    expect(takeSpans({ ...document, strokes }, frames).map(({ midi }) => midi)).toEqual([44]);
    expect(takeSpans({ ...document, strokes: [], takes: [] }, frames)).toEqual([]);
  });
});

describe('a take of a recording', () => {
  it('has the strokes and the verdict that the whole recording has, at its own times', async () => {
    const bytes = readFileSync(new URL('../../samples/3-g2-and-c6.flac', import.meta.url));
    const { channels, sampleRate } = await readSound(new Uint8Array(bytes));
    const [samples] = channels;
    const source = { file: 'two.flac', sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
    const whole = analyse(samples, source);
    const spans = takeSpans(whole, samples.length);
    const takes = spans.map((span) => recordedTake(samples, sampleRate, span, 'two.flac')!);
    expect(takes.map(({ midi }) => midi)).toEqual(whole.takes.map(({ midi }) => midi));
    for (const { midi, from, to, samples: own, heard } of takes) {
      expect(own).toHaveLength(to - from);
      const offset = from / sampleRate;
      const before = whole.strokes.filter((stroke) => stroke.midi === midi);
      expect(heard.strokes.map(({ kind }) => kind)).toEqual(before.map(({ kind }) => kind));
      heard.strokes.forEach(({ timeSeconds }, i) => {
        expect(Math.abs(timeSeconds + offset - before[i].timeSeconds)).toBeLessThan(2e-3);
      });
      expect(heard.takes.map(({ asked, touch }) => [asked, touch])).toEqual([['slow-fast', 'finger']]);
    }
  });

  it('is none where there is only a noise', () => {
    const random = new RandomStream(3, 'noise');
    const samples = Float32Array.from({ length: 4 * RATE }, () => random.normal(0, 0.01));
    expect(recordedTake(samples, RATE, { midi: 60, from: 0, to: samples.length }, 'noise.wav')).toBeNull();
  });
});
