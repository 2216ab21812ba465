/**
 * Makes the sample takes of this folder: an invented visit to an invented grand, with exact truth beside each file.
 *
 * Run by `npm run samples:make`. Needs the `flac` command. The same seeds give the same files.
 */

import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { makePractice, type NotePlan, type PassagePlan } from '../src/synthesis/practice.ts';

const SAMPLE_RATE = 32000;

const slow: PassagePlan = { kind: 'slow', strokes: 8 };
const fast: PassagePlan = { kind: 'fast', strokes: 12 };

const takes: { file: string; seed: number; notes: NotePlan[] }[] = [
  { file: '1-a4-in-order', seed: 41, notes: [{ midi: 69, passages: [slow, fast] }] },
  {
    file: '2-d-sharp-3-missed-repeats',
    seed: 42,
    notes: [{ midi: 51, passages: [slow, fast, fast], faults: [{ name: 'missed-repeats', size: 0.3 }] }],
  },
  {
    file: '3-g2-and-c6',
    seed: 43,
    notes: [
      { midi: 43, passages: [{ ...slow, ratePerSecond: 1.2 }, fast] },
      { midi: 84, passages: [{ ...slow, ratePerSecond: 1.2 }, fast] },
    ],
  },
];

for (const { file, seed, notes } of takes) {
  const { samples, truth } = makePractice({ variant: 'judging', sampleRate: SAMPLE_RATE, notes, snrDb: 45 }, seed);
  const pcm = Int16Array.from(samples, (value) => Math.round(32767 * Math.min(1, Math.max(-1, value))));
  const to = (ending: string): string => fileURLToPath(new URL(`${file}${ending}`, import.meta.url));
  const format = ['--force-raw-format', '--endian=little', '--sign=signed', '--channels=1', '--bps=16'];
  execFileSync(
    'flac',
    [...format, `--sample-rate=${SAMPLE_RATE}`, '--best', '--silent', '--force', '-o', to('.flac'), '-'],
    { input: Buffer.from(pcm.buffer) },
  );
  writeFileSync(to('.truth.json'), `${JSON.stringify(truth, null, 2)}\n`);
}
