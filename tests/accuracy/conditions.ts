/**
 * The conditions under which takes are measured, and the keys they are measured on.
 *
 * "Ringing on" is a string re-struck while its tone sounds nearly undamped, as in a passage let up less than half-way;
 * "half damped" leaves 10 dB less, "damped" 25 dB less. Where slow and fast strokes are of different recorded layers,
 * the template, which is made of the slow ones, is judged on strokes it has never met.
 */

import { seedOf } from './chance.ts';
import { CLEAN_SNR_DB, layersApart, type Plan } from './material.ts';
import { alternatingTake, faultyTake, wholeTake } from './patterns.ts';
import { LAYERS, SAMPLED_KEYS, type Layer } from './samples.ts';

/** What a condition is varied for; a table of the meter each. */
export type Series = 'noise' | 'rate and ringing' | 'loudness' | 'other strokes' | 'all';

export interface Condition {
  readonly name: string;
  readonly series: Series;
  readonly snrDb: number;
  plan(midi: number): Promise<Plan>;
}

interface Playing {
  readonly slow: Layer;
  readonly fast: readonly Layer[];
  readonly snrDb: number;
  readonly rate: number;
  readonly ringDb: number;
  readonly seed?: number;
}

const noiseName = (snrDb: number): string => (snrDb === CLEAN_SNR_DB ? 'clean' : `${snrDb} dB`);
const ringName = (ringDb: number): string => (ringDb >= -5 ? 'ringing on' : ringDb >= -15 ? 'half damped' : 'damped');

function take(name: string, series: Series, playing: Playing): Condition {
  const { slow, fast, snrDb, rate, ringDb, seed = 0 } = playing;
  return {
    name,
    series,
    snrDb,
    plan: (midi) =>
      Promise.resolve(
        wholeTake({
          midi,
          slowLayers: [slow],
          fastLayers: fast,
          rate,
          ringDb,
          snrDb,
          seed: seedOf(midi, snrDb, rate, -ringDb, slow, ...fast, seed),
        }),
      ),
  };
}

/** The signal to noise ratios of every table, dB. */
export const NOISES = [CLEAN_SNR_DB, 30, 20, 12] as const;

export const CONDITIONS: readonly Condition[] = [
  ...NOISES.map((snrDb) =>
    take(`${noiseName(snrDb)}, 8/s, half damped`, 'noise', { slow: 8, fast: [8], snrDb, rate: 8, ringDb: -10 }),
  ),
  ...(
    [
      [8, -25],
      [8, -5],
      [6, -3],
      [14, -10],
    ] as const
  ).map(([rate, ringDb]) =>
    take(`clean, ${rate}/s, ${ringName(ringDb)} (${ringDb} dB)`, 'rate and ringing', {
      slow: 8,
      fast: [8],
      snrDb: CLEAN_SNR_DB,
      rate,
      ringDb,
    }),
  ),
  ...([4, 12] as const).map((layer) =>
    take(`20 dB, 8/s, half damped, ${layer === 4 ? 'soft' : 'loud'} layer`, 'loudness', {
      slow: layer,
      fast: [layer],
      snrDb: 20,
      rate: 8,
      ringDb: -10,
    }),
  ),
  take('clean, 8/s, half damped, slow medium, fast loud and soft', 'other strokes', {
    slow: 8,
    fast: [12, 4],
    snrDb: CLEAN_SNR_DB,
    rate: 8,
    ringDb: -10,
  }),
  take('20 dB, 6/s, half damped, slow medium, fast loud', 'other strokes', {
    slow: 8,
    fast: [12],
    snrDb: 20,
    rate: 6,
    ringDb: -10,
  }),
  {
    name: '30 dB, 8/s, ringing on, 8 dB up and down',
    series: 'other strokes',
    snrDb: 30,
    plan: async (midi) =>
      alternatingTake({ midi, rate: 8, ringDb: -5, snrDb: 30, seed: seedOf(midi, 8) }, await layersApart(midi, 12, 4)),
  },
];

/** Every rate, ringing, noise and layer with every other, three times: for the long proof. */
export const LONG_CONDITIONS: readonly Condition[] = [6, 8, 14].flatMap((rate) =>
  [-3, -10, -25].flatMap((ringDb) =>
    NOISES.flatMap((snrDb) =>
      LAYERS.flatMap((layer) =>
        [1, 2, 3].map((seed) =>
          take(`${noiseName(snrDb)}, ${rate}/s, ${ringName(ringDb)}, layer ${layer}`, 'all', {
            slow: layer,
            fast: [layer],
            snrDb,
            rate,
            ringDb,
            seed,
          }),
        ),
      ),
    ),
  ),
);

/** A take with silent strokes and doubles, at 30 dB and 6 a second. */
export async function faults(midi: number, seed = 0): Promise<Plan> {
  return faultyTake(
    { midi, rate: 6, ringDb: -6, snrDb: 30, seed: seedOf(midi, 6, seed) },
    await layersApart(midi, 8, 4),
  );
}

/** All sampled keys: every minor third from A0 to C8. */
export const ALL_KEYS: readonly number[] = SAMPLED_KEYS;
/** One or two of each register, the hard ends among them: for the gate. */
export const SOME_KEYS: readonly number[] = [21, 33, 45, 60, 69, 81, 96, 108];
/** All 88. */
export const COMPASS: readonly number[] = Array.from({ length: 88 }, (_, i) => 21 + i);
/** Whole-piano detunings at which notes are named unaided, cents. */
export const DETUNINGS = [-40, -20, 0, 20, 40] as const;
