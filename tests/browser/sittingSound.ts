/**
 * A sitting as a microphone would hear it: notes of a recorded grand, each slow and fast with the finger's clicks, some of
 * them missing chosen repeats; and the hand that played it, learned on other notes.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import { learnReference, type HandReference } from '../../src/analysis/reference.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import { takeWithContacts } from '../accuracy/contactMaterial.ts';
import { resample } from '../accuracy/filters.ts';
import { record, type PlannedStroke } from '../accuracy/material.ts';
import { SAMPLE_RATE } from '../accuracy/samples.ts';
import { FAKE_RATE } from './fakeMicrophone.ts';

/** Seven of twelve, so that the beat can still be told: the first and the last speak, and two in a row once. */
export const MISSED: readonly number[] = [3, 4, 5, 7, 8, 9, 11];
/** Before the first note: the audio thread needs a moment to begin. */
const LEAD = 3;
const PAUSE = 1.5;
const SNR_DB = 50;
/** Quick strokes are played more evenly than those of other tests: their levels scatter by 0.7 dB. */
const EVEN = 0.35;

export interface SittingNote {
  readonly midi: number;
  /** Beats of the fast passage that stay silent. */
  readonly missed?: readonly number[];
  /** Slow strokes only. */
  readonly slowOnly?: boolean;
}

/** The sound of a sitting at the rate of the browser's fake device. */
export async function sittingSound(notes: readonly SittingNote[], seed: number): Promise<Float32Array> {
  const strokes: PlannedStroke[] = [];
  let at = LEAD;
  for (const [i, { midi, missed = [], slowOnly = false }] of notes.entries()) {
    const take = takeWithContacts(
      { midi, slowLayers: [8], fastLayers: [8], rate: 6, ringDb: -8, snrDb: SNR_DB, seed: seed + 17 * i },
      'click',
      -26,
    );
    const first = take.strokes[0].timeSeconds;
    let beat = 0;
    let last = 0;
    for (const stroke of take.strokes) {
      if (slowOnly && stroke.passage === 'fast') continue;
      const silent = stroke.passage === 'fast' && missed.includes(beat++);
      last = stroke.timeSeconds - first;
      strokes.push({
        ...stroke,
        timeSeconds: at + last,
        kind: silent ? 'silent' : 'sounded',
        gainDb: stroke.passage === 'fast' ? EVEN * stroke.gainDb : stroke.gainDb,
        contact: silent ? undefined : stroke.contact,
        letGo: stroke.letGo && {
          ...stroke.letGo,
          fromSeconds: at + stroke.letGo.fromSeconds - first,
          toSeconds: at + stroke.letGo.toSeconds - first,
        },
      });
    }
    at += last + PAUSE;
  }
  const plan = {
    name: 'sitting',
    strokes,
    durationSeconds: at + 2.5,
    cents: 0,
    snrDb: SNR_DB,
    seed,
    bareAttacks: true,
  };
  const { samples } = await record(plan);
  return resample(samples, 0, SAMPLE_RATE / FAKE_RATE, Math.floor((samples.length * FAKE_RATE) / SAMPLE_RATE));
}

/** What is heard in a sitting's sound as one file. */
export function heardWhole(samples: Float32Array, reference?: HandReference): AnalysisDocument {
  const source = {
    file: 'sitting.wav',
    sampleRate: FAKE_RATE,
    channels: 1,
    durationSeconds: samples.length / FAKE_RATE,
  };
  return analyse(samples, source, { reference });
}

/** The hand of these sittings, learned on thirteen notes in order. */
export async function sittingHand(): Promise<HandReference> {
  const order = [45, 48, 51, 54, 55, 58, 62, 66, 67, 70, 73, 75, 78];
  return learnReference(
    heardWhole(
      await sittingSound(
        order.map((midi) => ({ midi })),
        90,
      ),
    ),
  );
}
