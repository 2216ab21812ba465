/**
 * The two variants of practice recordings.
 *
 * An estimator may be fitted on `training` and must then be judged on `judging` (or on real recordings), which differs in
 * every law an estimator could lean on. Both are guesses of a plausible piano, hand and room; figures without a source
 * are chosen.
 */

import type { Decibels, Hertz, MidiNote, Seconds } from '../units.ts';

export interface Variant {
  /** Travel time = scale * v^-exponent, seconds for v in m/s. Published: about v^-0.57, 20 to 200 ms over the range (Goebl 2001; Goebl, Bresin & Galembo 2005, read at second hand). */
  readonly travelScale: Seconds;
  readonly travelExponent: number;
  /** Change of ln travel time from the middle of the compass to either end. */
  readonly travelTrend: number;
  readonly travelSd: number;
  /** Peak level at 1 m/s, dB re full scale, and dB per decade of speed (20: Palmer & Brown 1991) with its change over the half compass. */
  readonly levelAtOne: Decibels;
  readonly levelSlope: Decibels;
  readonly levelSlopeTrend: Decibels;
  /** Share of clicks among audible contacts. */
  readonly clickShare: number;
  readonly click: {
    readonly lowHertz: Hertz;
    readonly highHertz: Hertz;
    readonly levelDb: Decibels;
    readonly sdDb: Decibels;
  };
  /** Thump: main frequency in the bass and the treble. */
  readonly thump: {
    readonly lowHertz: Hertz;
    readonly highHertz: Hertz;
    readonly levelDb: Decibels;
    readonly sdDb: Decibels;
  };
  readonly knockDb: readonly [Decibels, Decibels];
  readonly reverberationSeconds: Seconds;
  readonly reverberationDb: Decibels;
  readonly highPassHertz: Hertz;
  /** Early echoes: delay in seconds and gain. */
  readonly echoes: readonly (readonly [Seconds, number])[];
  /** Lengths of the reverberation's delay lines. */
  readonly lines: readonly Seconds[];
  readonly firstUndamped: MidiNote;
  /** Lowest well radiated frequency of the soundboard. */
  readonly radiationHertz: Hertz;
  /** Above this the tone's high range falls by 6 dB an octave more (radiation, air, soundboard). */
  readonly trebleHertz: Hertz;
  /** Share of the amplitude that dies at least six times as fast as the prompt sound (turned to a growth in the top octave). */
  readonly early: number;
  /** Strike point as share of the string, bass and top. */
  readonly strike: readonly [number, number];
  /** How steeply the hammer's spectrum falls: ratio of its shorter to its longer pulses at 2 m/s, over the compass. */
  readonly hardness: number;
  readonly hardnessPerSpeed: number;
  /** Growth of the decay with the number of the partial. */
  readonly decayPerPartial: number;
  /** Share of the aftersound in the amplitude. */
  readonly aftersound: number;
  readonly soundboardDb: Decibels;
  /** Factor on the inharmonicity in the bass (long grands: about a half). */
  readonly bassInharmonicity: number;
}

export const VARIANTS: Readonly<Record<'training' | 'judging', Variant>> = {
  training: {
    travelScale: 0.08,
    travelExponent: 0.57,
    travelTrend: 0.04,
    travelSd: 0.035,
    levelAtOne: -20,
    levelSlope: 20,
    levelSlopeTrend: 0,
    clickShare: 0.5,
    click: { lowHertz: 450, highHertz: 5200, levelDb: -38, sdDb: 5 },
    thump: { lowHertz: 105, highHertz: 160, levelDb: -45, sdDb: 2.5 },
    knockDb: [-32, -16],
    reverberationSeconds: 0.45,
    reverberationDb: -8,
    highPassHertz: 40,
    echoes: [
      [0.0021, 0.42],
      [0.0037, -0.3],
      [0.0058, 0.27],
      [0.0093, 0.22],
      [0.0136, -0.18],
      [0.0191, 0.15],
    ],
    lines: [0.0231, 0.0277, 0.0313, 0.0359, 0.0401, 0.0447, 0.0503, 0.0571],
    firstUndamped: 89,
    radiationHertz: 62,
    trebleHertz: 1250,
    early: 0.4,
    strike: [0.122, 0.075],
    hardness: 1,
    hardnessPerSpeed: 0.35,
    decayPerPartial: 0.06,
    aftersound: 0.18,
    soundboardDb: -22,
    bassInharmonicity: 0.5,
  },
  judging: {
    travelScale: 0.074,
    travelExponent: 0.68,
    travelTrend: -0.06,
    travelSd: 0.038,
    levelAtOne: -22,
    levelSlope: 23,
    levelSlopeTrend: 2,
    clickShare: 0.3,
    click: { lowHertz: 700, highHertz: 6500, levelDb: -40, sdDb: 6 },
    thump: { lowHertz: 98, highHertz: 185, levelDb: -44, sdDb: 4 },
    knockDb: [-35, -12],
    reverberationSeconds: 0.7,
    reverberationDb: -5,
    highPassHertz: 80,
    echoes: [
      [0.0013, 0.5],
      [0.0049, 0.33],
      [0.0071, -0.26],
      [0.0088, 0.2],
      [0.0167, 0.21],
      [0.0243, -0.15],
      [0.0311, 0.12],
    ],
    lines: [0.0269, 0.0337, 0.0383, 0.0431, 0.0521, 0.0593, 0.0659, 0.0733],
    firstUndamped: 91,
    radiationHertz: 68,
    trebleHertz: 1800,
    early: 0.33,
    strike: [0.117, 0.065],
    hardness: 0.85,
    hardnessPerSpeed: 0.5,
    decayPerPartial: 0.11,
    aftersound: 0.2,
    soundboardDb: -19,
    bassInharmonicity: 0.8,
  },
};
