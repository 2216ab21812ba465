/**
 * Contacts that are said only because a recording went through a lossy codec: what it smears before a loud start may look
 * like a noise before it.
 *
 * Asks `ffmpeg` (a separate program, never shipped with the project) to encode and decode; where it is missing, or an
 * encoder is, {@link codecsPresent} leaves the rows out. Half a second of the codec's own delay would not matter: strokes
 * are held against each other by their onsets.
 */

import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSound, writeWav } from '../../src/soundfiles/index.ts';
import { hear } from '../../src/strokes/hear.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import { median } from '../../src/statistics/order.ts';
import { mediumTake, type ContactNoise } from './contactMaterial.ts';
import { record } from './material.ts';
import { milliseconds, perCent, type Table } from './table.ts';

interface Codec {
  readonly name: string;
  readonly encoder: string;
  readonly file: string;
  readonly bitrate: string;
}

const CODECS: readonly Codec[] = [
  { name: 'MP3, 128 kbit/s', encoder: 'libmp3lame', file: 'x.mp3', bitrate: '128k' },
  { name: 'AAC, 96 kbit/s', encoder: 'aac', file: 'x.m4a', bitrate: '96k' },
  { name: 'AAC, 64 kbit/s', encoder: 'aac', file: 'x.m4a', bitrate: '64k' },
  { name: 'Opus, 64 kbit/s', encoder: 'libopus', file: 'x.opus', bitrate: '64k' },
  { name: 'Vorbis, 80 kbit/s', encoder: 'libvorbis', file: 'x.ogg', bitrate: '80k' },
];

/** The codecs that `ffmpeg` can encode here; none without it. */
export function codecsPresent(): readonly Codec[] {
  const { error, stdout } = spawnSync('ffmpeg', ['-hide_banner', '-encoders'], { encoding: 'utf8' });
  return error ? [] : CODECS.filter(({ encoder }) => stdout.includes(` ${encoder} `));
}

async function through(codec: Codec, samples: Float32Array, rate: number): Promise<Float32Array> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-codec-'));
  try {
    const [plain, coded, back] = ['in.wav', codec.file, 'out.wav'].map((name) => join(folder, name));
    writeFileSync(plain, writeWav([samples], rate, 'int16'));
    const run = (args: string[]): void => void execFileSync('ffmpeg', ['-v', 'error', '-y', ...args]);
    run(['-i', plain, '-c:a', codec.encoder, '-b:a', codec.bitrate, coded]);
    run(['-i', coded, '-ar', `${rate}`, '-c:a', 'pcm_f32le', back]);
    return (await readSound(readFileSync(back))).channels[0];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const SAME_STROKE = 0.06;
const SAME_PLACE = 0.005;
const ROOMS = [
  { snrDb: 60, rate: 8, ringDb: -10 },
  { snrDb: 40, rate: 6, ringDb: -3 },
] as const;

/** The same takes as they are and through every codec present. */
export async function throughCodecs(keys: readonly number[]): Promise<Table> {
  const rows: string[][] = [];
  const plain = new Map<string, { samples: Float32Array; rate: number; strokes: Stroke[] }[]>();
  const strokesOf = (samples: Float32Array, rate: number): Stroke[] =>
    hear(samples, rate).takes.flatMap(({ strokes }) => strokes.filter(({ onsetSeconds }) => onsetSeconds !== null));
  for (const noise of ['none', 'click', 'thump'] as const satisfies readonly ContactNoise[]) {
    const takes = [];
    for (const room of ROOMS) {
      for (const midi of keys) {
        const { samples, sampleRate } = await record(mediumTake(midi, noise, -36, room, [], 5));
        takes.push({ samples, rate: sampleRate, strokes: strokesOf(samples, sampleRate) });
      }
    }
    plain.set(noise, takes);
  }
  for (const codec of codecsPresent()) {
    for (const [noise, takes] of plain) {
      let [strokes, lost, made, gone, moved] = [0, 0, 0, 0, 0];
      const shifts: number[] = [];
      for (const { samples, rate, strokes: before } of takes) {
        const after = strokesOf(await through(codec, samples, rate), rate);
        for (const one of before) {
          strokes++;
          const other = after.find(({ onsetSeconds }) => Math.abs(onsetSeconds! - one.onsetSeconds!) < SAME_STROKE);
          if (!other) {
            lost++;
            continue;
          }
          const [a, b] = [one, other].map((s) =>
            s.contactSeconds === null ? null : s.onsetSeconds! - s.contactSeconds,
          );
          if (a === null && b !== null) made++;
          if (a !== null && b === null) gone++;
          if (a !== null && b !== null) {
            if (Math.abs(b - a) > SAME_PLACE) moved++;
            else shifts.push(Math.abs(b - a));
          }
        }
      }
      rows.push([
        `${codec.name}; ${noise}`,
        `${strokes}`,
        `${lost}`,
        perCent(made / strokes),
        perCent(gone / strokes),
        perCent(moved / strokes),
        milliseconds(shifts.length ? median(shifts) : null, 2),
      ]);
    }
  }
  return {
    title: 'Contacts, through lossy codecs',
    rests:
      'The same takes as they were made and encoded and decoded by ffmpeg: contacts said only afterwards, said only before, moved by ' +
      'more than 5 ms (% of strokes), and the change of the travel time of the others. Two rooms, slow and fast strokes, noises at -36 dB or none.',
    head: ['codec; noise', 'strokes', 'lost', 'made up %', 'gone %', 'moved %', 'change ms'],
    rows,
    notes: rows.length ? [] : ['ffmpeg or its encoders are not installed: nothing to say'],
  };
}
