/**
 * The conditions under which takes are measured, and the keys they are measured on.
 *
 * "Ringing on" is a string re-struck while its tone sounds nearly undamped, as in a passage let up less than half-way;
 * "half damped" leaves 10 dB less, "damped" 25 dB less. Slow strokes of one recorded layer make the template, fast ones
 * of another are timed with it, where the condition says so.
 */

import { alternatingTake, wholeTake } from './patterns.ts';
import { CLEAN_SNR_DB, type Plan } from './material.ts';
import { SAMPLED_KEYS } from './samples.ts';
import { seedOf } from './chance.ts';

export interface Condition {
  readonly name: string;
  readonly snrDb: number;
  plan(midi: number): Plan;
}

const own = (name: string, snrDb: number, rate: number, ringDb: number): Condition => ({
  name,
  snrDb,
  plan: (midi) =>
    wholeTake({
      midi,
      slowLayers: [8],
      fastLayers: [8],
      rate,
      ringDb,
      snrDb,
      seed: seedOf(midi, snrDb, rate, -ringDb),
    }),
});

const other = (name: string, snrDb: number, rate: number, ringDb: number): Condition => ({
  name,
  snrDb,
  plan: (midi) =>
    wholeTake({
      midi,
      slowLayers: [8],
      fastLayers: [12],
      rate,
      ringDb,
      snrDb,
      seed: seedOf(midi, snrDb, rate, -ringDb, 12),
    }),
});

/** How far the recorded layers 12 and 4 are apart, dB: about 1.3 dB a layer in this set. */
const LAYERS_APART_DB = 10.4;

export const CONDITIONS: readonly Condition[] = [
  own('clean, 8/s, damped (-25 dB)', CLEAN_SNR_DB, 8, -25),
  own('clean, 6/s, ringing on (-3 dB)', CLEAN_SNR_DB, 6, -3),
  own('clean, 14/s, half damped (-10 dB)', CLEAN_SNR_DB, 14, -10),
  other('clean, 8/s, another layer, half damped', CLEAN_SNR_DB, 8, -10),
  {
    name: 'clean, 8/s, 8 dB up and down, ringing on',
    snrDb: CLEAN_SNR_DB,
    plan: (midi) =>
      alternatingTake({ midi, rate: 8, ringDb: -5, snrDb: CLEAN_SNR_DB, seed: seedOf(midi, 8) }, LAYERS_APART_DB),
  },
  own('30 dB, 8/s, half damped', 30, 8, -10),
  own('20 dB, 8/s, half damped', 20, 8, -10),
  own('12 dB, 8/s, half damped', 12, 8, -10),
  other('20 dB, 6/s, another layer, half damped', 20, 6, -10),
];

/** All sampled keys: every minor third from A0 to C8. */
export const ALL_KEYS: readonly number[] = SAMPLED_KEYS;
/** Two or three of each register, the hard ends among them: for the gate. */
export const SOME_KEYS: readonly number[] = [21, 33, 45, 60, 69, 81, 96, 108];
