/**
 * Damaged files: each must give finite sound or a refusal, soon, and nothing else. The decoders report to the console
 * what they cannot read; here that is expected, and silenced.
 */

import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { SOUND_ERROR_CODES, SoundFileError, readSound, writeWav } from '../../src/soundfiles/index.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { fixture, packageFile, placesOf, strokes } from './material.ts';
import { DAMAGES, SEALED_DAMAGES } from './mutation.ts';
import type { Damage } from './mutation.ts';

const FILES_IN_ALL = 600;
/** A guard against hanging, far above what any of these files takes (under 30 ms). */
const HANG_SECONDS = 5;

const pair = [strokes(2000, 0, 16), strokes(2000, 1, 16)];
const damages = Object.entries(DAMAGES);
const materials: readonly { name: string; whole: Uint8Array; damages: readonly (readonly [string, Damage])[] }[] = [
  { name: 'WAV, 16 bits', whole: writeWav(pair, 16_000, 'int16'), damages },
  { name: 'WAV, 24 bits, extensible', whole: writeWav(pair, 16_000, 'int24'), damages },
  { name: 'WAV, float', whole: writeWav(pair, 16_000, 'float32'), damages },
  { name: 'FLAC, 16 bits', whole: fixture('strokes16.flac'), damages: sealedToo('flac') },
  { name: 'FLAC, 24 bits', whole: fixture('strokes24.flac'), damages: sealedToo('flac') },
  { name: 'Ogg Vorbis', whole: packageFile('piano-release', 'rel42.ogg'), damages: sealedToo('ogg') },
  { name: 'MP3', whole: fixture('lame.mp3'), damages: sealedToo('mp3') },
  { name: 'MP3, protected, without seal', whole: sealBroken(), damages: sealedToo('mp3') },
  { name: 'MP3, without tag', whole: fixture('lame-untagged.mp3'), damages: sealedToo('mp3') },
  { name: 'Ogg Opus', whole: fixture('opusenc.opus'), damages: sealedToo('ogg') },
];

/** Damage under true checksums is the only kind that comes as far as the decoders: half of all. */
function sealedToo(format: keyof typeof SEALED_DAMAGES) {
  const sealed = ['under a true checksum', SEALED_DAMAGES[format]] as const;
  return damages.flatMap((damage) => [damage, sealed]);
}

/** A tag whose own checksum is wrong is not believed in what it says of the whole stream's. */
function sealBroken(): Uint8Array {
  const bytes = fixture('lame-protected.mp3').slice();
  bytes[placesOf(bytes, 'LAME3.100')[0] + 35] ^= 1;
  return bytes;
}

describe('damaged files', () => {
  const outcomes = new Map<string, number>();
  beforeAll(() => void vi.spyOn(console, 'error').mockImplementation(() => undefined));
  afterAll(() => void vi.restoreAllMocks());

  it.each(materials)('$name: sound or a refusal, and nothing else', async ({ name, whole, damages: kinds }) => {
    await readSound(whole);
    for (let n = 0; n < FILES_IN_ALL / materials.length; n++) {
      const [kind, damage] = kinds[n % kinds.length];
      const label = `${name}, ${kind}, file ${n}`;
      const file = damage(whole, new RandomStream(n, name));
      const before = Buffer.from(file);
      let outcome: string;
      try {
        const { channels, sampleRate } = await within(readSound(file), HANG_SECONDS, label);
        expect(sampleRate, label).toBeGreaterThanOrEqual(8_000);
        expect(channels.length, label).toBeGreaterThan(0);
        for (const samples of channels) {
          expect(samples.length, label).toBe(channels[0].length);
          expect(samples.every(Number.isFinite), label).toBe(true);
        }
        outcome = 'sound';
      } catch (error) {
        if (!(error instanceof SoundFileError)) throw new Error(label, { cause: error });
        expect(SOUND_ERROR_CODES, label).toContain(error.code);
        expect(error.message, label).toMatch(/.+; expected .+/);
        outcome = error.found.includes('cannot be decoded') ? 'refused by the decoder' : error.code;
      }
      expect(Buffer.from(file.buffer).equals(before), `${label}: left as it was`).toBe(true);
      outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
    }
  });

  it('were at least 300, of every sort', () => {
    const total = [...outcomes.values()].reduce((sum, count) => sum + count, 0);
    expect(total).toBeGreaterThanOrEqual(300);
    const hoped = ['sound', 'truncated', 'damaged', 'bad-header', 'bad-rate', 'unsupported', 'not-audio'];
    expect([...outcomes.keys()]).toEqual(expect.arrayContaining([...hoped, 'refused by the decoder']));
  });
});

/** Gives up on a promise that does not settle; what never lets go of the thread is ended by the test runner. */
async function within<T>(promise: Promise<T>, seconds: number, label: string): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${label}: no answer in ${seconds} s`)), seconds * 1000);
  });
  try {
    return await Promise.race([promise, late]);
  } finally {
    clearTimeout(timer);
  }
}
