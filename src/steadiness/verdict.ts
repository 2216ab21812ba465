/**
 * The plain verdict: what repeats show by themselves. It stands only where no base rates are known, neither from the round
 * nor from a stored hand.
 *
 * `watch` where repeats plainly fail: three or more stayed silent, and the 90 % interval of their share lies wholly above
 * what a hesitant hand alone might miss. Weak repeats alone are as often the hand's. Everything else is `insufficient`:
 * this module never calls a note steady or unstable.
 */

import { shareEstimate } from '../statistics/intervals.ts';
import { failedRepeats, type RecordedStroke } from './measures.ts';
import type { RecordedTake } from './round.ts';

export interface PlainVerdict {
  readonly verdict: 'watch' | 'insufficient';
  /** Lower limit of the share of silent repeats. */
  readonly score: number;
  readonly findings: readonly {
    readonly kind: 'missed-repeats' | 'weak-repeats';
    readonly size: number;
    readonly unit: 'share';
    readonly interval: readonly [number, number];
    readonly n: number;
  }[];
}

const LEAST_FAILURES = 3;
/** Common practice, no source: a share that a hand by itself does not reach on a sound note. */
const HAND_ALONE = 0.06;

/**
 * Verdict on one note's strokes.
 * @param takes - by their numbers: repeats asked for with full return are not counted
 */
export function plainVerdict(
  strokes: readonly RecordedStroke[],
  takes: ReadonlyMap<number, RecordedTake> = new Map(),
): PlainVerdict {
  const { silent, weak, n } = failedRepeats(strokes, takes);
  const share = shareEstimate(silent, n);
  const plain = silent >= LEAST_FAILURES && share.interval[0] > HAND_ALONE;
  const findings: PlainVerdict['findings'][number][] = [];
  if (plain) {
    for (const [kind, count] of [
      ['missed-repeats', silent],
      ['weak-repeats', weak],
    ] as const) {
      if (count === 0) continue;
      const estimate = shareEstimate(count, n);
      findings.push({ kind, size: estimate.value, unit: 'share', interval: estimate.interval, n });
    }
  }
  return { verdict: plain ? 'watch' : 'insufficient', score: n > 0 ? share.interval[0] : 0, findings };
}
