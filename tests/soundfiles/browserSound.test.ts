import { describe, expect, it } from 'vitest';
import { browserSound, cutBrowserSound, lossyWords, readSound } from '../../src/soundfiles/index.ts';
import { RECIPES } from './lossyMaterial.ts';
import { fixture, joined, latin, placesOf, refused } from './material.ts';

const M4A = 'lavf.m4a';
const length = Math.round(1.4 * RECIPES[M4A].sampleRate);
/** Silence that the encoder put in front: one block of AAC (a value from memory). */
const PRIMING = 1024;

const ramp = (frames: number) => Float32Array.from({ length: frames }, (_, i) => i / 2 ** 20);

describe('sound for the browser’s decoder', () => {
  it('is refused by name here', async () => {
    await refused(fixture(M4A), 'unsupported', /^an M4A file with AAC sound; expected/);
  });

  it('has its rate, codec and edit read from the boxes of an M4A file', () => {
    expect(browserSound(fixture(M4A))).toMatchObject({
      sampleRate: 44_100,
      codec: 'AAC',
      track: { coding: 'mp4a', objectType: 0x40, heard: { skipped: PRIMING, length } },
    });
  });

  it('is cut by the edit where a decoder left the encoder’s silence in, and left alone where it did not', () => {
    const sound = browserSound(fixture(M4A))!;
    const asMeant = cutBrowserSound(sound, [ramp(length)]);
    expect(asMeant.lossy).toEqual({ codec: 'AAC', startKnown: true });
    expect(asMeant.channels[0]).toHaveLength(length);
    for (const behind of [0, 800]) {
      const cut = cutBrowserSound(sound, [ramp(sound.track!.frames! + behind)]);
      expect(cut.lossy).toEqual({ codec: 'AAC', startKnown: true });
      expect(cut.channels[0]).toEqual(ramp(PRIMING + length).subarray(PRIMING));
    }
    // Neither length: nothing is known, and nothing is cut.
    for (const frames of [length - 5000, length + 500, length + 9000]) {
      const unknown = cutBrowserSound(sound, [ramp(frames)]);
      expect(unknown.lossy).toEqual({ codec: 'AAC', startKnown: false });
      expect(unknown.channels[0]).toHaveLength(frames);
    }
  });

  it('has no known start where the file holds no edit', () => {
    const bytes = fixture(M4A).slice();
    bytes.set(latin('free'), placesOf(bytes, 'edts')[0]);
    const sound = browserSound(bytes)!;
    expect(sound.track).toMatchObject({ heard: null });
    expect(cutBrowserSound(sound, [ramp(length)]).lossy).toEqual({ codec: 'AAC', startKnown: false });
  });

  it('is told without losing one’s way in boxes that are cut or damaged', () => {
    const bytes = fixture(M4A);
    const moov = placesOf(bytes, 'moov')[0] - 4;
    for (let at = 12; at < bytes.length; at += 61) {
      const named = browserSound(bytes.subarray(0, at))?.name;
      expect(named).toMatch(/^an M4A file (with AAC sound|without a readable sound track)$/);
    }
    for (let at = moov; at < bytes.length; at++) {
      const copy = bytes.slice();
      copy[at] ^= 0x81;
      expect(browserSound(copy)?.name).toMatch(/^an M4A file with/);
    }
  });

  it.each([
    ['ADTS', [0xff, 0xf1, 0x50, 0x80], 44_100, 'AAC'],
    ['WebM with Opus', joined([0x1a, 0x45, 0xdf, 0xa3], latin('....webm......A_OPUS')), 48_000, 'Opus'],
    ['WebM with PCM', joined([0x1a, 0x45, 0xdf, 0xa3], latin('....A_PCM/INT/LIT')), 48_000, null],
    ['Matroska of an unknown kind', [0x1a, 0x45, 0xdf, 0xa3], 48_000, 'an unknown codec'],
  ])('is recognised: %s', (_, beginning, sampleRate, codec) => {
    const sound = browserSound(joined(beginning, new Uint8Array(100)));
    expect(sound).toMatchObject({ sampleRate, codec });
    const { lossy } = cutBrowserSound(sound!, [ramp(100)]);
    expect(lossy).toEqual(codec && { codec, startKnown: false });
  });

  it('is nothing that is read here', () => {
    for (const file of ['lame.mp3', 'opusenc.opus', 'strokes16.flac']) expect(browserSound(fixture(file))).toBeNull();
  });
});

describe('words on compression', () => {
  it('name the codec, and an unknown start where there is one', async () => {
    expect(lossyWords(await readSound(fixture('strokes16.flac')))).toBeNull();
    const known = lossyWords(await readSound(fixture('lame.mp3')));
    expect(known).toMatch(/compressed with MP3: faint contacts may be hidden, and pre-echo imitates them\. Record as/);
    expect(lossyWords(await readSound(fixture('lame-untagged.mp3')))).toMatch(/put in front is not known/);
  });
});
