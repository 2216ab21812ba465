import { describe, expect, it } from 'vitest';
import { makePractice, type PracticePlan, type TrueStroke } from '../../src/synthesis/practice.ts';
import { noteModes } from '../../src/synthesis/modes.ts';
import { addTones } from '../../src/synthesis/tone.ts';
import { VARIANTS } from '../../src/synthesis/variants.ts';
import { decibels, dryPlan, level } from './stroke.ts';

const RATE = 48000;
const slowFast = (midi: number, more: Partial<PracticePlan> = {}): PracticePlan => ({
  variant: 'training',
  sampleRate: 32000,
  notes: [
    {
      midi,
      passages: [
        { kind: 'slow', strokes: 2 },
        { kind: 'fast', strokes: 5 },
      ],
    },
  ],
  ...more,
});

/** Peak of the normalised cross-correlation of a template with the samples about an expected place, in samples. */
function place(samples: Float32Array, template: Float64Array, expected: number, range: number): number {
  const at = (shift: number): number => {
    let sum = 0;
    for (let i = 0; i < template.length; i++) sum += template[i] * samples[expected + shift + i];
    return sum;
  };
  let best = -range;
  for (let shift = -range; shift <= range; shift++) if (at(shift) > at(best)) best = shift;
  const [before, here, next] = [at(best - 1), at(best), at(best + 1)];
  return expected + best + (0.5 * (before - next)) / (before - 2 * here + next);
}

describe('truth', () => {
  it.each([33, 57, 84])('of onsets is where a noise-free tone fits best, note %i', (midi) => {
    const seed = 4;
    const { samples, truth } = makePractice({ ...dryPlan(midi, [{ kind: 'slow', strokes: 4 }]), snrDb: 40 }, seed);
    const note = noteModes(midi, VARIANTS.training, 0, 0.45 * RATE, seed);
    for (const stroke of truth.strokes) {
      const template = new Float64Array(Math.round(0.06 * RATE));
      const blow = { onsetSeconds: 0, velocity: stroke.hammerVelocity, gain: 0.001 };
      addTones(template, RATE, note, [blow], []);
      const found = place(samples, template, Math.round(stroke.onsetSeconds! * RATE), 40);
      // The knock of the key bottom and the noise move it by a few microseconds.
      expect(Math.abs(found / RATE - stroke.onsetSeconds!)).toBeLessThan(2e-5);
    }
  });

  it('says the peak of the tone alone', () => {
    const { samples, truth } = makePractice(dryPlan(60, [{ kind: 'slow', strokes: 1 }]), 2);
    const [stroke] = truth.strokes;
    const from = Math.floor(stroke.onsetSeconds! * RATE);
    let peak = 0;
    for (let i = from; i < from + 0.12 * RATE; i++) peak = Math.max(peak, Math.abs(samples[i]));
    // The knock of the key bottom comes on top: at most -12 dB re the tone.
    expect(Math.abs(decibels(peak) - stroke.levelDb!)).toBeLessThan(1.5);
  });

  it('is what the schema promises', () => {
    const { truth, samples, sampleRate } = makePractice(slowFast(60), 3);
    expect(truth.schema).toBe('evenfall.practice/1');
    expect(sampleRate).toBe(32000);
    expect(truth.durationSeconds).toBe(samples.length / 32000);
    expect(samples.every(Number.isFinite)).toBe(true);
    truth.strokes.forEach((stroke, i) => {
      if (i > 0) expect(stroke.timeSeconds).toBeGreaterThan(truth.strokes[i - 1].timeSeconds);
      expect(stroke.contactSeconds!).toBeLessThan(stroke.timeSeconds);
      expect(stroke.timeSeconds).toBeLessThan(truth.durationSeconds);
    });
    expect(JSON.parse(JSON.stringify(truth))).toEqual(truth);
  });

  it('names silent strokes, which leave the strings alone, and doubles, which do not', () => {
    const plan = (name: 'missed-every-second' | 'double-strikes'): PracticePlan => ({
      ...dryPlan(69, []),
      notes: [
        {
          midi: 69,
          passages: [{ kind: 'fast', strokes: 6, ratePerSecond: 4, returnMm: 11 }],
          faults: [{ name, size: 1 }],
        },
      ],
    });
    const missed = makePractice(plan('missed-every-second'), 1);
    expect(missed.truth.strokes.map((s) => s.kind)).toEqual([
      'sounded',
      'silent',
      'sounded',
      'silent',
      'sounded',
      'silent',
    ]);
    const rise = (samples: Float32Array, at: number): number =>
      decibels(level(samples, RATE, at + 0.03, at + 0.05) / level(samples, RATE, at - 0.02, at));
    for (const stroke of missed.truth.strokes.slice(1)) {
      if (stroke.kind === 'silent') {
        expect(stroke.onsetSeconds).toBeNull();
        expect(stroke.levelDb).toBeNull();
        expect(stroke.keyBottomSeconds).not.toBeNull();
      }
    }
    const tones = missed.truth.strokes
      .filter((s) => s.kind === 'sounded')
      .map((s) => rise(missed.samples, s.timeSeconds));
    const noises = missed.truth.strokes
      .filter((s) => s.kind === 'silent')
      .map((s) => rise(missed.samples, s.timeSeconds));
    expect(Math.min(...tones.slice(1))).toBeGreaterThan(Math.max(...noises) + 6);

    const doubled = makePractice(plan('double-strikes'), 1);
    const seconds = doubled.truth.strokes.filter((s) => s.kind === 'double');
    expect(seconds).toHaveLength(6);
    for (const stroke of seconds) {
      expect(stroke.contactSeconds).toBeNull();
      expect(stroke.onsetSeconds).toBe(stroke.timeSeconds);
      expect(stroke.levelDb).not.toBeNull();
    }
  });

  it('of releases: the tone falls after them, and rings on between repeats that come up too little', () => {
    const { samples, truth } = makePractice(dryPlan(69, [{ kind: 'slow', strokes: 3 }]), 5);
    for (const stroke of truth.strokes) {
      const at = stroke.releaseSeconds!;
      const before = level(samples, RATE, at - 0.06, at);
      const after = level(samples, RATE, at + 0.22, at + 0.28);
      expect(decibels(before / after)).toBeGreaterThan(25);
    }
    const shallow = { kind: 'fast', strokes: 6, returnMm: 4.5, returnSdMm: 0 } as const;
    const fast = makePractice(dryPlan(69, [shallow]), 5);
    expect(fast.truth.strokes.slice(0, -1).every((stroke) => stroke.releaseSeconds === null)).toBe(true);
    expect(fast.truth.strokes.at(-1)!.releaseSeconds).not.toBeNull();
  });
});

describe('recording', () => {
  it('is the same for the same seed, and another for another', () => {
    const first = makePractice(slowFast(60), 11);
    const again = makePractice(slowFast(60), 11);
    const other = makePractice(slowFast(60), 12);
    expect(Buffer.compare(Buffer.from(again.samples.buffer), Buffer.from(first.samples.buffer))).toBe(0);
    expect(again.truth).toEqual(first.truth);
    expect(other.truth.strokes).not.toEqual(first.truth.strokes);
  });

  it('keeps its strokes when only noise, room or sample rate change', () => {
    const strokes = (more: Partial<PracticePlan>): readonly TrueStroke[] =>
      makePractice(slowFast(60, more), 11).truth.strokes;
    const plain = strokes({});
    expect(strokes({ snrDb: 12, humDb: -30 })).toEqual(plain);
    expect(strokes({ room: { reverberationSeconds: 1.2 } })).toEqual(plain);
    expect(strokes({ sampleRate: 44100 })).toEqual(plain);
  });

  it('differs between the variants in strokes, noise and law', () => {
    const [a, b] = (['training', 'judging'] as const).map(
      (variant) => makePractice(slowFast(60, { variant }), 11).truth,
    );
    expect(a.strokes).not.toEqual(b.strokes);
    expect(a.noise.kinds.filter((kind) => b.noise.kinds.includes(kind))).toEqual([]);
    expect(VARIANTS.training.travelExponent).not.toBe(VARIANTS.judging.travelExponent);
  });

  it.each(['training', 'judging'] as const)('has the noise it says, %s', (variant) => {
    const quiet = makePractice(slowFast(60, { variant, snrDb: Infinity }), 11);
    const noisy = makePractice(slowFast(60, { variant, snrDb: 20 }), 11);
    const noise = noisy.samples.map((value, i) => value - quiet.samples[i]);
    const found = decibels(level(noise, 32000, 0, noise.length / 32000));
    expect(found).toBeCloseTo(noisy.truth.noise.rmsDb!, 2);
    expect(noisy.truth.noise.referenceDb! - found).toBeCloseTo(20, 2);
    expect(quiet.truth.noise).toMatchObject({ kinds: [], snrDb: null, rmsDb: null });
  });

  it('has the hum it says', () => {
    const still = makePractice(slowFast(60, { snrDb: Infinity }), 11);
    const humming = makePractice(slowFast(60, { snrDb: Infinity, humDb: -25, mainsHertz: 60 }), 11);
    const hum = humming.samples.map((value, i) => value - still.samples[i]);
    const { referenceDb } = humming.truth.noise;
    expect(decibels(level(hum, 32000, 0, hum.length / 32000)) - referenceDb!).toBeCloseTo(-25, 1);
  });

  it('of a thump begins at the contact, grows, and stands at the level asked', () => {
    const hand = {
      contact: 'thump',
      contactLevelDb: -36,
      contactLevelSdDb: 0,
      inaudibleShare: { slow: 0 },
      twoStageShare: 0,
    } as const;
    const { samples, truth } = makePractice(dryPlan(60, [{ kind: 'slow', strokes: 3, velocity: 0.8 }], { hand }), 6);
    for (const stroke of truth.strokes) {
      const { contactSeconds, onsetSeconds } = stroke;
      expect(level(samples, RATE, contactSeconds! - 0.01, contactSeconds! - 0.001)).toBeLessThan(
        0.1 * level(samples, RATE, contactSeconds! + 0.001, contactSeconds! + 0.02),
      );
      let peak = 0;
      for (let i = Math.ceil(contactSeconds! * RATE); i < onsetSeconds! * RATE; i++)
        peak = Math.max(peak, Math.abs(samples[i]));
      expect(decibels(peak) - stroke.levelDb!).toBeGreaterThan(-41);
      expect(decibels(peak) - stroke.levelDb!).toBeLessThan(-35);
    }
  });

  it('of a click is over in a few milliseconds', () => {
    const hand = { contact: 'click', contactLevelDb: -36, contactLevelSdDb: 0, inaudibleShare: { slow: 0 } } as const;
    const { samples, truth } = makePractice(dryPlan(60, [{ kind: 'slow', strokes: 1 }], { hand }), 6);
    const at = truth.strokes[0].contactSeconds!;
    expect(truth.strokes[0].contactKind).toBe('click');
    expect(decibels(level(samples, RATE, at, at + 0.004) / level(samples, RATE, at + 0.02, at + 0.03))).toBeGreaterThan(
      30,
    );
    expect(level(samples, RATE, at - 0.004, at)).toBe(0);
  });

  it('reverberates for the time asked', () => {
    const room = { reverberationSeconds: 0.8, reverberationDb: 0, highPassHertz: 0 };
    const plan = dryPlan(102, [{ kind: 'slow', strokes: 1 }]);
    const seed = 8;
    const wet = makePractice({ ...plan, room }, seed);
    const dry = makePractice(plan, seed);
    const tail = wet.samples.map((value, i) => value - dry.samples[i]);
    expect(level(tail, RATE, 0, 1)).toBe(0);
    const onset = wet.truth.strokes[0].onsetSeconds!;
    expect(level(tail, RATE, onset + 0.1, onset + 0.2)).toBeGreaterThan(0);
  });
});
