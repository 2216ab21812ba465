/**
 * The six lengths that a gauge reads on a note: what they are called, what can be, and what published texts have.
 *
 * Makers differ and the maker's specification comes first: what lies outside the published range is unusual, never wrong. What can
 * be at all is this program's own, wide enough for any action and narrow enough to notice a slip of the unit or of the comma.
 */

import type { Millimetres } from '../units.ts';
import { ACTION } from './regulation.ts';

/** In the order in which they are read at the bench. */
export const MEASURED = ['blow', 'let-off', 'drop', 'dip', 'aftertouch', 'check'] as const;
export type Measured = (typeof MEASURED)[number];

export interface MeasuredLength {
  readonly title: string;
  /** Where the gauge is put, a few words. */
  readonly what: string;
  /** What can be at all, both ends included. */
  readonly least: Millimetres;
  readonly most: Millimetres;
}

export const MEASURED_LENGTHS: Readonly<Record<Measured, MeasuredLength>> = {
  blow: { title: 'Blow', what: 'hammer to string at rest', least: 10, most: 100 },
  'let-off': { title: 'Let-off', what: 'hammer to string where it lets off', least: 0, most: 20 },
  drop: { title: 'Drop', what: 'hammer falls below let-off', least: 0, most: 20 },
  dip: { title: 'Dip', what: 'key front, from rest to the bottom', least: 2, most: 25 },
  aftertouch: { title: 'Aftertouch', what: 'key front, from let-off to the bottom', least: 0, most: 10 },
  check: { title: 'Check', what: 'hammer to string when it is caught', least: 1, most: 60 },
};

interface Usual {
  readonly low: Millimetres;
  readonly high: Millimetres;
  /** So far beyond it is still no surprise: where a text has one value only, or values differ less than hands do. */
  readonly margin: Millimetres;
  readonly source: string;
}

/** What published texts have, widened to all of them; null where none was found. */
const USUAL: Readonly<Record<'grand' | 'upright', Readonly<Partial<Record<Measured, Usual>>>>> = {
  grand: {
    dip: { low: 9.5, high: 11, margin: 0, source: ACTION.dip.published!.source },
    blow: {
      ...{ low: 42, high: 49, margin: 0 },
      source: 'makers\u2019 sheets quoted by Brekne, pianotech list, October 2002; moypiano 004685, February 2009',
    },
    'let-off': {
      ...{ low: 1, high: 3.2, margin: 0 },
      source: 'pianotech list, attachment on let-off; a maker\u2019s service manual, p. 7: 1/8 to 1/16 inch',
    },
    drop: { low: 1.5, high: 1.6, margin: 0.8, source: ACTION.drop.published!.source },
    check: { low: 15, high: 15, margin: 4, source: 'a study that names two guides' },
  },
  upright: {
    blow: { low: 38, high: 50, margin: 0, source: 'brainscape, flash cards; depianotuner.com' },
    'let-off': { low: 1, high: 3, margin: 0, source: 'brainscape, flash cards; depianotuner.com' },
  },
};

/** Says that a length is not what published texts have, with what they have, millimetres; null where it is, or none is known. */
export function unusualLength(kind: Measured, length: Millimetres, piano: 'grand' | 'upright'): string | null {
  const usual = USUAL[piano][kind];
  if (!usual || (length >= usual.low - usual.margin && length <= usual.high + usual.margin)) return null;
  const range = usual.low === usual.high ? `about ${usual.low} mm` : `${usual.low} to ${usual.high} mm`;
  return `Unusual: published texts have ${range}. It is kept all the same.`;
}
