/**
 * How near the practice recordings come to recorded notes: rise, spectral slope, decay and floor, octave by octave.
 *
 * Recorded: the notes of one grand, every minor third, layers 4, 8 and 12 of 16 (the @audio-samples packages, CC BY
 * 3.0, Alexander Holm; left channel). Made: the same notes, one slow stroke at three speeds that lie about as far apart
 * as those layers (0.8, 1.5, 2.8 m/s: 11 dB), both variants, with a microphone as close as the recorded one seems to
 * have been. Run with `npx tsx` it prints the table, for seeds 1 to 3.
 */

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { OggVorbisDecoder } from '@wasm-audio-decoders/ogg-vorbis';
import { keyName, parseKeyName } from '../../src/piano/keys.ts';
import { tunedFirstPartial } from '../../src/piano/strings.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { measureAttack, type AttackMeasures } from './attack.ts';

export const LAYERS = [4, 8, 12] as const;
const SPEEDS = [0.8, 1.5, 2.8];
/** Sample rate of the made strokes: enough for what is measured, up to 12 kHz. */
const RATE = 32000;
/** The recorded notes come from a close pair of microphones, so the room is far behind the direct sound (chosen). */
const CLOSE_DB = -15;
/** The recorded notes are trimmed a few milliseconds before the tone: their floor is codec and room, at about this ratio. */
const SNR_DB = 41;
export const MEASURES = ['riseMs', 'slopeDbPerOctave', 'decayDb', 'floorDb'] as const;

/** Bytes of a recorded note that hold its first three seconds and more. */
const BEGINNING = 48000;

/** The recorded notes: A0, then every minor third to C8. */
export const NOTES = Array.from({ length: 30 }, (_, i) => 21 + 3 * i);

/** Lowest and highest of a measure over the notes, layers and seeds of one octave. */
export interface Spread {
  low: number;
  median: number;
  high: number;
}
export type OctaveTable = Record<(typeof MEASURES)[number], Spread>[];

/** Octave 1 to 7 of a note, counted from C; A0 belongs to the first and C8 to the last. */
export function octaveOf(midi: number): number {
  return Math.min(7, Math.max(1, Math.floor(midi / 12) - 1));
}

/** Measures of every recorded note and layer, by octave (index 0 is octave 1). */
export async function recordedTable(): Promise<OctaveTable> {
  const require = createRequire(import.meta.url);
  const found: AttackMeasures[][] = Array.from({ length: 7 }, () => []);
  for (const layer of LAYERS) {
    const folder = join(dirname(require.resolve(`@audio-samples/piano-velocity${layer}`)), 'audio');
    for (const midi of NOTES) {
      const decoder = new OggVorbisDecoder();
      await decoder.ready;
      const { channelData, sampleRate } = await decoder.decodeFile(
        readFileSync(join(folder, `${keyName(midi)}v${layer}.ogg`)).subarray(0, BEGINNING),
      );
      decoder.free();
      const x = channelData[0].subarray(0, Math.round(1.6 * sampleRate));
      found[octaveOf(midi) - 1].push(measureAttack(x, sampleRate, tunedFirstPartial(midi)));
    }
  }
  return found.map(spreads);
}

/** The same measures of the generator. */
export function madeTable(variant: 'training' | 'judging', seeds: readonly number[]): OctaveTable {
  const found: AttackMeasures[][] = Array.from({ length: 7 }, () => []);
  for (const midi of NOTES) {
    const first = tunedFirstPartial(midi);
    for (const seed of seeds) {
      // White noise would stand in for the missing high range, so only the floor is measured with the noise.
      const { floorDb } = measureAttack(strokeAlone(variant, midi, 1.5, seed, SNR_DB, 2), RATE, first);
      for (const velocity of SPEEDS) {
        const tone = measureAttack(strokeAlone(variant, midi, velocity, seed, Infinity, 0.24), RATE, first);
        found[octaveOf(midi) - 1].push({ ...tone, floorDb });
      }
    }
  }
  return found.map(spreads);
}

/** One stroke of the generator, from 20 ms before its onset; the lower the rate, the longer it is held. */
function strokeAlone(
  variant: 'training' | 'judging',
  midi: number,
  velocity: number,
  seed: number,
  snrDb: number,
  ratePerSecond: number,
): Float32Array {
  const passages = [{ kind: 'slow' as const, strokes: 1, ratePerSecond, velocity, velocitySd: 0 }];
  const { samples, truth } = makePractice(
    {
      variant,
      sampleRate: RATE,
      leadSeconds: 0.2,
      notes: [{ midi, passages }],
      hand: { contact: 'none' },
      room: { reverberationDb: CLOSE_DB },
      snrDb,
    },
    seed,
  );
  const from = Math.round((truth.strokes[0].timeSeconds - 0.02) * RATE);
  return samples.subarray(from, from + Math.round(1.35 * RATE));
}

function spreads(rows: AttackMeasures[]): OctaveTable[number] {
  const entries = MEASURES.map((measure) => {
    const values = rows.map((row) => row[measure]).sort((a, b) => a - b);
    return [measure, { low: values[0], median: values[values.length >> 1], high: values[values.length - 1] }] as const;
  });
  return Object.fromEntries(entries) as OctaveTable[number];
}

/** The table as text. */
export function printTable(tables: Record<string, OctaveTable>): string {
  const lines: string[] = [];
  for (const measure of MEASURES) {
    lines.push(`${measure} (low / median / high), octaves ${keyName(parseKeyName('C1'))[1]} to 7`);
    for (const [name, table] of Object.entries(tables)) {
      const cells = table.map((row) => {
        const { low, median, high } = row[measure];
        return [low, median, high].map((value) => value.toFixed(1)).join('/');
      });
      lines.push(`  ${name.padEnd(9)} ${cells.map((cell) => cell.padStart(19)).join('')}`);
    }
  }
  return lines.join('\n');
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const seeds = [1, 2, 3];
  void recordedTable().then((recorded) => {
    const tables = { recorded, training: madeTable('training', seeds), judging: madeTable('judging', seeds) };
    console.log(printTable(tables));
  });
}
