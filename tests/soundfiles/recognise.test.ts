import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SOUND_ERROR_CODES, SoundFileError, readSound } from '../../src/soundfiles/index.ts';
import { joined, latin, refused, riff } from './material.ts';

const rest = new Uint8Array(400).fill(7);

describe('what a file is', () => {
  it('refuses an empty file', async () => {
    await refused(
      new Uint8Array(0),
      'empty',
      /empty file; expected a WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3 recording/,
    );
  });

  it.each([
    ['an MPEG layer II sound file', [0xff, 0xfd, 0x90, 0x64]],
    ['an AAC sound file', [0xff, 0xf1, 0x50, 0x80]],
    ['an AAC sound file', joined(latin('ID3\x04\0\0\0\0\0\x01'), [0, 0xff, 0xf1, 0x50, 0x80])],
    ['an M4A', latin('\0\0\0\x20ftypM4A \0\0\0\0')],
    ['an MP4 or QuickTime file', latin('\0\0\0\x20ftypisom\0\0\0\0')],
    ['an AIFF sound file', latin('FORM\0\0\x10\0AIFF')],
    ['an AIFF sound file', latin('FORM\0\0\x10\0AIFC')],
    ['a WebM or Matroska file', [0x1a, 0x45, 0xdf, 0xa3]],
    ['a CAF sound file', latin('caff\0\x01\0\0')],
    ['an AU sound file', latin('.snd\0\0\0\x18')],
    ['a WavPack sound file', latin('wvPk')],
    ['an AVI film', riff([], 'RIFF', 'AVI ')],
  ])('names %s, which is not read', async (name, beginning) => {
    await refused(joined(beginning, rest), 'unsupported', new RegExp(name));
  });

  it.each([
    ['a PNG picture', [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]],
    ['a JPEG picture', [0xff, 0xd8, 0xff, 0xe0]],
    ['a ZIP archive', latin('PK\x03\x04')],
    ['a gzip archive', [0x1f, 0x8b, 8]],
    ['a PDF document', latin('%PDF-1.7')],
    ['a MIDI file', latin('MThd\0\0\0\x06')],
    ['a WebP picture', riff([], 'RIFF', 'WEBP')],
    ['a RIFF file of "sfbk"', riff([], 'RIFF', 'sfbk')],
    ['nothing but zero bytes', new Uint8Array(600)],
    ['unknown content beginning with the bytes 01 02 03 04', [1, 2, 3, 4]],
  ])('names %s, which is no sound', async (name, beginning) => {
    await refused(joined(beginning, rest), 'not-audio', new RegExp(name));
  });

  it.each([
    ['<!DOCTYPE html><html><body>Not found</body></html>', /a web page/],
    ['\xef\xbb\xbf<html lang="en"></html>', /a web page/],
    ['<svg xmlns="http://www.w3.org/2000/svg"></svg>', /XML or SVG/],
    ['take notes\n\nC4 hangs a little', /a text beginning "take notes C4 hangs a little"/],
    ['short', /only 5 bytes/],
  ])('names the text %j', async (text, words) => {
    await refused(latin(text), 'not-audio', words);
  });

  it('answers any bytes with a sound or a refusal', async () => {
    const beginning = fc.constantFrom(
      '',
      'RIFF\0\0\0\0WAVE',
      'fLaC\0\0\0\x22',
      'OggS\0\x02',
      'ID3',
      '\xff\xfb',
      'data',
    );
    await fc.assert(
      fc.asyncProperty(beginning, fc.uint8Array({ maxLength: 300 }), async (text, bytes) => {
        const error: unknown = await readSound(joined(latin(text), bytes)).catch((reason: unknown) => reason);
        if (error instanceof Error) expect(error).toBeInstanceOf(SoundFileError);
        if (error instanceof SoundFileError) expect(SOUND_ERROR_CODES).toContain(error.code);
      }),
      { seed: 3, numRuns: 500 },
    );
  });
});
