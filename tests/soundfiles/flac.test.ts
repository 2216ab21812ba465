import { describe, expect, it } from 'vitest';
import { readSound, writeWav } from '../../src/soundfiles/index.ts';
import { fixture, joined, latin, number, refused, strokes } from './material.ts';

const STREAM_INFO = 8;
const both = () => [strokes(4000, 0, 16), strokes(4000, 1, 16)];

/** A copy with bytes written over. */
const changed = (bytes: Uint8Array, at: number, values: readonly number[]) => {
  const copy = bytes.slice();
  copy.set(values, at);
  return copy;
};

describe('FLAC', () => {
  it('decodes 16 and 24 bits to the very samples, as a WAV file of them reads', async () => {
    const sound = await readSound(fixture('strokes16.flac'));
    expect(sound).toEqual({ sampleRate: 16_000, channels: both(), lossy: null });
    expect(sound).toEqual(await readSound(writeWav(both(), 16_000, 'int16')));
    expect(await readSound(fixture('strokes24.flac'))).toEqual({
      sampleRate: 48_000,
      channels: [strokes(2000, 0, 24, 500)],
      lossy: null,
    });
  });

  it('reads behind an ID3 tag and before ID3v1 and APE tags', async () => {
    const file = fixture('strokes24.flac');
    const id3 = joined(latin('ID3'), [4, 0, 0, 0, 0, 1, 2], new Uint8Array(130));
    const ape = joined(
      latin('APETAGEX'),
      number(2000, 4),
      number(32, 4),
      number(0, 4),
      number(0, 4),
      new Uint8Array(8),
    );
    const expected = await readSound(file);
    expect(await readSound(joined(id3, file))).toEqual(expected);
    expect(await readSound(joined(file, latin('TAG'), new Uint8Array(125)))).toEqual(expected);
    expect(await readSound(joined(file, ape))).toEqual(expected);
  });

  it('reads a stream whose writer did not know its length', async () => {
    const file = fixture('strokes16.flac');
    const unknown = changed(file, STREAM_INFO + 14, [0, 0, 0, 0]);
    expect(await readSound(unknown)).toEqual(await readSound(file));
  });

  it('names the seconds found and announced in a file cut short, wherever it is cut', async () => {
    const file = fixture('strokes16.flac');
    for (const share of [0.02, 0.3, 0.5, 0.9, 0.999]) {
      const cut = file.subarray(0, Math.floor(share * file.length));
      await refused(cut, 'truncated', /(\d\.\d{3} s of sound.*0\.250 s|breaks off in its header)/);
    }
    await refused(file.subarray(0, 30), 'truncated', /breaks off in its header, after 30 bytes/);
    // All frames whole, but more announced: 8000 instead of 4000.
    const more = changed(file, STREAM_INFO + 16, [0x1f, 0x40]);
    await refused(more, 'truncated', /0\.250 s of sound; expected a whole FLAC file of 0\.500 s/);
    const fewer = changed(file, STREAM_INFO + 16, [0x07, 0xd0]);
    await refused(fewer, 'damaged', /0\.250 s of sound; expected a whole FLAC file of 0\.125 s/);
  });

  it('notices one bit turned anywhere in the sound, and a frame left out', async () => {
    const file = fixture('strokes16.flac');
    const frames = framesOf(file);
    for (let at = frames[0]; at < frames.at(-1)!; at += 97) {
      await refused(changed(file, at, [file[at] ^ 0x10]), 'damaged', /after \d\.\d{3} s of sound/);
    }
    const without = joined(file.subarray(0, frames[2]), file.subarray(frames[3]));
    await refused(
      without,
      'damaged',
      /after 0\.072 s of sound, FLAC frame 3 .* is numbered 3, so that sound is missing/,
    );
    const last = frames.at(-1)!;
    await refused(changed(file, last + 20, [file[last + 20] ^ 1]), 'truncated', /breaks off or is damaged/);
  });

  it('refuses headers that cannot be', async () => {
    const file = fixture('strokes16.flac');
    await refused(changed(file, 4, [1]), 'bad-header', /type 1, 34 bytes; expected STREAMINFO/);
    await refused(changed(file, 7, [33]), 'bad-header', /33 bytes/);
    const rate = (hertz: number) => changed(file, STREAM_INFO + 10, [hertz >> 12, (hertz >> 4) & 255]);
    await refused(rate(192_000), 'bad-rate', /192000 Hz/);
    await refused(rate(0), 'bad-rate', /0 Hz/);
    // Bits of a sample, less one: the lowest bit of byte 12 and the upper half of byte 13.
    const bits = (count: number) =>
      changed(file, STREAM_INFO + 12, [
        (file[20] & 0xfe) | ((count - 1) >> 4),
        (file[21] & 15) | (((count - 1) & 15) << 4),
      ]);
    expect(bits(16)).toEqual(file);
    await refused(bits(32), 'unsupported', /32-bit samples; expected at most 24/);
    await refused(bits(3), 'bad-header', /3-bit/);
    await refused(bits(24), 'damaged', /no sound header/);
  });

  it('refuses a stream without frames', async () => {
    const file = fixture('strokes16.flac');
    const frames = framesOf(file);
    const none = changed(file.subarray(0, frames[0]), STREAM_INFO + 14, [0, 0, 0, 0]);
    await refused(none, 'empty', /without any samples/);
  });
});

/** Where the frames begin: fixed block size, so that each has the same first four bytes and counts up in the fifth. */
function framesOf(file: Uint8Array): number[] {
  const frames: number[] = [];
  for (let at = 42; at < file.length; at++) {
    if (file[at] === 0xff && file[at + 1] === 0xf8 && file[at + 4] === frames.length) frames.push(at);
  }
  expect(frames).toHaveLength(Math.ceil(4000 / 576));
  return frames;
}
