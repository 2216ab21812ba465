/** Listening to real tones as they are played: names, takes, strays, sound handed on, gaps; and the kept take beside the whole file. */

import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../../src/analysis/analyse.ts';
import { analyseTake } from '../../../src/analysis/listening/keptTake.ts';
import { keyName } from '../../../src/piano/keys.ts';
import { fromSound16, toSound16 } from '../../../src/signal/sound16.ts';
import type { Passage } from '../../../src/strokes/types.ts';
import { planChance, record, type PlannedStroke } from '../../accuracy/material.ts';
import { SAMPLE_RATE } from '../../accuracy/samples.ts';
import { playTo, type Said } from './play.ts';

type Ended = Extract<Said, { type: 'take-ended' }>;
const ended = (said: readonly Said[]) => said.filter((each): each is Ended => each.type === 'take-ended');
const strays = (said: readonly Said[]) => said.flatMap((each) => (each.type === 'stray' ? [keyName(each.midi)] : []));

let at = 0;
let strokes: PlannedStroke[] = [];
/** A hand's intervals scatter by 4 %, its levels by 1.5 dB; what comes at one distance for ever is an echo. */
const hand = planChance(7);
function strike(midi: number, passage: Passage, wanted: number): void {
  const interval = wanted * (1 + 0.04 * hand.normal());
  const fast = passage === 'fast';
  const letGo = {
    fromSeconds: at + (fast ? 0.6 * interval : 0.45),
    toSeconds: at + (fast ? 0.8 * interval : 0.6),
    residualDb: fast ? -8 : -45,
    noise: true,
  };
  strokes.push({ timeSeconds: at, midi, layer: 8, kind: 'sounded', passage, gainDb: 1.5 * hand.normal(), letGo });
  at += interval;
}
function pattern(midi: number): void {
  for (let i = 0; i < 8; i++) strike(midi, 'slow', 0.9);
  for (let i = 0; i < 12; i++) strike(midi, 'fast', 1 / 6);
}

/** A scale; C2 whole with a slip onto C#3; at once D#4; a test blow; G5 three times only; F#6 whole. */
let samples: Float32Array;
let said: Said[];
beforeAll(async () => {
  at = 1;
  strokes = [];
  for (const midi of [60, 62, 64, 65, 67]) strike(midi, 'slow', 0.35);
  at += 1.5;
  for (let i = 0; i < 8; i++) {
    strike(36, 'slow', 0.9);
    if (i !== 4) continue;
    at -= 0.45;
    strike(49, 'slow', 0.45);
  }
  for (let i = 0; i < 12; i++) strike(36, 'fast', 1 / 6);
  at += 0.5;
  pattern(63);
  at += 2;
  strike(51, 'slow', 5);
  for (let i = 0; i < 3; i++) strike(79, 'slow', 0.9);
  at += 3;
  pattern(90);
  const plan = { name: 'sitting', strokes, durationSeconds: at + 2.5, cents: 8, snrDb: 45, seed: 3 };
  samples = fromSound16(toSound16((await record(plan)).samples));
  said = playTo(samples, SAMPLE_RATE);
}, 60_000);

describe('listening to a sitting', () => {
  it('cuts the takes that were played, without a tap, and keeps those that count', () => {
    expect(ended(said).map(({ midi, worth }) => [keyName(midi), worth])).toEqual([
      ['C2', 'enough'],
      ['D#4', 'enough'],
      ['G5', 'too-few-strokes'],
      ['F#6', 'enough'],
    ]);
    const left = strays(said);
    expect(left.slice(-2)).toEqual(['C#3', 'D#3']);
    // A note of the scale over the ringing one before may be unnamed.
    expect(left.length).toBeGreaterThanOrEqual(6);
    expect(left.slice(0, -2).filter((name) => !['C4', 'D4', 'E4', 'F4', 'G4'].includes(name))).toEqual([]);
  });

  it('names every slow stroke within 300 ms of its onset', () => {
    let named = 0;
    for (const { midi, timeSeconds, passage } of strokes) {
      if (passage !== 'slow') continue;
      const name = said.find(
        (each) =>
          each.type === 'named' && Math.abs(each.frame / SAMPLE_RATE - timeSeconds) < 0.02 && each.midi === midi,
      );
      if (name && name.by / SAMPLE_RATE - timeSeconds < 0.3) named++;
    }
    const slow = strokes.filter(({ passage }) => passage === 'slow').length;
    expect(slow).toBe(34);
    expect(named / slow).toBeGreaterThanOrEqual(0.95);
  });

  it('hands on the sound of a take in stretches that are its whole sound, as it was heard', () => {
    for (const take of ended(said)) {
      const pieces = said.flatMap((each) => (each.type === 'piece' && each.take === take.take ? [each] : []));
      expect(pieces.map(({ index }) => index)).toEqual(pieces.map((_, i) => i));
      expect(pieces).toHaveLength(take.pieces);
      const joined = Int16Array.from(pieces.flatMap((piece) => [...piece.samples]));
      expect(joined).toEqual(take.samples);
      const heard = fromSound16(joined);
      // Somewhere in the recording, to the bit.
      const from = findIn(samples, heard);
      expect(from).toBeGreaterThanOrEqual(0);
      // The take's first stroke has its lead, and what came after the take is not in it.
      const own = strokes.filter(({ midi }) => midi === take.midi);
      expect(own[0].timeSeconds - from / SAMPLE_RATE).toBeGreaterThan(0.4);
      expect(from + heard.length).toBeGreaterThan(own[own.length - 1].timeSeconds * SAMPLE_RATE);
    }
  });

  it('hands on all but the last moments while the take runs, so that a crash loses no more', () => {
    const [first] = ended(said);
    const before = said.filter((each) => each.type === 'piece' && each.take === first.take && each.by < first.by);
    expect(before.length).toBeGreaterThanOrEqual(first.pieces - 2);
  });

  it('hears in a kept take what is heard in the whole recording', () => {
    const whole = analyse(samples, source('whole.wav', samples.length));
    for (const take of ended(said).filter(({ worth }) => worth === 'enough')) {
      const document = analyseTake(
        { samples: take.samples, sampleRate: SAMPLE_RATE, file: 'take.wav' },
        { asked: take.asked, touch: take.touch, firstNote: null },
      );
      const own = document.strokes.filter(({ midi }) => midi === take.midi);
      const same = whole.strokes.filter(({ midi }) => midi === take.midi);
      const count = (list: typeof own, passage: string) =>
        list.filter((stroke) => stroke.kind === 'sounded' && stroke.passage === passage).length;
      expect(count(own, 'slow')).toBe(8);
      expect(count(own, 'fast')).toBeGreaterThanOrEqual(6);
      expect(Math.abs(count(own, 'fast') - count(same, 'fast'))).toBeLessThanOrEqual(1);
      const intervals = (list: typeof own) =>
        list
          .filter(({ passage, kind }) => passage === 'slow' && kind === 'sounded')
          .map(({ timeSeconds }, _, all) => timeSeconds - all[0].timeSeconds);
      const [a, b] = [intervals(own), intervals(same)];
      expect(a).toHaveLength(b.length);
      a.forEach((value, i) => expect(Math.abs(value - b[i])).toBeLessThan(5e-5));
      expect(document.takes.every(({ asked, touch }) => asked === 'slow-fast' && touch === 'finger')).toBe(true);
    }
  });

  it('hears the same takes in other blocks', () => {
    const key = (list: readonly Said[]) => ended(list).map(({ midi, worth }) => [midi, worth]);
    for (const block of [128, 4096]) {
      const other = playTo(samples, SAMPLE_RATE, { block });
      expect(key(other)).toEqual(key(said));
      expect(strays(other)).toEqual(strays(said));
    }
  });
});

describe('trouble', () => {
  it('a jump of the audio clock is told, filled with zeros and marked in the take; a long one ends it', () => {
    const inTake = Math.round((strokes[7].timeSeconds + 0.5) * SAMPLE_RATE);
    const short = playTo(samples, SAMPLE_RATE, { jumps: [{ at: inTake, frames: 441 }] });
    expect(short.filter(({ type }) => type === 'gap')).toMatchObject([{ missing: 441 }]);
    const [take] = ended(short);
    expect(take.midi).toBe(36);
    expect(take.gaps).toHaveLength(1);
    const [{ frame, frames }] = take.gaps;
    expect(frames).toBe(441);
    expect(take.samples.subarray(frame, frame + frames).every((value) => value === 0)).toBe(true);
    const [plain] = ended(said);
    // Time goes on as it does in the room.
    expect(Math.abs(take.samples.length - plain.samples.length)).toBeLessThan(0.1 * SAMPLE_RATE);
    const long = playTo(samples, SAMPLE_RATE, { jumps: [{ at: inTake, frames: 2 * SAMPLE_RATE }] });
    expect(ended(long)[0]).toMatchObject({ midi: 36, worth: 'too-few-strokes' });
  });

  it('while it rests no take begins; afterwards the next one does', () => {
    let resting = false;
    const rested = playTo(samples, SAMPLE_RATE, {
      before: (frame, listener) => {
        const seconds = frame / SAMPLE_RATE;
        if (!resting && seconds > 1 && seconds < 20) {
          resting = true;
          return listener.rest();
        }
        if (resting && seconds >= 20) {
          resting = false;
          listener.goOn();
        }
        return [];
      },
    });
    expect(ended(rested).map(({ midi }) => keyName(midi))).not.toContain('C2');
    expect(ended(rested).map(({ midi }) => keyName(midi))).toContain('F#6');
  });

  it('levels: the room between strokes, and clipping where it clips', () => {
    const levels = said.flatMap((each) => (each.type === 'level' ? [each] : []));
    expect(levels.length).toBeCloseTo(samples.length / SAMPLE_RATE / 0.25, -1);
    expect(levels.some(({ clipped }) => clipped)).toBe(false);
    const room = levels[levels.length - 1].roomDb!;
    expect(room).toBeGreaterThan(-90);
    expect(room).toBeLessThan(-45);
    const loud = playTo(
      samples.slice(0, 10 * SAMPLE_RATE).map((v) => Math.max(-1, Math.min(1, 20 * v))),
      SAMPLE_RATE,
    );
    expect(loud.some((each) => each.type === 'level' && each.clipped)).toBe(true);
  });
});

function source(file: string, frames: number) {
  return { file, sampleRate: SAMPLE_RATE, channels: 1, durationSeconds: frames / SAMPLE_RATE };
}

/** Where one run of samples stands in another, or -1. */
function findIn(all: Float32Array, part: Float32Array): number {
  // Rare enough to be looked for first: the loudest sample of the part.
  let loudest = 0;
  for (let i = 0; i < part.length; i++) if (Math.abs(part[i]) > Math.abs(part[loudest])) loudest = i;
  for (let i = all.indexOf(part[loudest]); i >= 0; i = all.indexOf(part[loudest], i + 1)) {
    const from = i - loudest;
    if (from >= 0 && part.every((value, k) => all[from + k] === value)) return from;
  }
  return -1;
}
