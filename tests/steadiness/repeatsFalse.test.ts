/**
 * Whole pianos under a hand that lets keys up to a depth of its own: how often notes in order are called failing.
 *
 * Failing is logistic in depth, as the tables of a model study have it, not beta-binomial; notes may differ in their odds for good.
 * Open notes are played again with fresh strokes, twice at most.
 */

import { describe, expect, it } from 'vitest';
import type { RepeatsEvidence } from '../../src/steadiness/evidence.ts';
import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { drawnLook, notePlay, type DepthHand, type Look } from './repeatPlay.ts';

interface Piano {
  readonly notes: number;
  /** How far the odds of notes in order lie apart for good, SD of their logarithm. */
  readonly apart: number;
  /** Notes, from the first, that fail at `share` besides. */
  readonly bad?: number;
  readonly share?: number;
}

/** A sitting: every note once, then open ones twice at most. */
function sitting(seed: number, hand: DepthHand, { notes, apart, bad = 0, share = 0 }: Piano): RepeatsEvidence {
  const random = new RandomStream(seed, 'piano');
  const odds = Array.from({ length: notes }, () => random.normal(0, apart));
  const looks: Look[][] = odds.map(() => []);
  let open = odds.map(() => true);
  let evidence = judgeRepeats([], null);
  for (let look = 1; look <= 3 && open.includes(true); look++) {
    looks.forEach((own, i) => open[i] && own.push(drawnLook(random, hand, look, odds[i], i < bad ? share : 0)));
    const plays = looks.map((own, i) => notePlay(21 + i, own, 1 + 10 * i));
    evidence = judgeRepeats(plays, null);
    const judged = evidence.notes;
    open = odds.map((_, i) => judged.get(21 + i)!.open);
  }
  return evidence;
}

/** Over pianos: false decisions, and bad notes found, per piano. */
function run(pianos: number, hand: DepthHand, piano: Piano) {
  let [wrong, found, expected] = [0, 0, 0];
  const gauges = new Set<string>();
  for (let seed = 1; seed <= pianos; seed++) {
    const { notes, gauge, expectedFalse } = sitting(seed, hand, piano);
    for (const [midi, { decides }] of notes) {
      if (!decides) continue;
      if (midi < 21 + (piano.bad ?? 0)) found++;
      else wrong++;
    }
    expected += expectedFalse / pianos;
    gauges.add(gauge);
  }
  return { wrong: wrong / pianos, found: found / pianos, expected, gauges };
}

const HANDS = [
  ['even', { depth: 5, scatter: 0.5 }],
  ['usual', { depth: 5, scatter: 0.8 }],
  ['loose', { depth: 5, scatter: 1.2 }],
] as const;
const PIANOS = 10;

describe('notes in order', () => {
  for (const [name, hand] of HANDS) {
    for (const apart of name === 'loose' ? [0, 0.5] : [0.5]) {
      it(`are seldom called failing: ${name} hand, odds apart by ${apart}`, { timeout: 30_000 }, () => {
        const { wrong, expected, gauges } = run(PIANOS, hand, { notes: 88, apart });
        // The aim is 0.3 a piano, of which a Poisson count of ten pianos may show so much.
        expect(wrong).toBeLessThanOrEqual(0.3 + (2 * Math.sqrt(0.3 * PIANOS)) / PIANOS);
        expect(expected).toBeGreaterThan(0);
        expect(expected).toBeLessThan(0.4);
        expect(gauges).not.toContain('let-up-more');
      });
    }
  }

  it('are seldom called failing beside failing ones, and those are found', { timeout: 30_000 }, () => {
    const { wrong, found, gauges } = run(PIANOS, HANDS[1][1], { notes: 88, apart: 0.5, bad: 13, share: 0.2 });
    expect(wrong).toBeLessThanOrEqual(0.3 + (2 * Math.sqrt(0.3 * PIANOS)) / PIANOS);
    expect(found / 13).toBeGreaterThan(0.7);
    expect(gauges).toEqual(new Set(['right']));
  });

  it('that are few among failing ones do not silence the test', { timeout: 30_000 }, () => {
    const { wrong, found, gauges } = run(
      PIANOS,
      { depth: 5.5, scatter: 0.5 },
      { notes: 24, apart: 0, bad: 5, share: 0.25 },
    );
    expect(gauges).toEqual(new Set(['right']));
    expect(wrong).toBeLessThan(0.4);
    expect(found / 5).toBeGreaterThan(0.7);
  });
});
