import { MPEGDecoder } from 'mpg123-decoder';
import { describe, expect, it } from 'vitest';
import { readSound } from '../../src/soundfiles/index.ts';
import { lagOf } from './lossyMeasures.ts';
import { RECIPES, originalChannels } from './lossyMaterial.ts';
import { expectSame, fixture, joined, latin, mp3Bounds, number, placesOf, refused } from './material.ts';

const TAGGED = ['lame.mp3', 'lame-protected.mp3', 'lavf.mp3'];

const changed = (bytes: Uint8Array, at: number, values: ArrayLike<number>) => {
  const copy = bytes.slice();
  copy.set(values, at);
  return copy;
};

const without = (bytes: Uint8Array, from: number, to: number) => joined(bytes.subarray(0, from), bytes.subarray(to));

/** Without the frame that bears the tag, so that nothing tells length or checksum. */
const untagged = (bytes: Uint8Array) => bytes.slice(mp3Bounds(bytes)[1], mp3Bounds(bytes).at(-1));

describe('MP3', () => {
  it.each(TAGGED)('reads %s as long as it was before, at the very time', async (file) => {
    const recipe = RECIPES[file];
    const before = originalChannels(recipe);
    const { sampleRate, channels, lossy } = await readSound(fixture(file));
    expect({ sampleRate, lossy }).toEqual({
      sampleRate: recipe.sampleRate,
      lossy: { codec: 'MP3', startKnown: true },
    });
    expect(channels.map(({ length }) => length)).toEqual(before.map(({ length }) => length));
    channels.forEach((samples, i) => {
      const { lag, likeness } = lagOf(samples, before[i]);
      expect({ file, channel: i, lag }).toEqual({ file, channel: i, lag: 0 });
      expect(likeness).toBeGreaterThan(0.99);
    });
  });

  it.each(TAGGED)('reads %s in pieces as the decoder does in one, and cuts it in the same places', async (file) => {
    // The decoder's own cutting by the tag, which the project leaves aside, and its own walk over the frames.
    const decoder = new MPEGDecoder({ enableGapless: true });
    await decoder.ready;
    const { channelData } = decoder.decode(fixture(file));
    decoder.free();
    const { channels } = await readSound(fixture(file));
    channels.forEach((samples, i) => expectSame(samples, channelData[i]));
  });

  it('says that the start is not known where the encoder left no tag; what remains is its delay of 576 samples', async () => {
    const [before] = originalChannels(RECIPES['lame-untagged.mp3']);
    const { channels, lossy } = await readSound(fixture('lame-untagged.mp3'));
    expect(lossy).toEqual({ codec: 'MP3', startKnown: false });
    // 576: the delay that LAME's own documentation states for it (from memory), here measured as well.
    expect(lagOf(channels[0], before).lag).toBe(576);
  });

  it('moves the sound by what the tag says, and only by that', async () => {
    const bytes = fixture('lame.mp3');
    const whole = (await readSound(bytes)).channels[0];
    const delays = placesOf(bytes, 'LAME3.100')[0] + 21;
    expect((bytes[delays] << 4) | (bytes[delays + 1] >> 4)).toBe(576);
    const later = changed(bytes, delays, [700 >> 4, ((700 & 15) << 4) | (bytes[delays + 1] & 15)]);
    expectSame((await readSound(later)).channels[0], whole.subarray(700 - 576));
  });

  it('passes over tags before and behind the sound', async () => {
    const bytes = fixture('lame.mp3');
    const whole = (await readSound(bytes)).channels[0];
    const id3 = joined(latin('ID3'), [4, 0, 0, 0, 0, 1, 2], new Uint8Array(130).fill(0xff));
    const ape = joined(
      latin('APETAGEX'),
      number(2000, 4),
      number(32, 4),
      number(0, 4),
      number(0, 4),
      new Uint8Array(8),
    );
    const id3v1 = joined(latin('TAG'), new Uint8Array(125));
    for (const tagged of [
      joined(id3, id3, bytes),
      joined(bytes, id3v1),
      joined(bytes, ape, id3v1),
      joined(ape, ape, bytes),
    ]) {
      expectSame((await readSound(tagged)).channels[0], whole);
    }
    await refused(id3, 'truncated', /ends with its tag/);
    await refused(
      joined(id3, latin('no sound here, but words')),
      'damaged',
      /no MP3 frame where the first should begin/,
    );
  });

  it('says truncated, with the seconds found and announced, wherever the file is cut', async () => {
    const bytes = fixture('lame.mp3');
    const bounds = mp3Bounds(bytes);
    for (const cut of [bounds[1], bounds[1] + 2, bounds[5], bounds[9] - 1, bounds[30] + 100, bytes.length - 1]) {
      const words = /^(after )?\d\.\d{3} s of sound.*; expected a whole MP3 file with 1\.4\d\d s of sound$/;
      await refused(bytes.subarray(0, cut), 'truncated', words);
    }
    // Without a tag only a frame that breaks off shows.
    const bare = fixture('lame-untagged.mp3');
    await refused(bare.subarray(0, bare.length - 1), 'truncated', /breaks off: \d+ of its \d+ bytes are there/);
  });

  it('notices any frame left out or doubled, and one bit turned anywhere in the sound', async () => {
    const bytes = fixture('lame.mp3');
    const bounds = mp3Bounds(bytes);
    for (let i = 1; i < bounds.length - 1; i++) {
      const left = await readSound(without(bytes, bounds[i], bounds[i + 1])).catch((error: unknown) => error);
      expect(left, `frame ${i}`).toMatchObject({ code: expect.stringMatching(/damaged|truncated/) });
      const twice = joined(bytes.subarray(0, bounds[i + 1]), bytes.subarray(bounds[i]));
      const more = await readSound(twice).catch((error: unknown) => error);
      expect(more, `frame ${i}`).toMatchObject({ code: 'damaged' });
    }
    for (let at = bounds[1]; at < bytes.length; at += 89) {
      const error = await readSound(changed(bytes, at, [bytes[at] ^ 16])).catch((reason: unknown) => reason);
      expect(error, `byte ${at}`).toMatchObject({ name: 'SoundFileError' });
    }
  });

  it('notices lost sound also without a tag, where a frame leans on what is not there', async () => {
    const bytes = untagged(fixture('lame-protected.mp3'));
    expect((await readSound(bytes)).lossy).toEqual({ codec: 'MP3', startKnown: false });
    const bounds = mp3Bounds(bytes);
    const leaning = bounds.findIndex((at, i) => i > 3 && (bytes[at + 6] << 1) | (bytes[at + 7] >> 7));
    expect(leaning).toBeGreaterThan(3);
    await refused(
      bytes.subarray(bounds[leaning]),
      'damaged',
      /frame 1 .* leans on \d+ bytes .* cut out of a longer one/,
    );
    const holed = without(bytes, bounds[leaning - 1], bounds[leaning]);
    await refused(
      holed,
      'damaged',
      /after 0\.\d{3} s of sound, MP3 frame \d+ .* leans on .* sound is missing before it/,
    );
  });

  it('holds the checksum of protected frames against their side information', async () => {
    const bytes = untagged(fixture('lame-protected.mp3'));
    const bounds = mp3Bounds(bytes);
    expect(bytes[1] & 1, 'protected').toBe(0);
    for (let byte = 4; byte < 38; byte++) {
      const at = bounds[6] + byte;
      await refused(changed(bytes, at, [bytes[at] ^ 2]), 'damaged', /checksum of MP3 frame 7 .* does not agree/);
    }
  });

  it('refuses foreign bytes between frames, and what changes midway, by name', async () => {
    const bytes = fixture('lame.mp3');
    const bounds = mp3Bounds(bytes);
    const torn = joined(bytes.subarray(0, bounds[4]), [1, 2, 3], bytes.subarray(bounds[4]));
    await refused(torn, 'damaged', /after 0\.078 s of sound, no MP3 frame stands where MP3 frame 4/);
    await refused(joined(bytes, bytes), 'unsupported', /second recording begins after 1\.\d{3} s/);
    await refused(joined(bytes, fixture('lavf.mp3')), 'unsupported', /second recording begins after/);
    const bare = fixture('lame-untagged.mp3');
    const faster = joined(bare, untagged(bytes));
    await refused(faster, 'unsupported', /sample rate changes from 22050 to 44100 Hz after 1\.\d{3} s/);
    const fifth = mp3Bounds(bare)[4];
    const stereo = changed(bare, fifth + 3, [bare[fifth + 3] & 0x3f]);
    await refused(stereo, 'unsupported', /changes from 1 to 2 channels after 0\.104 s/);
    await refused(changed(bare, 2, [bare[2] & 15]), 'unsupported', /free bit rate/);
  });

  it('refuses a stream that holds its tag alone, and one that is all silence of its encoder', async () => {
    const bytes = fixture('lame.mp3');
    const bounds = mp3Bounds(bytes);
    const xing = placesOf(bytes, 'Info')[0];
    const alone = changed(bytes.subarray(0, bounds[1]), xing + 8, number(0, 4));
    await refused(alone, 'empty', /without any sound/);
    const two = changed(bytes.subarray(0, bounds[2]), xing + 8, number(1, 4, false));
    await refused(changed(two, placesOf(bytes, 'LAME3.100')[0] + 21, [0xff, 0xff, 0xff]), 'empty', /zero length/);
  });
});
