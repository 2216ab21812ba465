/**
 * What the lossy fixtures were made of: two practice strokes, made anew from plan and seed for every comparison.
 *
 *   npx tsx tests/soundfiles/lossyMaterial.ts      makes the files again (lame, opusenc and ffmpeg are needed)
 *
 * The recipe of each file stands in `RECIPES`; `fixtures/README.md` lists the versions they were made with.
 */

import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeWav } from '../../src/soundfiles/index.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

/** The original of a fixture: one channel, as long as the file says. */
export function original(sampleRate: number): Float32Array {
  const { samples } = makePractice(
    {
      variant: 'judging',
      sampleRate,
      notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 2, ratePerSecond: 2 }] }],
      leadSeconds: 0.3,
      snrDb: 50,
    },
    7,
  );
  return samples.subarray(0, Math.round(1.4 * sampleRate));
}

interface Recipe {
  readonly sampleRate: number;
  readonly channels: number;
  /** The command, given the WAV file and the file to make. */
  readonly command: (wav: string, to: string) => readonly [string, ...string[]];
}

export const RECIPES: Readonly<Record<string, Recipe>> = {
  'lame.mp3': {
    sampleRate: 44_100,
    channels: 1,
    command: (wav, to) => ['lame', '--quiet', '--cbr', '-b', '96', wav, to],
  },
  // Variable bit rate, joint stereo, a checksum in every frame.
  'lame-protected.mp3': {
    sampleRate: 32_000,
    channels: 2,
    command: (wav, to) => ['lame', '--quiet', '-p', '-V', '5', '-m', 'j', '--add-id3v2', '--tt', 'Strokes', wav, to],
  },
  // MPEG 2, and without the tag that tells delay and padding.
  'lame-untagged.mp3': {
    sampleRate: 22_050,
    channels: 1,
    command: (wav, to) => ['lame', '--quiet', '-t', '--cbr', '-b', '48', wav, to],
  },
  'lavf.mp3': {
    sampleRate: 48_000,
    channels: 1,
    command: (wav, to) => ['ffmpeg', '-v', 'error', '-y', '-i', wav, '-c:a', 'libmp3lame', '-b:a', '80k', to],
  },
  'opusenc.opus': {
    sampleRate: 48_000,
    channels: 1,
    command: (wav, to) => ['opusenc', '--quiet', '--bitrate', '64', '--max-delay', '200', '--serial', '1', wav, to],
  },
  'opusenc-stereo.opus': {
    sampleRate: 48_000,
    channels: 2,
    command: (wav, to) => ['opusenc', '--quiet', '--bitrate', '80', '--framesize', '60', '--serial', '2', wav, to],
  },
  'lavf.m4a': {
    sampleRate: 44_100,
    channels: 1,
    command: (wav, to) => ['ffmpeg', '-v', 'error', '-y', '-i', wav, '-c:a', 'aac', '-b:a', '96k', to],
  },
};

/** The channels that a recipe encodes: the second one is half as loud, and upside down. */
export function originalChannels({ sampleRate, channels }: Recipe): Float32Array[] {
  const first = original(sampleRate);
  return channels === 1 ? [first] : [first, first.map((sample) => -0.5 * sample)];
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-fixtures-'));
  for (const [file, recipe] of Object.entries(RECIPES)) {
    const wav = join(folder, 'original.wav');
    writeFileSync(wav, writeWav(originalChannels(recipe), recipe.sampleRate, 'int16'));
    const [program, ...rest] = recipe.command(wav, fileURLToPath(new URL(`fixtures/${file}`, import.meta.url)));
    execFileSync(program, rest);
  }
  rmSync(folder, { recursive: true });
}
