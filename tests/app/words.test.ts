/** Sentences, figures, the stretch in view: what the page says and shows without a browser. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import type { NoteResult, Verdict } from '../../src/analysis/document.ts';
import { chartLayout, marksOf } from '../../src/app/chartLayout.ts';
import { measureLines } from '../../src/app/measureWords.ts';
import { CLOSEST, axisTimes, moved, wholeOf, zoomed } from '../../src/app/view.ts';
import { evidenceOf, figure, leadOf, spoken, travelWords, wordsWithNotes } from '../../src/app/words.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

describe('words', () => {
  it('know notes in a file’s name', () => {
    expect(wordsWithNotes('d-sharp-3-missed-repeats')).toEqual([{ midi: 51 }, ' missed repeats']);
    expect(wordsWithNotes('g2-and-c6')).toEqual([{ midi: 43 }, ' and ', { midi: 84 }]);
    expect(wordsWithNotes('one-of-a-kind-42')).toEqual(['One of a kind 42']);
    expect(spoken(wordsWithNotes('a-sharp-4-and-b4'))).toBe('A sharp 4 and B4');
  });

  it('write a true minus, and none before nothing', () => {
    expect([figure(-3.14, 1), figure(-0.04, 1), figure(2, 0)]).toEqual(['\u22123.1', '0.0', '2']);
  });

  it('say what was heard of a take, and of silence', () => {
    const { samples, sampleRate } = makePractice(
      { variant: 'training', notes: [{ midi: 70, passages: [{ kind: 'slow', strokes: 6 }] }] },
      5,
    );
    const source = { file: 'take.wav', sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
    const heard = analyse(samples, source);
    expect(spoken(leadOf(heard))).toBe('All strokes of A sharp 4 spoke.');
    // How many were heard is the detector's matter: here they must all be told.
    expect(heard.strokes.length).toBeGreaterThanOrEqual(5);
    const all = `${heard.strokes.length} slow strokes in ${source.durationSeconds.toFixed(1)} seconds.`;
    expect(spoken(evidenceOf(heard))).toBe(all);
    const silence = analyse(new Float32Array(48_000), { ...source, durationSeconds: 1 });
    expect(spoken(leadOf(silence))).toBe('No strokes were heard in this recording.');
    expect(spoken(evidenceOf(silence))).toBe('No strokes in 1.0 seconds.');
  });

  it('are the document\u2019s own where a note is doubted: what is surest leads, the others are named', () => {
    const source = { file: 'quiet.wav', sampleRate: 48_000, channels: 1, durationSeconds: 1 };
    const { samples, sampleRate } = makePractice(
      { variant: 'training', notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 4 }] }] },
      9,
    );
    const heard = analyse(samples, { ...source, sampleRate, durationSeconds: samples.length / sampleRate });
    const told = (midi: number, verdict: Verdict, score: number): NoteResult => ({
      ...heard.notes[0],
      midi,
      verdict,
      score,
      words: { line: `Line of ${midi}.`, evidence: [`Heard of ${midi}.`, 'More.'], next: [], cautions: [], parts: [] },
    });
    const notes = [told(60, 'watch', 0.9), told(61, 'unstable', 0.2), told(62, 'steady', 1), told(63, 'watch', 0.1)];
    const document = { ...heard, notes };
    expect(spoken(leadOf(document))).toBe('C sharp 4: Line of 61.');
    expect(spoken(evidenceOf(document))).toMatch(
      /seconds\. C sharp 4: Heard of 61\. To look at too: C4 and D sharp 4\.$/,
    );
    expect(spoken(leadOf({ ...document, notes: [told(62, 'steady', 1)] }))).not.toMatch(/Line of/);
  });

  it('put travel times in brackets that do not count', () => {
    const { samples, sampleRate } = makePractice(
      { variant: 'training', notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 4 }] }] },
      9,
    );
    const [stroke] = analyse(samples, { file: 'a', sampleRate, channels: 1, durationSeconds: 5 }).strokes;
    const travelled = { ...stroke, onsetSeconds: 1, contactSeconds: 0.9379, otherContactSeconds: null, absent: {} };
    expect(travelWords({ ...travelled, contactConfidence: 0.9 })).toBe('62.1');
    expect(travelWords({ ...travelled, contactConfidence: 0.3 })).toBe('(62.1)');
    expect(travelWords({ ...travelled, contactConfidence: 0.9, otherContactSeconds: 0.96 })).toBe('(62.1)');
    expect(travelWords({ ...travelled, contactSeconds: null, absent: { contact: 'masked' } })).toBe('covered');
  });

  it('never take zero for proof', () => {
    const lines = measureLines([
      { kind: 'level', value: -18.46, unit: 'dB', interval: [-20.4, -16.5], n: 8 },
      { kind: 'failed-repeats', value: 0, unit: 'share', interval: [0, 0.157], n: 11 },
      { kind: 'onset-error', value: 0.0042, unit: 'ms', interval: [0.002, 0.0111], n: 19 },
      { kind: 'failed-repeats', value: 0.25, unit: 'share', interval: [0.1, 0.45], n: 12 },
    ]);
    expect(lines.map(({ value, rests }) => `${value}: ${rests}`)).toEqual([
      '0 of 11: none is no proof',
      '3 of 12: 10 to 45 in 100',
      '\u221218.5 dB: \u221220.4 to \u221216.5, from 8 strokes',
      '0.004 ms: 0.002 to 0.011, from 19 strokes',
    ]);
  });
});

describe('the view', () => {
  it('stays within the recording, and no closer than it may', () => {
    let view = wholeOf(20);
    expect(moved(view, 0.5, 20)).toEqual(view);
    view = zoomed(view, 0.5, 20);
    expect(view).toEqual({ from: 5, to: 15 });
    expect(moved(view, 0.5, 20)).toEqual({ from: 10, to: 20 });
    expect(moved(moved(view, 0.5, 20), 0.5, 20)).toEqual({ from: 10, to: 20 });
    expect(zoomed(moved(view, -0.5, 20), 8, 20)).toEqual(wholeOf(20));
    for (let i = 0; i < 20; i++) view = zoomed(view, 0.5, 20);
    expect(view.to - view.from).toBeCloseTo(CLOSEST, 9);
    expect(wholeOf(0.01).to).toBe(CLOSEST);
  });

  it('has round times on its axis', () => {
    expect(axisTimes({ from: 0, to: 15.9 }, 4)).toEqual({ times: [0, 5, 10, 15], decimals: 0 });
    const close = axisTimes({ from: 6.46, to: 6.51 }, 5);
    expect(close.decimals).toBe(2);
    expect(close.times.map((time) => time.toFixed(2))).toEqual(['6.46', '6.47', '6.48', '6.49', '6.50', '6.51']);
  });
});

describe('the picture', () => {
  const stroke = (timeSeconds: number, passage: 'slow' | 'fast', levelDb: number) => ({
    ...heardStroke,
    timeSeconds,
    passage,
    levelDb,
  });
  const { samples, sampleRate } = makePractice(
    { variant: 'training', notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 4 }] }] },
    9,
  );
  const source = { file: 'a.wav', sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
  const [heardStroke] = analyse(samples, source).strokes;

  it('has a lane a passage, slow over fast; louder stands higher, close strokes keep apart', () => {
    const strokes = [stroke(1, 'slow', -30), stroke(2, 'slow', -10), stroke(3, 'fast', -20), stroke(3.1, 'fast', -20)];
    const { lanes, wave, axis } = chartLayout(strokes, 16);
    expect(lanes.map(({ passage }) => passage)).toEqual(['slow', 'fast']);
    expect(wave.bottom).toBeLessThan(lanes[0].top);
    expect(lanes[0].shelf).toBeLessThan(lanes[1].top);
    expect(lanes[1].shelf).toBeLessThan(axis);
    const [slow, fast] = lanes.map((lane) => marksOf(lane, { from: 0, to: 4 }, 400, [-30, -10]));
    expect(slow[1].rise).toBeGreaterThan(slow[0].rise);
    expect(slow.map(({ x }) => x)).toEqual([100, 200]);
    expect(fast[0].x + fast[0].reach).toBeLessThan(fast[1].x - fast[1].reach);
    expect(marksOf(lanes[0], { from: 1.5, to: 2.5 }, 400, [-30, -10])).toHaveLength(1);
  });
});
