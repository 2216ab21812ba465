import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readSound, writeWav } from '../../src/soundfiles/index.ts';
import { strokes } from './material.ts';

const STEPS = { int16: 2 ** 15, int24: 2 ** 23 } as const;

describe('writeWav', () => {
  it('keeps whole numbers of their own depth, and floats, bit for bit', async () => {
    for (const count of [1, 2, 3, 6]) {
      const make = (bits: number) => Array.from({ length: count }, (_, channel) => strokes(777, channel, bits, 300));
      for (const [format, bits] of [
        ['int16', 16],
        ['int24', 24],
        ['float32', 24],
      ] as const) {
        const sound = await readSound(writeWav(make(bits), 44_100, format));
        expect(sound).toEqual({ sampleRate: 44_100, channels: make(bits), lossy: null });
      }
    }
  });

  it('rounds to the nearest step and clamps, whatever the samples', async () => {
    const sample = fc.float({ noNaN: true, min: -4, max: 4 });
    const input = fc.record({
      samples: fc.array(sample, { minLength: 1, maxLength: 40 }),
      format: fc.constantFrom('int16' as const, 'int24' as const),
      sampleRate: fc.integer({ min: 8_000, max: 96_000 }),
    });
    await fc.assert(
      fc.asyncProperty(input, async ({ samples, format, sampleRate }) => {
        const sound = await readSound(writeWav([Float32Array.from(samples)], sampleRate, format));
        const full = STEPS[format];
        expect(sound.sampleRate).toBe(sampleRate);
        sound.channels[0].forEach((read, i) => {
          const within = Math.max(-1, Math.min((full - 1) / full, samples[i]));
          expect(Math.abs(read - within)).toBeLessThanOrEqual(0.5 / full);
        });
      }),
      { seed: 1, numRuns: 200 },
    );
  });

  it('keeps any finite float', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.float32Array({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9, minLength: 1 }),
        async (samples) => {
          expect((await readSound(writeWav([samples], 48_000, 'float32'))).channels[0]).toEqual(samples);
        },
      ),
      { seed: 2, numRuns: 100 },
    );
  });

  it('writes the header that others expect', () => {
    const bytes = writeWav([Float32Array.of(0, 0.5, -1)], 48_000, 'int16');
    // Worked by hand: RIFF, 42 bytes follow, fmt of 16: PCM, 1 channel, 48000, 96000 bytes a second, 2, 16 bits.
    const header =
      '52494646 2a000000 57415645 666d7420 10000000 0100 0100 80bb0000 00770100 0200 1000 64617461 06000000';
    const hex = Buffer.from(bytes).toString('hex');
    expect(hex).toBe(`${header.replaceAll(' ', '')}000000400080`);
    // An odd number of data bytes is padded, and the padding counts in the file's size, not in the chunk's.
    const odd = writeWav([Float32Array.of(0)], 48_000, 'int24');
    expect(odd.length % 2).toBe(0);
    expect(new DataView(odd.buffer).getUint32(4, true)).toBe(odd.length - 8);
    expect(new DataView(odd.buffer).getUint32(odd.length - 8, true)).toBe(3);
  });

  it('refuses what is no recording', () => {
    const one = Float32Array.of(0);
    expect(() => writeWav([], 48_000, 'int16')).toThrow(/0 channels/);
    expect(() => writeWav([one, new Float32Array(2)], 48_000, 'int16')).toThrow(/channel 2 has 2 samples; expected 1/);
    expect(() => writeWav([Float32Array.of(0, NaN)], 48_000, 'int16')).toThrow(/sample 1 of channel 1 is NaN/);
    for (const rate of [0, 44_100.5, 7_999, 192_000, NaN]) {
      expect(() => writeWav([one], rate, 'int16')).toThrow(new RegExp(`${rate} Hz; expected whole hertz`));
    }
  });
});
