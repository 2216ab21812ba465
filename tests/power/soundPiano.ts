/**
 * A whole piano to listen to: one practice recording that holds all its notes, some of them with a fault, and what the
 * program hears of it.
 *
 * One plan holds all notes, for another recording is another piano. 8 slow strokes and 12 fast ones each. A louder background
 * is laid over the same recording: the samples are those that a plan with that ratio gives.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import type { FindingKind } from '../../src/steadiness/kinds.ts';
import { makeBackground } from '../../src/synthesis/background.ts';
import type { FaultName } from '../../src/synthesis/faults.ts';
import { makePractice, type FaultPlan, type Practice, type PracticePlan } from '../../src/synthesis/practice.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { decibelsToAmplitude, type Decibels, type Hertz, type MidiNote } from '../../src/units.ts';

/** Two thirds of the usual rate: half the time to make, and nothing of a contact lies beyond 16 kHz. */
export const SOUND_RATE: Hertz = 32_000;
const QUIET: Decibels = 45;

export interface Faulty {
  readonly fault: FaultPlan;
  /** Findings that name it. */
  readonly names: readonly FindingKind[];
}

const faulty = (name: FaultName, size: number, ...names: FindingKind[]): Faulty => ({ fault: { name, size }, names });

/** What is planted, once each in a piano. */
export const PLANTED: readonly Faulty[] = [
  faulty('missed-repeats', 0.2, 'missed-repeats'),
  faulty('missed-repeats', 0.4, 'missed-repeats'),
  faulty('weak-repeats', 0.4, 'weak-repeats'),
  faulty('weak-spring', 0.7, 'missed-repeats', 'weak-repeats'),
  faulty('double-strikes', 0.25, 'double-strikes'),
  faulty('hanging-hammer', 12, 'wandering-rest'),
  faulty('two-rest-heights', 8, 'wandering-rest'),
  faulty('rest-height-spread', 8, 'wandering-rest'),
  faulty('lever-high', 1.2, 'early-or-late'),
];

/** How the piano is played and where it stands. */
export interface Scene {
  readonly variant: PracticePlan['variant'];
  /** The noise that the finger makes on the key. */
  readonly contact: 'click' | 'thump' | 'mixed';
}

export interface SoundPiano {
  readonly scene: Scene;
  readonly seed: number;
  /** By note; null for a note in order. */
  readonly notes: ReadonlyMap<MidiNote, Faulty | null>;
  readonly practice: Practice;
}

/** What was heard of a piano in a room. */
export interface HeardPiano {
  readonly piano: SoundPiano;
  readonly snrDb: Decibels;
  readonly document: AnalysisDocument;
}

/** Every third key from A0 to A7. */
export const EVERY_THIRD: readonly MidiNote[] = Array.from({ length: 29 }, (_, i) => 21 + 3 * i);

/** Makes a piano; which note has which fault hangs on the seed alone. */
export function soundPiano(
  scene: Scene,
  seed: number,
  keys: readonly MidiNote[] = EVERY_THIRD,
  planted: readonly Faulty[] = PLANTED,
): SoundPiano {
  const random = new RandomStream(seed, 'faults of a piano');
  const order = keys
    .map((midi) => ({ midi, at: random.between(0, 1) }))
    .sort((a, b) => a.at - b.at)
    .map(({ midi }) => midi);
  const notes = new Map(keys.map((midi): [MidiNote, Faulty | null] => [midi, planted[order.indexOf(midi)] ?? null]));
  const practice = makePractice(
    {
      variant: scene.variant,
      sampleRate: SOUND_RATE,
      snrDb: QUIET,
      hand: { contact: scene.contact },
      notes: keys.map((midi) => ({
        midi,
        passages: [
          { kind: 'slow', strokes: 8 },
          { kind: 'fast', strokes: 12 },
        ],
        faults: notes.get(midi) ? [notes.get(midi)!.fault] : [],
      })),
    },
    seed,
  );
  return { scene, seed, notes, practice };
}

/** The samples of a practice recording in a room with `snrDb`, as a plan that asks for it gives them. */
export function inRoom({ samples, sampleRate, truth }: Practice, snrDb: Decibels): Float32Array {
  const { variant, seed, noise } = truth;
  if (noise.snrDb === null || noise.rmsDb === null)
    throw new RangeError('a recording without noise; expected one with');
  if (snrDb === noise.snrDb) return samples;
  const now = decibelsToAmplitude(noise.rmsDb);
  const more = now * (decibelsToAmplitude(noise.snrDb - snrDb) - 1);
  const background = makeBackground(samples.length, sampleRate, variant, seed);
  return samples.map((sample, i) => sample + more * background.noise[i]);
}

/** Listens to a piano in a room. */
export function listen(piano: SoundPiano, snrDb: Decibels): HeardPiano {
  const { sampleRate, truth } = piano.practice;
  const source = { file: 'practice', sampleRate, channels: 1, durationSeconds: truth.durationSeconds };
  return { piano, snrDb, document: analyse(inRoom(piano.practice, snrDb), source) };
}
