/**
 * The faults a practice recording can hold: what each does, its usual sizes, and where the figures come from.
 *
 * The one place for fault sizes. "Model study" figures come from a computed action and were never compared with a
 * recording of a mis-set action; "chosen" marks what no source gives.
 */

export interface FaultEntry {
  /** What it does to a stroke. */
  readonly does: string;
  readonly unit: 'mm at the hammer' | 'mm at the jack' | 'share of strokes' | 'dB' | 'factor';
  /** Sizes that a plan may ask for, both ends included. */
  readonly least: number;
  readonly most: number;
  readonly usual: readonly number[];
  readonly source: string;
}

const ACTION = 'model study of a grand action';
const REPEATS = 'model study of repeated strokes';
const STATISTICS = 'simulation study of the statistics';

export const FAULTS = {
  'rest-height-spread': {
    does: 'before each stroke the hammer rests at another height: normal scatter of this standard deviation',
    unit: 'mm at the hammer',
    least: 0.1,
    most: 12,
    usual: [0.5, 1, 2, 4],
    source: `${ACTION}, sections 0 and 3 (about 2 mm at most from a lever and its spring)`,
  },
  'two-rest-heights': {
    does: 'before 30 % of the strokes the hammer rests higher by this much',
    unit: 'mm at the hammer',
    least: 0.1,
    most: 15,
    usual: [2, 4],
    source: `${STATISTICS}, section 1 (two-state rest, 30 % displaced)`,
  },
  'hanging-hammer': {
    does: 'before 30 % of the strokes the hammer hangs above its rest by this much and up to a half more',
    unit: 'mm at the hammer',
    least: 5,
    most: 25,
    usual: [8, 12],
    source: `${ACTION}, section 0 (hammers that stick up and do not fall back); share chosen`,
  },
  'rest-height-drift': {
    does: 'the rest climbs evenly by this much from the first stroke of the note to its last',
    unit: 'mm at the hammer',
    least: 0.1,
    most: 12,
    usual: [1, 3],
    source: 'chosen',
  },
  'rest-after-firm': {
    does: 'after a firm stroke the hammer rests higher by this much',
    unit: 'mm at the hammer',
    least: 0.1,
    most: 12,
    usual: [1, 3],
    source: `${ACTION}, section 3 (rest depends on the stroke before); size chosen`,
  },
  'lever-high': {
    does: 'repetition lever too high: travel time at equal loudness shorter by 5 % (0.4), 7 % (0.6), 12 % (1.2 mm), level lower by up to 0.7 dB',
    unit: 'mm at the jack',
    least: 0.05,
    most: 1.2,
    usual: [0.4, 0.6, 1.2],
    source: `${ACTION}, section 4, pressed touch`,
  },
  'weak-spring': {
    does: 'repetition spring weaker by this factor: repeats fail after deeper returns too, and then mostly stay silent',
    unit: 'factor',
    least: 0.6,
    most: 0.95,
    usual: [0.8, 0.7],
    source: `${REPEATS}, sections 1 and 2`,
  },
  'missed-repeats': {
    does: 'this share of the quick repeats stays silent, at random',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.1, 0.2, 0.4],
    source: `${STATISTICS}, sections 1 and 5`,
  },
  'missed-every-second': {
    does: 'every second quick repeat stays silent with this chance',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.5, 1],
    source: `${ACTION}, section 4b (doubled period at the limit); share chosen`,
  },
  'missed-until-return': {
    does: 'each quick repeat may fail with this chance; once failed, the note stays silent until the key comes up fully',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.1, 0.2],
    source: `${ACTION}, section 5 (weak spring gets worse with time); share chosen`,
  },
  'weak-repeats': {
    does: 'this share of the quick repeats is 10 to 15 dB too weak, at random',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.2, 0.4],
    source: `${REPEATS}, section 2 (lever too low)`,
  },
  'weak-every-second': {
    does: 'every second quick repeat is 10 to 15 dB too weak with this chance',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.5, 1],
    source: `${ACTION}, section 4b; share chosen`,
  },
  'weak-until-return': {
    does: 'each quick repeat may turn 10 to 15 dB too weak with this chance, and so stays until the key comes up fully',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.1, 0.2],
    source: 'chosen',
  },
  'silent-when-gentle': {
    does: 'this share of the strokes slower than 0.6 m/s stays silent',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.3, 0.6],
    source: `${ACTION}, section 5 (sluggish hammer centre)`,
  },
  'weak-when-hard': {
    does: 'strokes 5 dB and more over the note\u2019s medium are weaker by this much than their travel time promises',
    unit: 'dB',
    least: 1,
    most: 15,
    usual: [6, 9],
    source: 'chosen',
  },
  'double-strikes': {
    does: 'this share of all sounded strokes is followed by a second contact, 40 to 120 ms later, at -6 to -20 dB',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.25],
    source: `${ACTION}, section 5; times and levels chosen`,
  },
  'double-when-soft': {
    does: 'as double-strikes, but only in soft strokes: the whole share up to 0.6 m/s, none from 1.2 m/s',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.3, 0.78],
    source: `${ACTION}, section 5 (strong spring: 27 to 84 % at p, little at mp)`,
  },
  'double-when-loud': {
    does: 'as double-strikes, but only in louder strokes: none up to 0.5 m/s, the whole share from 0.9 m/s',
    unit: 'share of strokes',
    least: 0.01,
    most: 1,
    usual: [0.9],
    source: `${ACTION}, section 5 (no checking: 90 to 100 % at mp to mf)`,
  },
  'fading-repeats': {
    does: 'over a fast passage the level falls evenly by this much',
    unit: 'dB',
    least: 1,
    most: 15,
    usual: [6],
    source: 'chosen',
  },
} as const satisfies Record<string, FaultEntry>;

export type FaultName = keyof typeof FAULTS;

/** Change of ln travel time per millimetre of rest height at the hammer, at equal level (model study of a grand action, section 0: -0.11 per mm at the jack, 7.65 mm at the hammer). */
export const TRAVEL_PER_MM = -0.014;
/** Change of ln hammer speed per millimetre of rest height at the hammer, at equal force (same place: -0.07 to -0.12 per mm at the jack). */
export const SPEED_PER_MM = -0.012;
/** Rise of the hammer for one millimetre at the jack top (same study, section 1). */
export const HAMMER_PER_JACK = 7.65;

/** Lever too high: [mm at the jack, change of travel time, dB], model study of a grand action, section 4, medium soft. */
export const LEVER_HIGH: readonly (readonly [number, number, number])[] = [
  [0, 0, 0],
  [0.2, -0.024, -0.1],
  [0.4, -0.05, -0.25],
  [0.6, -0.07, -0.4],
  [1.2, -0.12, -0.7],
];
