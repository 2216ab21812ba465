/** The counting itself, and what is compared with the goals. */

import { describe, expect, it } from 'vitest';
import { DESIGNS, designOf } from './designs.ts';
import { GOALS } from './goals.ts';
import { faultName } from './piano.ts';
import { meets } from './reached.ts';
import { foundShare, goodShare, meanOf, per88, ranking, shareOf, type FaultCount, type Tally } from './tally.ts';

const verdicts = (unstable: number, watch: number, steady: number, insufficient: number) => ({
  unstable,
  watch,
  steady,
  insufficient,
});

const tally: Tally = {
  design: designOf('plain-15'),
  sittings: 2,
  good: [
    { n: 80, ...verdicts(1, 2, 70, 7) },
    { n: 40, ...verdicts(0, 1, 39, 0) },
  ],
  falseFindings: new Map(),
  looks: new Map(),
  faults: new Map(),
  coverage: new Map(),
  scores: [
    { score: 0.9, bad: true, sitting: 0 },
    { score: 0.2, bad: true, sitting: 0 },
    { score: 0.2, bad: false, sitting: 0 },
    { score: 0.1, bad: false, sitting: 0 },
    // Scores compare within a sitting only, and this one has no note in order.
    { score: 0.05, bad: true, sitting: 1 },
  ],
  minutes: [30, 32],
  strokes: [1700, 1800],
  expected: [0.4, null],
  shown: { spread: { n: 0, unstable: 0 }, failures: { n: 0, unstable: 0 } },
  hands: [],
  judging: 100,
};

describe('counting', () => {
  it('gives mean and standard error', () => {
    expect(meanOf([1, 2, 3, 4])).toEqual({ value: 2.5, error: Math.sqrt(5 / 3 / 4), n: 4 });
    expect(meanOf([3]).error).toBe(Infinity);
  });

  it('gives a share with an error that is never 0', () => {
    expect(shareOf(5, 10).value).toBe(0.5);
    expect(shareOf(5, 10).error).toBeCloseTo(Math.sqrt(0.25 / 14), 12);
    expect(shareOf(0, 50).error).toBeGreaterThan(0.01);
  });

  it('counts false alarms sitting by sitting, for each 88 notes', () => {
    expect(per88(tally, 'unstable').value).toBeCloseTo((88 * (1 / 80 + 0)) / 2, 12);
    expect(per88(tally, 'unstable').n).toBe(120);
    expect(goodShare(tally, 'steady').value).toBeCloseTo((70 / 80 + 39 / 40) / 2, 12);
  });

  it('counts what is found of a fault', () => {
    const count: FaultCount = {
      fault: { kind: 'silent', share: 0.2 },
      verdicts: verdicts(6, 2, 1, 1),
      named: 7,
      n: 10,
      over: 9,
    };
    expect(foundShare(count, 'unstable').value).toBe(0.6);
    expect(foundShare(count, 'unstable', 'watch').value).toBe(0.8);
  });

  it('ranks within a sitting, ties half', () => {
    expect(ranking(tally)?.value).toBeCloseTo((1 + 0.75) / 2, 12);
    expect(ranking({ ...tally, scores: [] })).toBeNull();
  });
});

describe('goals and designs', () => {
  it('have a design each, and a fault that is planted in it', () => {
    for (const { design, of, name } of GOALS) {
      const { menu } = designOf(design).options;
      if (of === 'found') expect(menu.map(faultName)).toContain(name);
    }
    expect(() => designOf('none')).toThrow(RangeError);
  });

  it('have names of their own', () => {
    expect(new Set(DESIGNS.map(({ id }) => id)).size).toBe(DESIGNS.length);
    expect(new Set(GOALS.map(({ what }) => what)).size).toBe(GOALS.length);
  });

  it('are met on the right side only', () => {
    const [most] = GOALS.filter(({ sense }) => sense === 'at most');
    const [least] = GOALS.filter(({ sense }) => sense === 'at least');
    const [between] = GOALS.filter(({ sense }) => sense === 'between');
    expect([meets(most, 0.4, 0.45), meets(most, 0.5, 0.45)]).toEqual([true, false]);
    expect([meets(least, 0.9, 0.88), meets(least, 0.8, 0.88)]).toEqual([true, false]);
    expect([0.87, 0.9, 0.93].map((value) => meets(between, value, 0.88))).toEqual([false, true, false]);
  });
});
