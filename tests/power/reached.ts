/** A goal against what was counted: one comparer for the meter and the gate. */

import type { Goal } from './goals.ts';
import { foundShare, goodShare, per88, shareOf, type Figure, type Tally } from './tally.ts';

/** What the tally of the goal's design says of it; null where nothing was counted. */
export function measuredFor(goal: Goal, tally: Tally): Figure | null {
  switch (goal.of) {
    case 'false per 88':
      return per88(tally, 'unstable');
    case 'false share':
      return goodShare(tally, 'unstable');
    case 'found': {
      const count = tally.faults.get(goal.name ?? '');
      return count ? foundShare(count, 'unstable') : null;
    }
    case 'coverage': {
      const one = tally.coverage.get(goal.name ?? '');
      return one ? shareOf(one.held, one.n) : null;
    }
  }
}

/** True where `value` is on the right side of `limit` (for `between`: from it to `upTo`, the goal's own where not given). */
export function meets(goal: Goal, value: number, limit: number, upTo = goal.upTo): boolean {
  const { sense } = goal;
  if (sense === 'at most') return value <= limit;
  return value >= limit && (sense === 'at least' || value <= (upTo ?? Infinity));
}
