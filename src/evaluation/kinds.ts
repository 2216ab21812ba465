/**
 * Score of the kinds of stroke: how many silent strokes and doubles were found, and how many were made up.
 *
 * Conventions: seconds; a stroke is found if a stroke of the *same* kind was reported within the tolerance of it.
 * A silent stroke reported as sounded is therefore a miss of the one kind and an extra of the other.
 */

import type { StrokeKind } from '../strokes/types.ts';
import type { Seconds } from '../units.ts';
import { matchOnsets, type OnsetMatching } from './matching.ts';

/** A stroke as this score needs it. */
export interface KindedStroke {
  readonly kind: StrokeKind;
  readonly timeSeconds: Seconds;
}

export const STROKE_KINDS = ['sounded', 'silent', 'double'] as const satisfies readonly StrokeKind[];

/**
 * Matching of each kind on its own. Silent strokes have no onset: their time is the beat they were expected at, so
 * their tolerance is larger than that of an onset.
 * @param toleranceSeconds per kind; a number serves for all.
 * @throws RangeError as {@link matchOnsets}.
 */
export function scoreKinds(
  reference: readonly KindedStroke[],
  estimate: readonly KindedStroke[],
  toleranceSeconds: Seconds | Readonly<Record<StrokeKind, Seconds>>,
): Record<StrokeKind, OnsetMatching> {
  const timesOf = (strokes: readonly KindedStroke[], kind: StrokeKind): Seconds[] =>
    strokes.filter((stroke) => stroke.kind === kind).map((stroke) => stroke.timeSeconds);
  const score = (kind: StrokeKind): OnsetMatching =>
    matchOnsets(
      timesOf(reference, kind),
      timesOf(estimate, kind),
      typeof toleranceSeconds === 'number' ? toleranceSeconds : toleranceSeconds[kind],
    );
  return { sounded: score('sounded'), silent: score('silent'), double: score('double') };
}
