import { describe, expect, it } from 'vitest';
import { measureChannel, measureCoincidence } from '../../src/soundfiles/channelMeasures.ts';
import { readSound, toMono } from '../../src/soundfiles/index.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { expectSame, packageFile } from './material.ts';

const RATE = 48_000;
const FRAMES = RATE;

/** Four strokes a second: noise that dies away in 30 ms, and a string behind it. */
function struck(seed = 1, late = 0): Float32Array {
  const random = new RandomStream(seed, 'struck');
  const burst = Float32Array.from({ length: FRAMES }, () => random.normal());
  return Float32Array.from({ length: FRAMES }, (_, i) => {
    const since = (i - late + FRAMES) % 12_000;
    const attack = 0.1 * Math.exp(-since / 1_440) * burst[(i - late + FRAMES) % FRAMES];
    return attack + 0.2 * Math.exp(-since / 1_500) * Math.sin((2 * Math.PI * 220 * since) / RATE);
  });
}

function withNoise(samples: Float32Array, level: number, seed: number): Float32Array {
  const random = new RandomStream(seed, 'noise');
  return samples.map((sample) => sample + level * random.normal());
}

const sound = (...channels: Float32Array[]) => ({ sampleRate: RATE, channels });

describe('toMono', () => {
  it('takes the only channel as it is', () => {
    const only = struck();
    const { samples, ...rest } = toMono(sound(only));
    expect(samples).toBe(only);
    expect(rest).toEqual({ how: 'only', channel: 0, reason: 'The recording has one channel.' });
  });

  it('mixes channels that hear the attack together, and gains nearly 3 dB over their noise', () => {
    const clean = struck();
    const noisy = [withNoise(clean, 0.003, 2), withNoise(clean, 0.003, 3)];
    const mono = toMono(sound(...noisy));
    expect([mono.how, mono.channel]).toEqual(['mixed', null]);
    expect(mono.reason).toMatch(/Channels 1, 2 are mixed, because they hear every attack at the same time\./);
    const error = (samples: Float32Array) => Math.sqrt(samples.reduce((sum, x, i) => sum + (x - clean[i]) ** 2, 0));
    expect(error(noisy[0]) / error(mono.samples)).toBeCloseTo(Math.SQRT2, 1);
  });

  it('mixes copies without changing them', () => {
    const copy = struck();
    const mono = toMono(sound(copy, copy.slice()));
    expect(mono.how).toBe('mixed');
    expectSame(mono.samples, copy);
  });

  it('does not mix microphones that stand apart, and says how far', () => {
    const noise = [withNoise(struck(), 0.002, 2), withNoise(struck(1, 24), 0.002, 3)];
    const mono = toMono(sound(...noise));
    expect([mono.how, mono.channel]).toEqual(['chosen', 0]);
    expect(mono.samples).toBe(noise[0]);
    expect(mono.reason).toMatch(/hear the attacks 0\.50 ms apart and would smear them/);
    // The other way round as well.
    expect(toMono(sound(noise[1], noise[0])).reason).toMatch(/0\.50 ms apart/);
  });

  it('does not mix what would cancel, or what differs', () => {
    const one = struck();
    expect(
      toMono(
        sound(
          one,
          one.map((x) => -x),
        ),
      ).reason,
    ).toMatch(/Channel 1 .* opposite polarity and would cancel/);
    expect(toMono(sound(one, struck(9))).reason).toMatch(/differ too much to be mixed \(correlation -?0\.\d\d\)/);
    expect(
      toMono(
        sound(
          one,
          one.map((x) => x / 4),
        ),
      ).reason,
    ).toMatch(/differ in level by more than 6 dB/);
  });

  it('leaves out a silent channel, a constant one and a clipped one', () => {
    const one = struck();
    const louder = withNoise(one, 0.001, 4).map((x) => 4 * x);
    const clipped = louder.map((x) => Math.max(-1, Math.min(1, 2 * x)));
    expect(toMono(sound(new Float32Array(FRAMES), one))).toMatchObject({ how: 'chosen', channel: 1 });
    expect(toMono(sound(new Float32Array(FRAMES).fill(0.25), one)).reason).toBe(
      'Channel 2 is taken, because channel 1 is silent.',
    );
    const mono = toMono(sound(clipped, louder));
    expect(mono).toMatchObject({ how: 'chosen', channel: 1 });
    expect(mono.reason).toMatch(/channel 1 is clipped/);
    // Both clipped: still one of them, or both.
    expect(toMono(sound(clipped, clipped.slice())).how).toBe('mixed');
  });

  it('leaves out a much noisier channel, and mixes the others', () => {
    const one = struck();
    const [quiet, other, loud] = [0.001, 0.001, 0.02].map((level, i) => withNoise(one, level, 5 + i));
    expect(toMono(sound(loud, quiet))).toMatchObject({ how: 'chosen', channel: 1 });
    expect(toMono(sound(loud, quiet)).reason).toMatch(/channel 1 is much noisier/);
    expect(toMono(sound(quiet, loud, other)).reason).toMatch(/Channels 1, 3 are mixed/);
  });

  it('of spaced channels prefers the clearly better one, and the first of equals', () => {
    const better = withNoise(struck(1, 24), 0.001, 6);
    const worse = withNoise(struck(), 0.0015, 7);
    expect(toMono(sound(worse, better)).channel).toBe(1);
    expect(toMono(sound(better, worse)).channel).toBe(0);
    const equal = withNoise(struck(1, 24), 0.00155, 8);
    expect(toMono(sound(worse, equal)).channel).toBe(0);
    expect(toMono(sound(equal, worse)).channel).toBe(0);
  });

  it('does not depend on gain', () => {
    const pair = [withNoise(struck(), 0.002, 2), withNoise(struck(1, 24), 0.002, 3)];
    const { reason } = toMono(sound(...pair));
    for (const gain of [0.01, 0.3, 1.9]) {
      expect(toMono(sound(...pair.map((samples) => samples.map((x) => gain * x)))).reason).toBe(reason);
    }
  });

  it('keeps to an earlier choice', () => {
    const pair = sound(struck(), struck(2));
    expect(toMono(pair, 1)).toMatchObject({ how: 'chosen', channel: 1, reason: 'Channel 2 is taken, as before.' });
    expect(toMono(pair, 1).samples).toBe(pair.channels[1]);
    expect(toMono(pair, null).samples[5]).toBeCloseTo((pair.channels[0][5] + pair.channels[1][5]) / 2, 6);
    for (const wrong of [2, -1, 0.5]) expect(() => toMono(pair, wrong)).toThrow(/expected one of the 2/);
  });

  it('manages silence, single samples and nothing', () => {
    const silent = new Float32Array(FRAMES);
    expect(toMono(sound(silent, silent)).reason).toBe('Channel 1 is taken, because all channels are silent.');
    expect(toMono(sound(Float32Array.of(0.5), Float32Array.of(0.25))).samples).toHaveLength(1);
    expect(() => toMono(sound())).toThrow(/without samples/);
    expect(() => toMono(sound(new Float32Array(0)))).toThrow(/without samples/);
  });

  it('chooses one channel of the real spaced pair', async () => {
    for (const file of ['A0v8.ogg', 'C4v8.ogg', 'C8v8.ogg']) {
      const pair = await readSound(packageFile('piano-velocity8', file));
      const mono = toMono(pair);
      expect(mono.how).toBe('chosen');
      expect(mono.samples).toBe(pair.channels[mono.channel!]);
    }
  });
});

describe('channel measures', () => {
  it('measure level, floor and flat tops', () => {
    const tone = Float32Array.from({ length: FRAMES }, (_, i) => (i < FRAMES / 2 ? 0.5 : 0.0005) * Math.sin(i / 5));
    const measures = measureChannel(tone, RATE);
    expect(measures.peakDb).toBeCloseTo(-6.02, 1);
    expect(measures.levelDb).toBeCloseTo(-9.03, 1);
    expect(measures.overFloorDb).toBeCloseTo(60, 0);
    expect(measures.clippedShare).toBe(0);
    const flat = Float32Array.of(0, 1, 1, 1, 0, -1, -1, 0, 0, 0);
    expect(measureChannel(flat, RATE).clippedShare).toBeCloseTo(0.3, 12);
  });

  it('find the delay of the second channel, with its sign', () => {
    const early = struck();
    for (const late of [0, 1, 24, 96]) {
      const { lag, atLag } = measureCoincidence(early, struck(1, late), RATE);
      expect(lag).toBeCloseTo(late / RATE, 9);
      expect(atLag).toBeGreaterThan(0.9);
    }
    expect(measureCoincidence(struck(1, 24), early, RATE).lag).toBeCloseTo(-24 / RATE, 9);
    expect(measureCoincidence(early, new Float32Array(FRAMES), RATE)).toEqual({ together: 0, lag: 0, atLag: 0 });
  });
});
