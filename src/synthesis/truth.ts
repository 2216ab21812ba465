/**
 * The exact truth of a practice recording.
 *
 * Times are seconds from the first sample and not rounded to samples; they hold at the microphone for the direct sound
 * (its way through the air is left out). Heights are millimetres at the hammer, upwards positive, zero where a hammer
 * in order rests.
 */

import type { Cents, Decibels, Hertz, MidiNote, Millimetres, Seconds } from '../units.ts';

export interface TrueStroke {
  /** `sounded`; `silent`: the key moved and the string did not speak; `double`: an unwanted second hammer contact. */
  readonly kind: 'sounded' | 'silent' | 'double';
  /** Number of its note in the plan, from 1. */
  readonly take: number;
  readonly midi: MidiNote;
  /** The onset, or for a silent stroke the beat at which it would have been. */
  readonly timeSeconds: Seconds;
  /** Finger-key contact; `null` for a double. Given even where it makes no sound. */
  readonly contactSeconds: Seconds | null;
  /** Whether the contact made a sound of its own at all; how far it stands out of the noise is another matter. */
  readonly contactAudible: boolean;
  readonly contactKind: 'click' | 'thump' | null;
  /** Highest amplitude of the contact's noise re the peak of the stroke's (intended) tone. */
  readonly contactLevelDb: Decibels | null;
  /** The instant at which the hammer's pulse begins at the string; `null` for a silent stroke. */
  readonly onsetSeconds: Seconds | null;
  readonly keyBottomSeconds: Seconds | null;
  /** The key, coming up, passes the damper's point (about half-way): the damper's noise begins. `null` if it never gets there. */
  readonly releaseSeconds: Seconds | null;
  /** Speed of the hammer at the string, or the one it would have had, m/s. */
  readonly hammerVelocity: number;
  /** Peak of this tone alone, direct sound, dB re full scale; `null` for a silent stroke. */
  readonly levelDb: Decibels | null;
  readonly restHeightMm: Millimetres;
  readonly passage: 'slow' | 'fast' | 'gentle' | null;
  /** Names of the faults that acted on this very stroke; `shallow-return` where the hand alone was the cause. */
  readonly faults: readonly string[];
}

export interface TrueNoise {
  /** What the background is made of. */
  readonly kinds: readonly string[];
  /** RMS of tone over noise as asked, see `PracticePlan.snrDb`; `null` without noise. */
  readonly snrDb: Decibels | null;
  /** RMS of the background, dB re full scale; `null` without noise. */
  readonly rmsDb: Decibels | null;
  /** Mains hum, RMS re the same tone; `null` without. */
  readonly humDb: Decibels | null;
  /** RMS of the first 50 ms of the median stroke's tone, dB re full scale, which the ratios refer to. */
  readonly referenceDb: Decibels | null;
}

export interface PracticeTruth {
  readonly schema: 'evenfall.practice/1';
  readonly sampleRate: Hertz;
  readonly seed: number;
  readonly variant: 'training' | 'judging';
  readonly noise: TrueNoise;
  readonly tuningCents: Cents;
  readonly durationSeconds: Seconds;
  /** Ordered in time. */
  readonly strokes: readonly TrueStroke[];
}
