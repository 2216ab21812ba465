/**
 * The gate of whole sittings: a small fixed part of what the meter counts, held to the table of goals. Same comparer.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { designOf, PLAIN } from './designs.ts';
import { GOALS } from './goals.ts';
import { measuredFor, meets } from './reached.ts';
import { tallyOf, type Tally } from './tally.ts';

/** Sittings of each design: some seconds in all. */
const SITTINGS: Readonly<Record<string, number>> = { good: 3, 'plain-15': 10, 'weak-player': 2 };

describe('whole sittings', () => {
  const tallies = new Map<string, Tally>();
  beforeAll(() => {
    for (const [id, sittings] of Object.entries(SITTINGS)) tallies.set(id, tallyOf(designOf(id), sittings));
  }, 300_000);

  it('has every planted fault ten times and more', () => {
    const faults = tallies.get('plain-15')!.faults;
    expect(faults.size).toBe(PLAIN.length);
    for (const [, { n }] of faults) expect(n).toBeGreaterThanOrEqual(10);
  });

  for (const goal of GOALS) {
    const check = (limit: number, upTo = goal.upTo) => {
      const measured = measuredFor(goal, tallies.get(goal.design)!);
      expect(measured).not.toBeNull();
      expect(meets(goal, measured!.value, limit, upTo), `measured ${measured!.value} of ${measured!.n}`).toBe(true);
    };
    it(`${goal.what}: ${goal.sense} ${goal.gate}`, () => check(goal.gate, goal.gateUpTo));
  }
});
