/** Which candidate is the finger's contact, or why there is none: on made recordings and on noise built for the case. */

import { describe, expect, it } from 'vitest';
import { Pyramid } from '../../src/signal/pyramid.ts';
import { contactConfidence, type ContactGrounds } from '../../src/strokes/contactConfidence.ts';
import { withContacts } from '../../src/strokes/contacts.ts';
import { hear } from '../../src/strokes/hear.ts';
import type { HeardTake } from '../../src/strokes/takes.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { whiteNoise } from '../signal/noise.ts';

const RATE = 48_000;

/** A click of some vibrations above 3 kHz, dying within a millisecond. */
function addClick(samples: Float32Array, seconds: number, size: number): void {
  const start = Math.round(seconds * RATE);
  for (let i = 0; i < 0.01 * RATE && start + i < samples.length; i++) {
    const t = i / RATE;
    const wave = [3600, 4700, 6100].reduce((sum, hertz, k) => sum + Math.cos(2 * Math.PI * hertz * t + k), 0) / 3;
    samples[start + i] += size * wave * Math.exp(-t / 0.001);
  }
}

/** A tone that begins abruptly, loud enough that nothing of what follows it matters. */
function addTone(samples: Float32Array, seconds: number, size: number, dies = 0.15): void {
  const start = Math.round(seconds * RATE);
  for (let i = 0; start + i < samples.length && i < 8 * dies * RATE; i++) {
    const t = i / RATE;
    const wave = [1, 2, 3, 4, 5, 6].reduce((sum, k) => sum + Math.sin(2 * Math.PI * 262 * k * t) / k, 0);
    samples[start + i] += size * wave * Math.exp(-t / dies);
  }
}

const PIECE_NOISE = 2e-5;

interface Built {
  readonly onsets: readonly number[];
  readonly seconds: number;
  readonly noise?: number;
  /** Clicks, seconds and size. */
  readonly clicks?: readonly (readonly [number, number])[];
  readonly dies?: number;
}

function build({ onsets, seconds, noise = PIECE_NOISE, clicks = [], dies }: Built): Float32Array {
  const samples = whiteNoise(Math.round(seconds * RATE), noise, 17);
  for (const onset of onsets) addTone(samples, onset, 0.1, dies);
  for (const [at, size] of clicks) addClick(samples, at, size);
  return samples;
}

/** Strokes at given onsets, as hearing leaves them before contacts are sought. */
function takeAt(onsets: readonly number[], levels: readonly number[] = []): HeardTake {
  const heard = hear(build({ onsets: [1, 2, 3], seconds: 4 }), RATE).takes[0];
  const model = heard.strokes[0];
  const strokes = onsets.map((onset, i): Stroke => ({
    ...model,
    onsetSeconds: onset,
    timeSeconds: onset,
    levelDb: levels[i] ?? -20,
    passage: 'slow',
    contactSeconds: null,
    absent: { contact: 'not-sought' },
    doubt: [],
  }));
  return { ...heard, strokes };
}

function contactsOf(built: Built): Stroke[] {
  const samples = build(built);
  return withContacts(new Pyramid(samples, RATE), [takeAt(built.onsets)]).flatMap(({ strokes }) => [...strokes]);
}

const everySecond = (count: number, first = 1.2): number[] =>
  // Uneven, so that nothing at one distance after a stroke is at one distance before the next.
  Array.from({ length: count }, (_, i) => first + i * 1.1 + 0.05 * ((i * 7) % 5));

describe('withContacts', () => {
  it('finds a click before each stroke within 0.3 ms, and says how sure it is', () => {
    const onsets = everySecond(6);
    const strokes = contactsOf({ onsets, seconds: 9, clicks: onsets.map((onset) => [onset - 0.035, 2e-3]) });
    for (const stroke of strokes) {
      expect(Math.abs(stroke.onsetSeconds! - stroke.contactSeconds! - 0.035)).toBeLessThan(0.0003);
      expect(stroke.contactSeconds!).toBeLessThan(stroke.onsetSeconds!);
      expect(stroke.contactConfidence!).toBeGreaterThan(0.8);
      expect(stroke.contactConfidence!).toBeLessThanOrEqual(1);
      expect(stroke.absent.contact).toBeUndefined();
    }
  });

  it('says "none-heard" in a quiet room', () => {
    for (const { contactSeconds, contactConfidence: sure, absent } of contactsOf({
      onsets: everySecond(8),
      seconds: 11,
    })) {
      expect(contactSeconds).toBeNull();
      expect(sure).toBeNull();
      expect(absent.contact).toBe('none-heard');
    }
  });

  it('says "masked" where a usual contact could not be heard', () => {
    const strokes = contactsOf({ onsets: everySecond(8), seconds: 11, noise: 0.02 });
    expect(strokes.map(({ absent }) => absent.contact)).toEqual(strokes.map(() => 'masked'));
  });

  it('says "masked" over a loud tone that rings on', () => {
    const onsets = Array.from({ length: 6 }, (_, i) => 1 + 0.14 * i);
    const samples = build({ onsets, seconds: 3, noise: 1e-4, dies: 2 });
    const strokes = withContacts(new Pyramid(samples, RATE), [takeAt(onsets)])[0].strokes;
    const causes = strokes.slice(1).map(({ absent, contactSeconds }) => contactSeconds === null && absent.contact);
    expect(causes).toContain('masked');
    expect(causes).not.toContain('outside-recording');
  });

  it('says "outside-recording" where the file begins too late', () => {
    const [first, second] = contactsOf({ onsets: [0.04, 1.4], seconds: 2.5, clicks: [[1.36, 2e-3]] });
    expect(first.contactSeconds).toBeNull();
    expect(first.absent.contact).toBe('outside-recording');
    expect(second.contactSeconds).not.toBeNull();
  });

  it('says two where two places fit, the earlier first, and marks it', () => {
    const [stroke] = contactsOf({
      onsets: [1.2],
      seconds: 2.5,
      clicks: [
        [1.155, 2e-3],
        [1.175, 2e-3],
      ],
    });
    expect(stroke.contactSeconds).toBeCloseTo(1.155, 3);
    expect(stroke.otherContactSeconds).toBeCloseTo(1.175, 3);
    expect(stroke.doubt).toContain('two-candidates');
    const [alone] = contactsOf({ onsets: [1.2], seconds: 2.5, clicks: [[1.155, 2e-3]] });
    expect(alone.otherContactSeconds).toBeNull();
    expect(alone.contactConfidence!).toBeGreaterThan(stroke.contactConfidence!);
  });

  it('does not take what comes at one distance after the stroke before', () => {
    const rests = [0.5, 0.62, 0.56, 0.68, 0.53, 0.65, 0.59, 0.71];
    const onsets = rests.reduce((all, rest) => [...all, all[all.length - 1] + rest], [1.2]);
    const after = 0.42;
    const strokes = contactsOf({
      onsets,
      seconds: 8,
      clicks: onsets.map((onset) => [onset + after, 2e-3]),
      dies: 0.05,
    });
    const taken = strokes.slice(1).filter(({ contactSeconds }) => contactSeconds !== null);
    expect(taken).toEqual([]);
    // The same clicks at one distance before the next stroke are contacts.
    const before = contactsOf({ onsets, seconds: 8, clicks: onsets.map((onset) => [onset - 0.08, 2e-3]), dies: 0.05 });
    expect(before.filter(({ contactSeconds }) => contactSeconds !== null).length).toBe(onsets.length);
  });

  it('asks for more in a room that clicks by itself', () => {
    const onsets = everySecond(12);
    // No two at the same travel time: nothing but the evidence speaks for them.
    const faint = onsets.map((onset, i): [number, number] => [onset - 0.012 * 1.17 ** ((5 * i) % 12), 1.5e-4]);
    const alike = onsets.map((onset): [number, number] => [onset - 0.035, 1.5e-4]);
    const own = onsets.flatMap((onset): [number, number][] => [
      [onset - 0.27, 6e-4],
      [onset - 0.235, 6e-4],
    ]);
    const quiet = contactsOf({ onsets, seconds: 15, clicks: faint });
    const clicking = contactsOf({ onsets, seconds: 15, clicks: [...faint, ...own] });
    const said = (strokes: Stroke[]): number => strokes.filter(({ contactSeconds }) => contactSeconds !== null).length;
    expect(said(quiet)).toBeGreaterThan(9);
    expect(said(clicking)).toBeLessThan(said(quiet) / 2);
    // That all stand at one travel time is evidence of its own.
    expect(said(contactsOf({ onsets, seconds: 15, clicks: [...alike, ...own] }))).toBeGreaterThan(9);
  });

  it('says the same of strokes it has been through before', () => {
    const onsets = everySecond(5);
    const samples = build({
      onsets,
      seconds: 8,
      clicks: [
        [onsets[1] - 0.04, 2e-3],
        [onsets[1] - 0.06, 2e-3],
      ],
    });
    const pyramid = new Pyramid(samples, RATE);
    const once = withContacts(pyramid, [takeAt(onsets)]);
    expect(withContacts(pyramid, once)).toEqual(once);
  });
});

describe('contacts of a whole recording', () => {
  const { samples } = makePractice(
    {
      variant: 'judging',
      sampleRate: RATE,
      snrDb: 45,
      hand: { contact: 'click' },
      notes: [
        {
          midi: 60,
          passages: [
            { kind: 'slow', strokes: 6 },
            { kind: 'fast', strokes: 8, returnMm: 11 },
          ],
        },
      ],
    },
    8,
  );
  const strokesOf = (input: Float32Array): Stroke[] => hear(input, RATE).takes.flatMap(({ strokes }) => [...strokes]);
  const original = strokesOf(samples);

  it('has some, each before its onset and never a number that is none', () => {
    expect(original.filter(({ contactSeconds }) => contactSeconds !== null).length).toBeGreaterThan(4);
    for (const { contactSeconds, contactRiseSeconds, onsetSeconds, contactConfidence: sure, absent } of original) {
      if (contactSeconds === null) {
        expect(absent.contact).toBeDefined();
        continue;
      }
      expect(onsetSeconds! - contactSeconds).toBeGreaterThan(0.005);
      expect(onsetSeconds! - contactSeconds).toBeLessThan(0.21);
      expect([contactSeconds, contactRiseSeconds, sure].every(Number.isFinite)).toBe(true);
    }
  });

  it('are where they were when the recording is louder or softer', () => {
    const softer = strokesOf(samples.map((x) => x / 8));
    expect(softer.map(({ contactSeconds }) => contactSeconds !== null)).toEqual(
      original.map(({ contactSeconds }) => contactSeconds !== null),
    );
    softer.forEach(({ contactSeconds }, i) => {
      // A start found in noise may move by rounding; most do not move at all.
      if (contactSeconds !== null) expect(Math.abs(contactSeconds - original[i].contactSeconds!)).toBeLessThan(0.001);
    });
  });

  it('shift as the recording does', () => {
    const frames = 12_000;
    const later = new Float32Array(frames + samples.length);
    later.set(samples.subarray(0, frames));
    later.set(samples, frames);
    const shifted = strokesOf(later);
    expect(shifted.length).toBe(original.length);
    let same = 0;
    shifted.forEach(({ contactSeconds }, i) => {
      const before = original[i].contactSeconds;
      if (contactSeconds !== null && before !== null) {
        if (Math.abs(contactSeconds - before - frames / RATE) < 0.0002) same++;
      } else if (contactSeconds === before) same++;
    });
    expect(same).toBe(shifted.length);
  });
});

describe('contactConfidence', () => {
  const grounds: ContactGrounds = {
    kind: 'thump',
    strength: 2,
    agreed: false,
    off: 0.1,
    rival: false,
    byChance: 0,
    step: 12,
    earlierBy: 0,
  };

  it('rises with the evidence, falls with misfit, and stays a probability', () => {
    const sure = contactConfidence(grounds);
    expect(contactConfidence({ ...grounds, strength: 8 })).toBeGreaterThan(sure);
    expect(contactConfidence({ ...grounds, off: 0.6 })).toBeLessThan(sure);
    for (const strength of [1, 1e3, 1e9]) {
      const value = contactConfidence({ ...grounds, strength });
      expect(value).toBeGreaterThan(0);
      expect(value).toBeLessThan(1);
    }
  });
});
