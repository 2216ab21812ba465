/**
 * How far the hand let the keys up, from how the whole piano failed: then no note can be told from the hand, or none was tested.
 *
 * Judged on first looks; later ones hold the doubtful notes only.
 * - Repeats silent more than 6 times, or silent or weak more than 12 times, in a hundred: either some notes fail often, or the hand
 *   does in some of its passages. Fresh strokes part the two, so no first look decides.
 * - Twice that; or the notes in order alone reach it; or most notes look failing (a hand that misses everywhere leaves none in order
 *   to learn from, and the two classes change places): the keys were let up too little, nothing is decided.
 * - Nothing found, and under 5 repeats in a hundred 6 dB down: let up so far that nothing was tested.
 * The shares are those of a model study of repeated strokes; that they bind first looks only, up to twice as much, is this program's
 * own: with them alone a piano with every seventh note failing would never be judged.
 */

import type { ReturnGauge } from '../kinds.ts';
import type { RepeatCounts } from './counts.ts';
import { LEAST_NOTES, type Fits } from './rates.ts';

const MOST_SILENT = 0.06;
const MOST_FAINT = 0.12;
/** With more than these notes failing none is told from the hand; the fit states half of the notes failing as up to 0.67. */
const MOST_FAILING = 0.7;
const LEAST_UNDER = 0.05;
const LEAST_REPEATS = 60;

/** What the failures of the whole piano allow: every look to decide, only fresh strokes, or nothing. */
export type Allowed = 'every-look' | 'fresh-strokes' | 'nothing';

/** What series of repeats may decide; `first` are the counts of the first looks. */
export function allowedBy(first: readonly RepeatCounts[], fits: Fits): Allowed {
  const { steadySilent, steadyFaint, quickSilent, quickFaint } = fits;
  const sum = (pick: (one: RepeatCounts) => number) => first.reduce((total, one) => total + pick(one), 0);
  const n = Math.max(1, repeatsIn(first));
  const silent = sum(({ steady, quick }) => steady.silent + quick.silent) / n;
  const faint = sum(({ steady, quick }) => steady.faint + quick.faint) / n;
  const over = Math.max(silent / MOST_SILENT, faint / MOST_FAINT);
  // Where only notes that were doubtful were played quickly, their rates are no measure of the hand.
  const quick = first.filter((one) => one.quick.n > 0).length >= LEAST_NOTES;
  const inOrder = Math.max(
    Math.max(steadySilent.rate, quick ? quickSilent.rate : 0) / MOST_SILENT,
    Math.max(steadyFaint.rate, quick ? quickFaint.rate : 0) / MOST_FAINT,
  );
  const failing = Math.max(steadySilent.failingShare, steadyFaint.failingShare);
  if (n >= LEAST_REPEATS && (over > 2 || failing > MOST_FAILING)) return 'nothing';
  if (inOrder > 1) return 'nothing';
  return n >= LEAST_REPEATS && over > 1 ? 'fresh-strokes' : 'every-look';
}

function repeatsIn(counts: readonly RepeatCounts[]): number {
  return counts.reduce((sum, { steady, quick }) => sum + steady.n + quick.n, 0);
}

/** The gauge of a round: `first` are the counts of the first looks, `found` says whether any note was decided. */
export function gaugeOf(first: readonly RepeatCounts[], allowed: Allowed, found: boolean): ReturnGauge {
  const n = repeatsIn(first);
  if (n < LEAST_REPEATS) return 'unknown';
  if (allowed === 'nothing') return 'let-up-more';
  const under = first.reduce((sum, one) => sum + one.under, 0);
  return !found && under < LEAST_UNDER * n ? 'let-up-less' : 'right';
}
