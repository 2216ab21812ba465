/** A small fixed part of what `replayed.proof.ts` counts over a thousand visits: nothing done, nothing changed. */

import { describe, expect, it } from 'vitest';
import { compareDocuments } from '../../src/analysis/compare.ts';
import { replayed, REPLAYED, replayedVisit } from './replayed.ts';

/** Visits of each kind: some seconds in all. */
const VISITS = 3;

describe('a visit played again with nothing done', () => {
  it.each(REPLAYED)('%s: hardly ever shows a change, and never against itself', (which) => {
    const { visits, changed, changedWhole, withItself, changedWithItself, notes } = replayed(which, VISITS, 5001, 3);
    expect([visits, withItself, notes]).toEqual([VISITS, 1, 20 * VISITS]);
    expect(changedWithItself).toBe(0);
    // At the stated rate two of three come up in 7 of 1,000 sets; the seeds are fixed.
    expect(changed).toBeLessThanOrEqual(1);
    expect(changedWhole).toBeLessThanOrEqual(1);
  });

  it('is no empty test: what was done shows', () => {
    // Repeats that fail in one to four of ten, and doubles; and the same piano with all in order.
    const [bad] = replayedVisit('notes-20', 5005);
    const [good] = replayedVisit('in-order-20', 5005);
    expect(compareDocuments(bad, good).notes.filter(({ change }) => change === 'improved').length).toBeGreaterThan(0);
  });
});
