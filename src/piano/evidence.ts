/**
 * What was heard of a note beyond its symptoms' names, and how that changes what to look at first.
 *
 * Most rests on a model study of one grand action and of its fast repeats: their sizes are a model's, and the model names the
 * right one of eleven causes in about two cases of three at best. So evidence moves a look up or down and says why; it
 * takes none away and is never sure.
 */

import { MODEL, REPEATS, type Check } from './checks/check.ts';
import { TRAVELLED } from './checks/travelled.ts';
import { NO_SOURCE, type Sourced } from './grades.ts';
import type { Part } from './regulation.ts';
import type { Symptom } from './symptoms.ts';

/** What can be told beside a symptom, what weighs more before what weighs less. Closed list. */
export const MARKS = [
  'lone',
  'every-second',
  'fails-though-let-up',
  'fails-faster',
  'recovers-when-let-up',
  'soft-silent-too',
  'silent-not-weak',
  'weak-not-silent',
  'fails-half-returned-only',
  'doubles-soft-only',
  'doubles-firm-only',
  'hangs',
  'soft-silent-and-early',
  'soft-silent-only',
  'shift-grows-softer',
  'shift-equal',
] as const;
export type Mark = (typeof MARKS)[number];

/** How a mark changes the looks of the symptoms it bears on. */
export interface Evidence extends Sourced {
  readonly of: readonly Symptom[];
  /** Moved up, in this order. */
  readonly first: readonly Part[];
  /** Moved down behind all else. */
  readonly last: readonly Part[];
  /** Looks that only this mark asks for. */
  readonly adds: Readonly<Partial<Record<Symptom, readonly Check[]>>>;
  /** Why, a sentence; never that it is so. */
  readonly reason: string;
}

const FAILED: readonly Symptom[] = [
  'silent-repeats',
  'silent-repeats-and-gentle',
  'weak-repeats',
  'every-second-repeat',
  'silent-until-let-up',
  'weak-until-let-up',
];
const SILENT: readonly Symptom[] = ['silent-repeats', 'silent-repeats-and-gentle', 'silent-until-let-up'];
const WEAK: readonly Symptom[] = ['weak-repeats', 'weak-until-let-up'];
const PRACTICE: Sourced = { grade: 'common practice', source: NO_SOURCE };
const model = (source: string): Sourced => ({ grade: 'model', source });

export const EVIDENCE: Readonly<Record<Mark, Evidence>> = {
  lone: {
    of: ['lone-miss'],
    first: ['hand'],
    last: [],
    adds: {},
    reason: 'A single miss that recovers may be a key struck too early or not let up.',
    ...model(REPEATS),
  },
  'every-second': {
    of: ['every-second-repeat'],
    first: ['hand'],
    last: [],
    adds: {},
    reason: 'Where every second stroke fails, it may be one of two fingers.',
    ...PRACTICE,
  },
  'fails-though-let-up': {
    of: ['fails-though-let-up'],
    first: ['check'],
    last: ['spring', 'lever'],
    adds: {},
    reason: 'It fails although the key was let up far enough: that may be the checking sooner than spring or lever.',
    ...model(REPEATS),
  },
  'fails-faster': {
    of: ['fails-when-faster'],
    first: ['check'],
    last: [],
    adds: {},
    reason: 'It fails more often at the quicker rate: that may be the checking, or something sluggish.',
    ...model(REPEATS),
  },
  'recovers-when-let-up': {
    of: ['silent-until-let-up', 'weak-until-let-up'],
    first: ['check', 'spring'],
    last: [],
    adds: {},
    reason: 'Once it failed it spoke again only when the key was let right up: a wedged tail may do that.',
    grade: 'published trade text',
    source: 'pianotech list archive (moypiano 068688 and 200952)',
  },
  'soft-silent-too': {
    of: ['silent-repeats-and-gentle'],
    first: ['centre'],
    last: [],
    adds: {},
    reason: 'Very soft strokes stay silent too: with the repeats, that may be a sluggish centre.',
    ...model(REPEATS),
  },
  'silent-not-weak': {
    of: SILENT,
    first: ['spring', 'lever'],
    last: [],
    adds: {},
    reason: 'The repeats stay silent rather than come out weak: that may be the spring sooner than the lever.',
    ...model(REPEATS),
  },
  'weak-not-silent': {
    of: WEAK,
    first: ['lever', 'check'],
    last: [],
    adds: {},
    reason: 'The repeats come out weak rather than stay silent: that may be a low lever or the checking.',
    ...model(REPEATS),
  },
  'fails-half-returned-only': {
    of: FAILED,
    first: ['spring', 'lever'],
    last: ['check'],
    adds: {},
    reason:
      'It fails with the key half let up and speaks when it is let up further: that may be spring or lever sooner than the checking.',
    ...model(REPEATS),
  },
  'doubles-soft-only': {
    of: ['double-when-soft'],
    first: ['let-off', 'spring'],
    last: [],
    adds: {},
    reason: 'It strikes twice at soft playing: that may be a near let-off or a strong spring.',
    ...model(MODEL),
  },
  'doubles-firm-only': {
    of: ['double-when-firm'],
    first: ['check'],
    last: ['let-off', 'spring'],
    adds: {},
    reason: 'It strikes twice, but not at soft playing: that may be the checking.',
    ...model(MODEL),
  },
  hangs: {
    of: ['wanders-widely'],
    first: ['centre'],
    last: [],
    adds: {},
    reason: 'A wandering lever alone does not reach so wide a spread: the hammer may hang.',
    ...model(MODEL),
  },
  'soft-silent-and-early': {
    of: ['silent-when-gentle'],
    first: ['let-off', 'drop'],
    last: [],
    adds: {},
    reason: 'It is silent when soft and early at the same loudness: that may be an early let-off or much drop.',
    ...model(MODEL),
  },
  'soft-silent-only': {
    of: ['silent-when-gentle'],
    first: ['key', 'centre'],
    last: [],
    adds: {},
    reason: 'Only the softest strokes stay silent, and it is neither early nor late: that may be friction.',
    ...model(MODEL),
  },
  'shift-grows-softer': {
    of: ['early', 'late'],
    first: ['let-off', 'drop'],
    last: ['lever', 'blow'],
    adds: {
      early: [TRAVELLED.letOffEarlyTone, TRAVELLED.dropMuchTone],
      late: [TRAVELLED.letOffLateTone, TRAVELLED.dropSmallTone],
    },
    reason:
      'It is further off at soft strokes than at firm ones: that may be let-off or drop sooner than blow or lever.',
    ...model(MODEL),
  },
  'shift-equal': {
    of: ['early', 'late'],
    first: ['blow', 'lever'],
    last: [],
    adds: {},
    reason:
      'It is as far off at firm strokes as at softer ones: that may be the blow, or a gap between key and hammer.',
    ...model(MODEL),
  },
};

/** What a symptom says of itself. */
export const OWN_MARKS: Readonly<Partial<Record<Symptom, readonly Mark[]>>> = {
  'silent-repeats': ['silent-not-weak'],
  'silent-repeats-and-gentle': ['soft-silent-too', 'silent-not-weak'],
  'weak-repeats': ['weak-not-silent'],
  'every-second-repeat': ['every-second'],
  'silent-until-let-up': ['recovers-when-let-up', 'silent-not-weak'],
  'weak-until-let-up': ['recovers-when-let-up', 'weak-not-silent'],
  'lone-miss': ['lone'],
  'fails-when-faster': ['fails-faster'],
  'fails-though-let-up': ['fails-though-let-up'],
  'double-when-soft': ['doubles-soft-only'],
  'double-when-firm': ['doubles-firm-only'],
  'wanders-widely': ['hangs'],
};
