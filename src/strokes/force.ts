/**
 * How strong a stroke was, against the note's own: usual, firm, weak, gentle, or so faint that it counts as silent.
 *
 * Re-strikes are held against the upper quartile of the take's own fast strokes, slow strokes against the slow median.
 * Limits: weak from 10 dB under, silent beyond 16 (model study of repeated strokes: a hand's own scatter ends at about
 * 10 dB, what a listener calls missed begins at about 16); firm 6 dB over and gentle 8 dB under the slow median (common
 * practice of this program, no source).
 */

import { median, quantile } from '../statistics/order.ts';
import type { Decibels } from '../units.ts';
import type { Force, Passage } from './types.ts';

export const WEAK_UNDER: Decibels = 10;
export const SILENT_UNDER: Decibels = 16;
export const FIRM_OVER: Decibels = 6;
export const GENTLE_UNDER: Decibels = 8;
/** A run of so many gentle strokes was played as one. */
const GENTLE_RUN = 6;
const LEAST_STROKES = 3;

/** What is known of a stroke here; doubles and silent strokes without a level have no say in the references. */
export interface Struck {
  readonly passage: Passage | null;
  readonly level: Decibels | null;
  readonly double: boolean;
}

/** A stroke against its reference. */
export interface Relative {
  /** `null` without a level or a reference. */
  readonly relativeDb: Decibels | null;
  /** `null` for doubles, and where `relativeDb` is. */
  readonly force: Force | null;
  /** More than 16 dB under: counts as silent. */
  readonly faint: boolean;
  /** The passage, `gentle` where a whole run of slow strokes is. */
  readonly passage: Passage | null;
}

/** Places every stroke of a take (in order of time) against its references. */
export function relativeStrokes(strokes: readonly Struck[]): Relative[] {
  const levelsOf = (passage: Passage, passages: readonly (Passage | null)[]) =>
    strokes.flatMap(({ level, double }, i) => (passages[i] === passage && level !== null && !double ? [level] : []));
  const passages = withGentleRuns(
    strokes,
    levelsOf(
      'slow',
      strokes.map(({ passage }) => passage),
    ),
  );
  const slow = levelsOf('slow', passages);
  const fast = levelsOf('fast', passages);
  const slowReference = slow.length >= LEAST_STROKES ? median(slow) : null;
  const fastReference = fast.length >= LEAST_STROKES ? quantile(fast, 0.75) : null;
  return strokes.map(({ level, double }, i) => {
    const passage = passages[i];
    const reference = passage === 'fast' ? fastReference : passage === null ? null : slowReference;
    const relativeDb = level === null || reference === null ? null : level - reference;
    const overSlow = level === null || slowReference === null ? 0 : level - slowReference;
    const faint = !double && relativeDb !== null && relativeDb < -SILENT_UNDER && passage !== 'gentle';
    const force = relativeDb === null || double ? null : forceOf(relativeDb, overSlow, passage === 'fast');
    return { relativeDb, force, faint, passage };
  });
}

function forceOf(relativeDb: Decibels, overSlow: Decibels, fast: boolean): Force {
  if (fast && relativeDb <= -WEAK_UNDER) return 'weak';
  if (overSlow >= FIRM_OVER) return 'firm';
  return !fast && relativeDb <= -GENTLE_UNDER ? 'gentle' : 'usual';
}

/** The passages, runs of gentle strokes named so: against the louder strokes' level, which such a run does not pull down. */
function withGentleRuns(strokes: readonly Struck[], slow: readonly Decibels[]): (Passage | null)[] {
  const passages = strokes.map(({ passage }) => passage);
  if (slow.length < GENTLE_RUN + LEAST_STROKES) return passages;
  const usual = quantile(slow, 0.8);
  let run: number[] = [];
  const close = () => {
    if (run.length >= GENTLE_RUN) for (const i of run) passages[i] = 'gentle';
    run = [];
  };
  strokes.forEach(({ passage, level, double }, i) => {
    if (double) return;
    if (passage === 'slow' && level !== null && level <= usual - GENTLE_UNDER) run.push(i);
    else close();
  });
  close();
  return passages;
}
