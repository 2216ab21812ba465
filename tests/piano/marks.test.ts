/** From a note's measures to the marks that order its looks: told only where the strokes can tell. */

import { describe, expect, it } from 'vitest';
import { CHECKS } from '../../src/piano/symptoms.ts';
import { FINDING_KINDS, type Finding, type Measure } from '../../src/steadiness/kinds.ts';
import { marksOf, symptomsOf } from '../../src/steadiness/symptoms.ts';

const share = (kind: Measure['kind'], failed: number, n: number): Measure => ({
  kind,
  value: failed / n,
  unit: 'share',
  interval: [0, 1],
  n,
});
const found = (kind: Finding['kind'], size = 5 / 24): Finding => ({
  kind,
  size,
  unit: 'share',
  interval: [0, 1],
  n: 24,
});
const firm = (value: number, half: number): Measure => ({
  kind: 'firm-against-slow',
  value,
  unit: 'percent',
  interval: [value - half, value + half],
  n: 18,
});
const marks = (findings: Finding[], measures: Measure[] = []) => marksOf({ findings, measures, pattern: null });

describe('marks', () => {
  it('of repeats: clean once let up, from six strokes on', () => {
    const missed = found('missed-repeats');
    expect(marks([missed], [share('after-damped', 0, 6)])).toEqual(['fails-half-returned-only']);
    expect(marks([missed], [share('after-damped', 0, 5)])).toEqual([]);
    expect(marks([missed], [share('after-damped', 1, 8)])).toEqual([]);
    expect(marks([found('double-strikes')], [share('after-damped', 0, 8)])).toEqual([]);
  });

  it('of a shift: equal at two loudnesses, growing softer, or not told', () => {
    const early = found('early-or-late', -6);
    expect(marks([early], [firm(1, 3)])).toEqual(['shift-equal']);
    expect(marks([early], [firm(1, 8)])).toEqual([]);
    expect(marks([early], [firm(5, 2)])).toEqual(['shift-grows-softer']);
    expect(marks([found('early-or-late', 6)], [firm(-5, 2)])).toEqual(['shift-grows-softer']);
    expect(marks([early], [firm(-5, 2)])).toEqual([]);
    expect(marks([early])).toEqual([]);
  });

  it('of the softest strokes: alone, or early too; nothing where nobody knows', () => {
    const gentle = found('silent-when-gentle');
    const placed: Measure = { ...firm(0.5, 2), kind: 'travel-shift' };
    expect(marks([gentle], [placed])).toEqual(['soft-silent-only']);
    expect(marks([gentle])).toEqual([]);
    expect(marks([gentle, found('early-or-late', -6)])).toEqual(['soft-silent-and-early']);
    expect(marks([gentle, found('wandering-rest', 2)], [placed])).toEqual([]);
  });

  it('repeats that failed in the full-return control alone are no hand\u2019s', () => {
    const facts = {
      findings: [{ ...found('missed-repeats', 4 / 12), n: 12 }],
      measures: [share('silent-repeats', 0, 24), share('weak-repeats', 0, 24), share('after-damped', 0, 8)],
      pattern: null,
    };
    expect(symptomsOf(facts)).toEqual(['fails-though-let-up']);
    expect(marksOf(facts)).toEqual([]);
  });

  it('every finding has something to look at', () => {
    for (const kind of FINDING_KINDS) {
      const symptoms = symptomsOf({ findings: [found(kind, 3)], measures: [], pattern: null });
      expect(symptoms, kind).toHaveLength(1);
      expect(CHECKS[symptoms[0]].length, kind).toBeGreaterThan(0);
    }
  });
});
