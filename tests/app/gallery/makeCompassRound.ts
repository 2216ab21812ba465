/**
 * Makes `compassRound.json`: an invented round of 20 notes and the five of them that were worked on, heard again; made as
 * sound and analysed as any recording. Run by `npx tsx tests/app/gallery/makeCompassRound.ts`. The same seeds give the same file.
 */

import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { analyse } from '../../../src/analysis/analyse.ts';
import { compareDocuments } from '../../../src/analysis/compare.ts';
import type { AnalysisDocument } from '../../../src/analysis/document.ts';
import { learnReference, type HandReference } from '../../../src/analysis/reference.ts';
import { makePractice, type FaultPlan, type NotePlan, type PassagePlan } from '../../../src/synthesis/practice.ts';

const SAMPLE_RATE = 32000;
const slow: PassagePlan = { kind: 'slow', strokes: 9 };
const fast: PassagePlan = { kind: 'fast', strokes: 12 };
const gentle: PassagePlan = { kind: 'gentle', strokes: 8 };

/** Clear contacts: a curved fingertip near the microphone. */
const HAND = { contact: 'click', contactLevelDb: -34, inaudibleShare: { slow: 0.05 } } as const;

const FAULTS: Readonly<Record<number, readonly FaultPlan[]>> = {
  47: [{ name: 'silent-when-gentle', size: 0.5 }],
  51: [{ name: 'missed-repeats', size: 0.45 }],
  64: [{ name: 'hanging-hammer', size: 14 }],
  74: [{ name: 'weak-repeats', size: 0.5 }],
  86: [{ name: 'double-strikes', size: 0.3 }],
};
const WORKED = Object.keys(FAULTS).map(Number);
/** Two notes of most octaves, and the doubtful ones' neighbours. */
const ROUND = [33, 40, 43, 46, 47, 48, 50, 51, 52, 57, 59, 63, 64, 65, 71, 74, 76, 83, 86, 95];
/** So few that not enough is heard. */
const SHORT = 95;

const note = (midi: number, faults: readonly FaultPlan[]): NotePlan => ({
  midi,
  faults,
  passages: [
    midi === SHORT ? { ...slow, strokes: 5 } : slow,
    ...(midi === SHORT ? [] : [fast]),
    ...(WORKED.includes(midi) ? [fast] : []),
    ...(midi === 47 ? [gentle] : []),
  ],
});

function heard(file: string, notes: readonly NotePlan[], seed: number, reference?: HandReference): AnalysisDocument {
  const { samples, sampleRate } = makePractice(
    { variant: 'judging', sampleRate: SAMPLE_RATE, notes, snrDb: 45, hand: HAND },
    seed,
  );
  const source = { file, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
  return analyse(samples, source, reference ? { reference } : {});
}

const before = heard(
  'round-1.wav',
  ROUND.map((midi) => note(midi, FAULTS[midi] ?? [])),
  61,
);
const after = heard(
  'round-2.wav',
  WORKED.map((midi) => note(midi, midi === 74 ? FAULTS[74] : [])),
  62,
  learnReference(before),
);
const comparison = compareDocuments(before, after, { reference: learnReference(before) });

/** What is less than a ten-thousandth of a second matters to no picture; the names of a stroke's fields stand once. */
const rounded = (_: string, value: unknown) => (typeof value === 'number' ? Math.round(value * 1e4) / 1e4 : value);
const packed = ({ strokes, ...rest }: AnalysisDocument) => {
  const fields = Object.keys(strokes[0]) as (keyof (typeof strokes)[number])[];
  return { ...rest, strokes: { fields, rows: strokes.map((stroke) => fields.map((field) => stroke[field])) } };
};
const to = fileURLToPath(new URL('compassRound.json', import.meta.url));
writeFileSync(to, `${JSON.stringify({ before: packed(before), after: packed(after), comparison }, rounded)}\n`);
for (const { notes } of [before, after]) console.log(notes.map(({ name, verdict }) => `${name} ${verdict}`).join(', '));
console.log(comparison.notes.map(({ name, change }) => `${name} ${change}`).join(', '));
