/**
 * A thousand visits played again with nothing done: no more show a change than the stated error rate allows.
 *
 * Budget: 15 minutes on one core.
 */

import { describe, expect, it } from 'vitest';
import { replayed, REPLAYED, STATED_RATE, type Replayed, type ReplayedCounts } from './replayed.ts';

const VISITS = 500;
const BUDGET_MS = 15 * 60_000;

describe('a thousand visits with nothing done', () => {
  it.each(REPLAYED)(
    '%s: a note is called changed in no more visits than one in twenty, and never of a round against itself',
    { timeout: BUDGET_MS },
    (which: Replayed) => {
      const counts: ReplayedCounts = replayed(which, VISITS);
      console.log(which, counts);
      expect(counts.notes).toBe(20 * VISITS);
      expect(counts.withItself).toBe(VISITS / 10);
      expect(counts.changedWithItself).toBe(0);
      // What 500 visits scatter about the stated rate: three standard deviations.
      const scatter = Math.sqrt((STATED_RATE * (1 - STATED_RATE)) / VISITS);
      expect(counts.changed / VISITS).toBeLessThan(STATED_RATE + 3 * scatter);
      expect(counts.changedWhole / VISITS).toBeLessThan(STATED_RATE + 3 * scatter);
      // And neither way is favoured: regression to the mean would show as notes improved.
      expect(counts.improved / counts.notes).toBeLessThan(0.01);
    },
  );
});
