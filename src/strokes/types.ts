/**
 * Strokes: what one key press was, as heard.
 *
 * Conventions: times are seconds from the start of the recording; levels are dB re full scale; what could not be
 * heard is `null`, with its cause in `absent`, never 0 or NaN. Lists are ordered in time.
 */

import type { Decibels, MidiNote, Seconds } from '../units.ts';

/** `sounded`; `silent`: the key moved, the string did not speak; `double`: an unwanted second hammer contact. */
export const STROKE_KINDS = ['sounded', 'silent', 'double'] as const;
export type StrokeKind = (typeof STROKE_KINDS)[number];

/** The way of playing that a stroke belongs to; `null` where it fits none. */
export const PASSAGES = ['slow', 'fast', 'gentle', 'bar'] as const;
export type Passage = (typeof PASSAGES)[number];

/** Why a value is absent. Closed list. */
export const ABSENCES = [
  'none-heard',
  'masked',
  'two-candidates',
  'outside-recording',
  'gap',
  'not-sought',
  'not-known',
] as const;
export type Absence = (typeof ABSENCES)[number];

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
  'other-sound',
  'several-notes',
  'not-a-take',
] as const;
export type Doubt = (typeof DOUBTS)[number];

/** Doubts that a stroke is a stroke of one string in a take at all: no verdict rests on it. */
export const NO_TAKE_DOUBTS: readonly Doubt[] = ['other-sound', 'several-notes', 'not-a-take'];

/** What kind of stroke came before; `none` before the first of a take. */
export const PRECEDING_KINDS = ['firm', 'slow', 'gentle', 'fast', 'bar', 'none'] as const;

/** How strong a stroke was against the note's own: see force. Closed list. */
export const FORCES = ['usual', 'firm', 'weak', 'gentle'] as const;
export type Force = (typeof FORCES)[number];

/** What came before a stroke. */
export interface Preceding {
  readonly kind: (typeof PRECEDING_KINDS)[number];
  /** Time since the onset before it; `null` for the first stroke of a take. */
  readonly restSeconds: Seconds | null;
  /** The tone before fell 6 dB or more beyond its free decay; `null` where that could not be heard. */
  readonly damped: boolean | null;
  /** How far it fell beyond its free decay. */
  readonly gapDb: Decibels | null;
}

/** One key press. */
export interface Stroke {
  /** A stroke more than 16 dB under the note's own is `silent` too, but keeps its onset and level. */
  readonly kind: StrokeKind;
  /** Number of the take it belongs to, from 1. */
  readonly take: number;
  readonly midi: MidiNote | null;
  /** The stroke's place in the recording; never null. The onset where there is one, else the expected beat. */
  readonly timeSeconds: Seconds;
  /** Finger-key contact: its first abrupt start. */
  readonly contactSeconds: Seconds | null;
  /** The time at which its noise reaches 15 % of its first height: for comparing loudnesses of one key, not absolute. */
  readonly contactRiseSeconds: Seconds | null;
  /** The later of two candidates. */
  readonly otherContactSeconds: Seconds | null;
  /** Hammer-string contact, as heard. */
  readonly onsetSeconds: Seconds | null;
  /** Expected error of the onset against the note's other strokes; `null` without a template. */
  readonly onsetErrorSeconds: Seconds | null;
  readonly keyBottomSeconds: Seconds | null;
  /** dB re full scale of the stroke's peak as fitted. */
  readonly levelDb: Decibels | null;
  /** Level against the note's own: re-strikes against the upper quartile of the fast ones, others against the slow median. */
  readonly relativeDb: Decibels | null;
  /** `null` for doubles, and where there is no relative level. */
  readonly force: Force | null;
  /** Level above 2 kHz over the whole, dB, in the first 50 ms. */
  readonly brightness: Decibels | null;
  /** Level of the knock of the key's bottom, dB re full scale; in the treble only. */
  readonly knockDb: Decibels | null;
  readonly passage: Passage | null;
  /** Strokes of one bar share a group. */
  readonly group: number | null;
  readonly preceding: Preceding;
  /** Calibrated probability that this stroke of this kind happened. */
  readonly confidence: number;
  readonly contactConfidence: number | null;
  readonly absent: Readonly<Partial<Record<'contact' | 'onset' | 'midi' | 'keyBottom' | 'level' | 'knock', Absence>>>;
  readonly doubt: readonly Doubt[];
}

/** What the player was asked to play in a take. */
export const ASKED = ['slow-fast', 'open', 'gentle', 'just-over-half', 'full-return', 'bar'] as const;

/** What pressed the key. */
export const TOUCHES = ['finger', 'weight', 'bar'] as const;
export type Touch = (typeof TOUCHES)[number];

/** One note's pattern in the recording. */
export interface Take {
  readonly take: number;
  readonly midi: MidiNote | null;
  readonly asked: (typeof ASKED)[number] | null;
  readonly touch: Touch | null;
  /** Median rate of its fast passages, strokes per second; `null` without one. */
  readonly ratePerSecond: number | null;
}
