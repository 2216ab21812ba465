import { describe, expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/index.ts';
import { opusPacketLength } from '../../src/soundfiles/opusPackets.ts';
import { lagOf } from './lossyMeasures.ts';
import { RECIPES, originalChannels } from './lossyMaterial.ts';
import { expectSame, fixture, joined, latin, number, oggPage, placesOf, refused, sealPage } from './material.ts';

const HEADER_AT = 28;
const mono = () => fixture('opusenc.opus');

/** A copy with bytes on one page written over, under a true checksum. */
const changed = (bytes: Uint8Array, page: number, at: number, values: ArrayLike<number>) => {
  const copy = bytes.slice();
  const start = placesOf(copy, 'OggS').at(page)!;
  copy.set(values, start + at);
  return sealPage(copy, start);
};

const granuleOf = (bytes: Uint8Array, page: number) =>
  new DataView(bytes.buffer).getBigInt64(placesOf(bytes, 'OggS').at(page)! + 6, true);

const moved = (bytes: Uint8Array, page: number, by: number) => {
  const position = new Uint8Array(8);
  new DataView(position.buffer).setBigInt64(0, granuleOf(bytes, page) + BigInt(by), true);
  return changed(bytes, page, 6, position);
};

/** An Opus header of mapping family 0, unless another tail is given. */
const head = (channels: number, tail: readonly number[] = [0], version = 1) =>
  joined(latin('OpusHead'), [version, channels], number(312, 2), number(48_000, 4), number(0, 2), tail);

describe('Ogg Opus', () => {
  it.each(['opusenc.opus', 'opusenc-stereo.opus'])(
    'reads %s as long as it was before, at the very time',
    async (file) => {
      const before = originalChannels(RECIPES[file]);
      const { sampleRate, channels, lossy } = await readSound(fixture(file));
      expect({ sampleRate, lossy }).toEqual({ sampleRate: 48_000, lossy: { codec: 'Opus', startKnown: true } });
      expect(channels.map(({ length }) => length)).toEqual(before.map(({ length }) => length));
      channels.forEach((samples, i) => {
        const { lag, likeness } = lagOf(samples, before[i]);
        expect({ file, channel: i, lag }).toEqual({ file, channel: i, lag: 0 });
        expect(likeness).toBeGreaterThan(0.99);
      });
    },
  );

  it('cuts the end as the last position says, and the start by the pre-skip', async () => {
    const bytes = mono();
    const whole = (await readSound(bytes)).channels[0];
    expectSame((await readSound(moved(bytes, -1, -100))).channels[0], whole.subarray(0, whole.length - 100));
    const preSkip = bytes[HEADER_AT + 10] + 256 * bytes[HEADER_AT + 11];
    expect(preSkip).toBeGreaterThan(0);
    const later = changed(bytes, 0, HEADER_AT + 10, number(preSkip + 50, 2));
    expectSame((await readSound(later)).channels[0], whole.subarray(50));
    // A stream joined midway: all positions an hour on.
    let midway = bytes;
    for (let page = 2; page < placesOf(bytes, 'OggS').length; page++) midway = moved(midway, page, 172_800_000);
    expectSame((await readSound(midway)).channels[0], whole);
  });

  it('applies the gain of the header', async () => {
    const bytes = mono();
    const [whole] = (await readSound(bytes)).channels;
    const [louder] = (await readSound(changed(bytes, 0, HEADER_AT + 16, number(6 * 256, 2)))).channels;
    expectSame(
      louder,
      whole.map((sample) => 10 ** (6 / 20) * sample),
    );
  });

  it('refuses positions that do not agree with the packets', async () => {
    const bytes = mono();
    expect(placesOf(bytes, 'OggS').length).toBeGreaterThan(5);
    await refused(moved(bytes, -3, 480), 'damaged', /position \d+ on page \d+ after \d+ frames: sound is missing/);
    await refused(moved(bytes, -3, -480), 'damaged', /sound is missing/);
    await refused(moved(bytes, 2, -960), 'damaged', /sound is missing/);
    await refused(moved(bytes, -1, 48_000), 'damaged', /sound is missing/);
    await refused(moved(bytes, -1, -48_000), 'damaged', /lies before the page before it/);
  });

  it('says truncated, with the seconds found, wherever the file is cut', async () => {
    const bytes = mono();
    for (const share of [0.2, 0.5, 0.9, 0.9999]) {
      await refused(bytes.subarray(0, Math.floor(share * bytes.length)), 'truncated', /after \d\.\d{3} s of sound/);
    }
    await refused(
      bytes.subarray(0, placesOf(bytes, 'OggS').at(-1)),
      'truncated',
      /page that ends the stream is missing/,
    );
  });

  it('notices one bit turned anywhere, a page left out, a second stream', async () => {
    const bytes = mono();
    for (let at = 0; at < bytes.length; at += 101) {
      const copy = bytes.slice();
      copy[at] ^= 4;
      const error = await readSound(copy).catch((reason: unknown) => reason);
      expect(error, `byte ${at}`).toMatchObject({ name: 'SoundFileError' });
    }
    const pages = placesOf(bytes, 'OggS');
    const without = joined(bytes.subarray(0, pages[2]), bytes.subarray(pages[3]));
    await refused(without, 'damaged', /page 2 of the stream is missing/);
    await refused(joined(bytes, bytes), 'unsupported', /several streams/);
  });

  it('refuses packets whose parts do not add up: the decoder would make up their sound', async () => {
    const bytes = mono();
    const page = placesOf(bytes, 'OggS')[2];
    const firstPacket = 27 + bytes[page + 26];
    // Two frames of equal size (code 1) in an odd number of bytes, or 63 frames: neither can be.
    const odd = bytes[page + 27] % 2 === 0 ? 3 : 1;
    const broken = changed(bytes, 2, firstPacket, [(bytes[page + firstPacket] & 0xfc) | odd, 63]);
    await refused(broken, 'damaged', /after 0\.\d{3} s of sound, an Opus packet whose parts do not add up/);
  });

  // Packets written out by RFC 6716, section 3.2: the first five bits name the kind, the last two the number of frames.
  it.each([
    ['one frame of 20 ms', [0xf8, 1, 2], 960],
    ['one frame of 60 ms, narrow band', [0x18, 1], 2880],
    ['one frame of 2.5 ms', [0xe0, 1], 120],
    ['two equal frames', [0xf9, 1, 2], 1920],
    ['two equal frames in an odd number of bytes', [0xf9, 1, 2, 3], null],
    ['two frames, the first of one byte', [0xfa, 1, 1, 2], 1920],
    ['two frames, the first longer than the packet', [0xfa, 9, 1, 2], null],
    ['three frames of fixed size', [0xfb, 3, 1, 2, 3], 2880],
    ['three frames in four bytes', [0xfb, 3, 1, 2, 3, 4], null],
    ['three frames with two bytes of padding', [0xfb, 0x43, 2, 1, 2, 3, 0, 0], 2880],
    ['padding longer than the packet', [0xfb, 0x43, 20, 1, 2, 3], null],
    ['no frames', [0xfb, 0, 1], null],
    ['seven frames of 20 ms: more than 120 ms', [0xfb, 7, 1, 2, 3, 4, 5, 6, 7], null],
    ['no bytes', [], null],
  ])('counts %s', (_, packet, length) => {
    expect(opusPacketLength(Uint8Array.from(packet), 1)).toBe(length);
  });

  it('refuses headers that cannot be', async () => {
    const only = (packet: Uint8Array) => oggPage([packet], 2 | 4, 0n, 7, 0);
    await refused(only(head(1).subarray(0, 12)), 'bad-header', /an Opus header of 12 bytes/);
    await refused(only(head(0)), 'bad-header', /0 channels/);
    await refused(only(head(3)), 'bad-header', /3 channels/);
    await refused(only(head(1, [0], 16)), 'unsupported', /version 1/);
    await refused(only(head(4, [255, 4, 0, 0, 1, 2, 3])), 'unsupported', /mapping family 255/);
    await refused(only(head(2, [1, 1, 0, 0, 1])), 'bad-header', /1 streams, 0 of them coupled, for 2 channels/);
    await refused(only(head(1)), 'bad-header', /no comment header/);
    const words = joined(oggPage([head(1)], 2, 0n, 7, 0), oggPage([latin('something')], 4, 0n, 7, 1));
    await refused(words, 'bad-header', /no comment header/);
    const silent = joined(oggPage([head(1)], 2, 0n, 7, 0), oggPage([latin('OpusTags')], 4, 0n, 7, 1));
    await refused(silent, 'empty', /without sound/);
  });
});
