/** The repeats of a note as measures and findings, kinds apart, each with Jeffreys' 90 % interval. */

import { shareEstimate } from '../../statistics/intervals.ts';
import type { Finding, Measure } from '../kinds.ts';
import type { RepeatCounts } from './counts.ts';

/** What is off, of what speaks: repeats, doubles. */
export function findingsOf(
  { steady, quick, struck, dampedLow, fullReturn }: RepeatCounts,
  speaks: { readonly repeats: boolean; readonly doubles: boolean },
): Finding[] {
  const findings: Finding[] = [];
  const say = (kind: Finding['kind'], count: number, n: number) => {
    if (count === 0 || n === 0) return;
    const { value, interval } = shareEstimate(Math.min(count, n), n);
    findings.push({ kind, size: value, unit: 'share', interval, n });
  };
  if (speaks.repeats) {
    const silent = steady.silent + quick.silent;
    // After a damped gap 6 dB under is a failure, and so a weak repeat; elsewhere it is the hand's scatter.
    const weak = steady.faint + quick.faint - silent + dampedLow;
    say('missed-repeats', silent, steady.n + quick.n);
    say('weak-repeats', weak, steady.n + quick.n);
    // Where all of it happened in the control with full return, its strokes are what there is to state.
    if (findings.length === 0) say('missed-repeats', fullReturn.failed, fullReturn.n);
  }
  if (speaks.doubles) say('double-strikes', struck.doubles, struck.n);
  return findings;
}

/** All counts that there are strokes for. */
export function measuresOf({ steady, quick, dampedSteady, dampedQuick, struck }: RepeatCounts): Measure[] {
  const measures: Measure[] = [];
  const say = (kind: Measure['kind'], count: number, n: number) => {
    if (n > 0) measures.push({ kind, unit: 'share', ...shareEstimate(count, n), n });
  };
  const silent = steady.silent + quick.silent;
  say('silent-repeats', silent, steady.n + quick.n);
  say('weak-repeats', steady.faint + quick.faint - silent, steady.n + quick.n);
  say('after-damped', dampedSteady.failed + dampedQuick.failed, dampedSteady.n + dampedQuick.n);
  say('double-strikes', struck.doubles, struck.n);
  return measures;
}
