/**
 * Strokes: what one key press was, as heard.
 *
 * Conventions: times are seconds from the start of the recording; levels are dB re full scale; what could not be
 * heard is `null`, with its cause in `absent`, never 0 or NaN. Lists are ordered in time.
 */

import type { Decibels, MidiNote, Seconds } from '../units.ts';

/** `sounded`; `silent`: the key moved, the string did not speak; `double`: an unwanted second hammer contact. */
export type StrokeKind = 'sounded' | 'silent' | 'double';

/** The way of playing that a stroke belongs to; `null` where it fits none. */
export type Passage = 'slow' | 'fast' | 'gentle' | 'bar';

/** Why a value is absent. */
export type Absence = 'none-heard' | 'masked' | 'two-candidates' | 'outside-recording' | 'not-sought' | 'not-known';

/** Why a stroke should be believed less. Closed list. */
export const DOUBTS = [
  'period-ambiguous',
  'inferred-from-beat',
  'two-candidates',
  'low-fit',
  'no-template',
  'clipped',
  'note-uncertain',
  'cut-off',
] as const;
export type Doubt = (typeof DOUBTS)[number];

/** What came before a stroke. */
export interface Preceding {
  readonly kind: 'firm' | 'slow' | 'gentle' | 'fast' | 'bar' | 'none';
  /** Time since the onset before it; `null` for the first stroke of a take. */
  readonly restSeconds: Seconds | null;
}

/** One key press. */
export interface Stroke {
  readonly kind: StrokeKind;
  /** Number of the take it belongs to, from 1. */
  readonly take: number;
  readonly midi: MidiNote | null;
  /** The stroke's place in the recording; never null. The onset where there is one, else the expected beat. */
  readonly timeSeconds: Seconds;
  /** Finger-key contact. */
  readonly contactSeconds: Seconds | null;
  /** Hammer-string contact, as heard. */
  readonly onsetSeconds: Seconds | null;
  readonly keyBottomSeconds: Seconds | null;
  /** dB re full scale of the stroke's peak as fitted. */
  readonly levelDb: Decibels | null;
  /** Level above 2 kHz over the whole, dB, in the first 50 ms. */
  readonly brightness: Decibels | null;
  readonly knockDb: Decibels | null;
  readonly passage: Passage | null;
  /** Strokes of one bar share a group. */
  readonly group: number | null;
  readonly preceding: Preceding;
  /** Calibrated probability that this stroke of this kind happened. */
  readonly confidence: number;
  readonly contactConfidence: number | null;
  readonly absent: Readonly<Partial<Record<'contact' | 'onset' | 'midi' | 'keyBottom' | 'level', Absence>>>;
  readonly doubt: readonly Doubt[];
}

/** One note's pattern in the recording. */
export interface Take {
  readonly take: number;
  readonly midi: MidiNote | null;
  readonly asked: 'slow-fast' | 'open' | 'gentle' | 'just-over-half' | 'full-return' | 'bar' | null;
  readonly touch: 'finger' | 'weight' | 'bar' | null;
  /** Median rate of its fast passages, strokes per second; `null` without one. */
  readonly ratePerSecond: number | null;
}
