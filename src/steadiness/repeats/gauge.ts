/**
 * How far the hand let the keys up, from how the whole piano failed: then no note can be told from the hand, or none was tested.
 *
 * Notes in order that stay silent more than 6 times, or are silent or weak more than 12 times, in a hundred: the keys were let up
 * too little. So they were where most notes look failing: a hand that misses everywhere leaves no notes in order to learn from,
 * and the two classes change places. Nothing found, and under 5 repeats in a hundred 6 dB down: let up so far that nothing was
 * tested. Shares: model study of repeated strokes. Judged on first looks; later ones hold the doubtful notes only.
 */

import type { ReturnGauge } from '../kinds.ts';
import type { RepeatCounts } from './counts.ts';
import type { Fits } from './rates.ts';

const MOST_SILENT = 0.06;
const MOST_FAINT = 0.12;
/** With more than these notes failing none is told from the hand; the fit states half of the notes failing as up to 0.67. */
const MOST_FAILING = 0.7;
const LEAST_UNDER = 0.05;
const LEAST_REPEATS = 60;

/** Whether the hand fails too often for any verdict on series of repeats. */
export function failsEverywhere({ steadySilent, steadyFaint, quickSilent, quickFaint }: Fits): boolean {
  return (
    Math.max(steadySilent.rate, quickSilent.rate) > MOST_SILENT ||
    Math.max(steadyFaint.rate, quickFaint.rate) > MOST_FAINT ||
    Math.max(steadySilent.failingShare, steadyFaint.failingShare) > MOST_FAILING
  );
}

/** The gauge of a round: `first` are the counts of the first looks, `found` whether any note was decided. */
export function gaugeOf(first: readonly RepeatCounts[], everywhere: boolean, found: boolean): ReturnGauge {
  const n = first.reduce((sum, { steady, quick }) => sum + steady.n + quick.n, 0);
  if (n < LEAST_REPEATS) return 'unknown';
  if (everywhere) return 'let-up-more';
  const under = first.reduce((sum, one) => sum + one.under, 0);
  return !found && under < LEAST_UNDER * n ? 'let-up-less' : 'right';
}
