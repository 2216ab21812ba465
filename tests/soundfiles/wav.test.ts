import { describe, expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/index.ts';
import { chunk, formatChunk, joined, latin, number, refused, riff, wholeStrokes } from './material.ts';
import type { FormatFields } from './material.ts';

const FRAMES = 500;
const PCM_TAIL = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

/** Interleaved whole numbers of two channels. */
const interleaved = (bits: number, littleEndian = true) => {
  const [left, right] = [0, 1].map((channel) => wholeStrokes(FRAMES, channel, bits, 200));
  const offset = bits === 8 ? 128 : 0;
  return joined(
    ...Array.from(left).flatMap((value, i) => [
      number((value + offset + 2 ** bits) % 2 ** bits, bits / 8, littleEndian),
      number((right[i] + offset + 2 ** bits) % 2 ** bits, bits / 8, littleEndian),
    ]),
  );
};
const floats = (values: readonly number[], bits: 32 | 64) => {
  const view = new DataView(new ArrayBuffer((values.length * bits) / 8));
  values.forEach((value, i) =>
    bits === 32 ? view.setFloat32(4 * i, value, true) : view.setFloat64(8 * i, value, true),
  );
  return new Uint8Array(view.buffer);
};
const extensible = (validBits: number, guid: readonly number[]) =>
  joined(number(22, 2), number(validBits, 2), number(3, 4), guid);
const wav = (fields: FormatFields, data: Uint8Array, size?: number) =>
  riff([formatChunk(fields), chunk('data', data, size)]);

describe('WAV', () => {
  it.each([8, 16, 24, 32])('reads %i-bit whole numbers, divided by 2^(b-1)', async (bits) => {
    const sound = await readSound(wav({ channels: 2, bits }, interleaved(bits)));
    expect(sound.sampleRate).toBe(48_000);
    for (const channel of [0, 1]) {
      const expected = Float32Array.from(wholeStrokes(FRAMES, channel, bits, 200), (value) => value / 2 ** (bits - 1));
      expect(sound.channels[channel]).toEqual(expected);
    }
    expect(Math.max(...sound.channels[0])).toBeGreaterThan(0.5);
  });

  it('scales the ends of the range alike at every depth', async () => {
    for (const bits of [8, 16, 24, 32]) {
      const lowest = bits === 8 ? 0 : 2 ** (bits - 1);
      const { channels } = await readSound(wav({ bits }, joined(number(lowest, bits / 8), number(lowest, bits / 8))));
      expect(Array.from(channels[0])).toEqual([-1, -1]);
    }
  });

  it('reads 32 and 64-bit floats as they stand, beyond 1 as well', async () => {
    for (const bits of [32, 64] as const) {
      const { channels } = await readSound(wav({ tag: 3, bits }, floats([0.5, -0.25, 1.5, 0], bits)));
      expect(Array.from(channels[0])).toEqual([0.5, -0.25, 1.5, 0]);
    }
  });

  it('reads extensible headers of PCM and float, with fewer valid bits too', async () => {
    const fields = { tag: 0xfffe, channels: 2, bits: 24, extra: extensible(20, [1, 0, ...PCM_TAIL]) };
    const sound = await readSound(wav(fields, interleaved(24)));
    expect(sound).toEqual(await readSound(wav({ channels: 2, bits: 24 }, interleaved(24))));
    const float = { tag: 0xfffe, bits: 32, extra: extensible(32, [3, 0, ...PCM_TAIL]) };
    expect((await readSound(wav(float, floats([0.5], 32)))).channels[0][0]).toBe(0.5);
  });

  it('reads big-endian RIFX', async () => {
    const fields = { channels: 2, bits: 24, littleEndian: false };
    const data = interleaved(24, false);
    const file = riff([formatChunk(fields), chunk('data', data, data.length, false)], 'RIFX');
    expect(await readSound(file)).toEqual(await readSound(wav({ channels: 2, bits: 24 }, interleaved(24))));
  });

  it('reads RF64, whose data size stands in ds64', async () => {
    const data = interleaved(16);
    const sizes = joined(number(0, 8), number(data.length, 8), number(FRAMES, 8), number(0, 4));
    const chunks = [
      chunk('ds64', sizes),
      formatChunk({ channels: 2 }),
      chunk('data', data, 0xffff_ffff),
      chunk('LIST', [1, 2]),
    ];
    const expected = await readSound(wav({ channels: 2 }, data));
    expect(await readSound(riff(chunks, 'RF64'))).toEqual(expected);
    expect(await readSound(riff(chunks, 'BW64'))).toEqual(expected);
  });

  it('passes over unknown chunks, of odd length too, padded or not', async () => {
    const data = interleaved(16);
    const expected = await readSound(wav({ channels: 2 }, data));
    const odd = chunk('note', latin('odd'));
    expect(await readSound(riff([odd, formatChunk({ channels: 2 }), odd, chunk('data', data), odd]))).toEqual(expected);
    const unpadded = odd.subarray(0, odd.length - 1);
    expect(await readSound(riff([unpadded, formatChunk({ channels: 2 }), chunk('data', data)]))).toEqual(expected);
  });

  it.each([0, 0x7fff_f000, 0x7fff_ffff, 0xffff_ffff])(
    'reads what is there where a streaming writer left the size %i',
    async (size) => {
      const data = interleaved(16);
      const expected = await readSound(wav({ channels: 2 }, data));
      expect(await readSound(wav({ channels: 2 }, data, size))).toEqual(expected);
      // Broken off within a frame: the incomplete frame is left out.
      const short = await readSound(wav({ channels: 2 }, data.subarray(0, data.length - 2), size));
      expect(short.channels[1]).toEqual(expected.channels[1].subarray(0, FRAMES - 1));
    },
  );

  it('does not take a note behind an empty recording for sound', async () => {
    const chunks = [formatChunk(), chunk('data', []), chunk('LIST', latin('INFO of an empty recording'))];
    await refused(riff(chunks), 'empty', /without any samples/);
    await refused(riff([formatChunk(), chunk('data', [])]), 'empty', /without any samples/);
    await refused(riff([formatChunk(), chunk('data', [7])]), 'empty', /without any samples/);
  });

  it('names the seconds found and announced where sound is missing', async () => {
    const data = new Uint8Array(2 * 48_000);
    await refused(wav({}, data, 5 * 96_000), 'truncated', /1\.000 s of sound where the header announces 5\.000 s/);
    await refused(wav({}, data).subarray(0, 44 + 48_000), 'truncated', /0\.500 s of sound .* 1\.000 s/);
  });

  it('refuses files that end before the sound', async () => {
    await refused(riff([]).subarray(0, 8), 'truncated', /only 8 bytes/);
    await refused(riff([formatChunk()]), 'truncated', /before any sound.*"data"/);
    await refused(
      riff([formatChunk()]).subarray(0, 30),
      'truncated',
      /breaks off in chunk "fmt " \(16 bytes announced, 10/,
    );
    await refused(
      riff([formatChunk(), chunk('LIST', [1, 2, 3, 4], 400)]),
      'truncated',
      /chunk "LIST" \(400 .*, 4 there/,
    );
  });

  it('refuses headers that cannot be, each by name', async () => {
    const data = new Uint8Array(48);
    await refused(riff([chunk('data', data), formatChunk()]), 'bad-header', /before any format/);
    await refused(riff([chunk('fmt ', [1, 0, 1, 0]), chunk('data', data)]), 'bad-header', /"fmt " chunk of 4 bytes/);
    await refused(wav({ channels: 0 }, data), 'bad-header', /0 channels/);
    await refused(wav({ channels: 65 }, data), 'bad-header', /65 channels/);
    await refused(wav({ frameBytes: 3 }, data), 'bad-header', /frames of 3 bytes; expected 2 bytes/);
    await refused(wav({ tag: 0xfffe }, data), 'bad-header', /extensible "fmt " chunk of 16 bytes/);
    const tooValid = { tag: 0xfffe, extra: extensible(17, [1, 0, ...PCM_TAIL]) };
    await refused(wav(tooValid, data), 'bad-header', /17 valid bits in samples of 16/);
  });

  it.each([0, 1, 7_999, 96_001, 192_000, 0xffff_ffff])('refuses a rate of %i Hz', async (rate) => {
    await refused(wav({ rate }, new Uint8Array(48)), 'bad-rate', new RegExp(`${rate} Hz; expected 8000 to 96000 Hz`));
  });

  it.each([8_000, 11_025, 96_000])('accepts a rate of %i Hz', async (rate) => {
    expect((await readSound(wav({ rate }, new Uint8Array(48)))).sampleRate).toBe(rate);
  });

  it.each([
    [0x02, /Microsoft ADPCM/],
    [0x06, /A-law/],
    [0x07, /µ-law/],
    [0x11, /IMA ADPCM/],
    [0x55, /MP3/],
    [0x1234, /format 0x1234/],
  ])('refuses compressed content %i by name', async (tag, name) => {
    await refused(wav({ tag }, new Uint8Array(48)), 'unsupported', name);
  });

  it.each([
    [1, 4],
    [1, 12],
    [1, 64],
    [3, 16],
    [3, 24],
  ])('refuses format %i with %i bits', async (tag, bits) => {
    await refused(wav({ tag, bits }, new Uint8Array(48)), 'unsupported', new RegExp(`${bits}-bit`));
  });

  it('refuses foreign sub-formats, and compressed ones by name', async () => {
    const foreign = { tag: 0xfffe, extra: extensible(16, [1, 0, ...PCM_TAIL.slice(0, -1), 0x72]) };
    await refused(wav(foreign, new Uint8Array(48)), 'unsupported', /sub-format 0100.*72/);
    const law = { tag: 0xfffe, extra: extensible(16, [6, 0, ...PCM_TAIL]) };
    await refused(wav(law, new Uint8Array(48)), 'unsupported', /A-law/);
  });

  it.each([NaN, Infinity, -Infinity])('names channel and time of the first sample that is %d', async (wrong) => {
    const values = Array<number>(2 * 48_000).fill(0.1);
    values[2 * 12_000 + 1] = wrong;
    values[2 * 36_000] = NaN;
    await refused(wav({ tag: 3, channels: 2, bits: 32 }, floats(values, 32)), 'not-finite', /channel 2 at 0\.250 s/);
  });

  it('refuses finite samples that cannot be sound', async () => {
    await refused(wav({ tag: 3, bits: 32 }, floats([0, 1e30], 32)), 'damaged', /1\.0*\d*e\+30 in channel 1/);
    // Beyond the range of 32-bit floats.
    await refused(wav({ tag: 3, bits: 64 }, floats([0, 1e300], 64)), 'not-finite', /Infinity/);
  });

  it('reads a view into a larger buffer', async () => {
    const file = wav({ channels: 2 }, interleaved(16));
    const shifted = joined([9, 9, 9], file, [9]).subarray(3, 3 + file.length);
    expect(await readSound(shifted)).toEqual(await readSound(file));
  });
});
