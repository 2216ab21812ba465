/** Measures of hand-made strokes against arithmetic; the plain verdict at its edges. */

import { describe, expect, it } from 'vitest';
import { failedRepeats, measureNote } from '../../src/steadiness/measures.ts';
import { plainVerdict } from '../../src/steadiness/verdict.ts';
import { contactOf } from '../../src/pictures/heard.ts';
import { relativeStrokes } from '../../src/strokes/force.ts';
import type { Stroke } from '../../src/strokes/types.ts';

function stroke(
  seconds: number,
  passage: 'slow' | 'fast',
  levelDb: number | null,
  kind: Stroke['kind'] = 'sounded',
): Stroke {
  const silent = kind === 'silent';
  return {
    kind,
    take: 1,
    midi: 60,
    timeSeconds: seconds,
    contactSeconds: null,
    contactRiseSeconds: null,
    otherContactSeconds: null,
    onsetSeconds: silent ? null : seconds,
    onsetErrorSeconds: silent ? null : 5e-6,
    keyBottomSeconds: null,
    levelDb: silent ? null : levelDb,
    relativeDb: null,
    force: silent ? null : 'usual',
    brightness: null,
    knockDb: null,
    passage,
    group: null,
    preceding: { kind: 'none', restSeconds: null, damped: null, gapDb: null },
    confidence: 1,
    contactConfidence: null,
    absent: {},
    doubt: [],
  };
}

/** Fast strokes at these levels (`null`: silent), placed against their own as a take's are. */
const fast = (levels: readonly (number | null)[]): Stroke[] => {
  const relative = relativeStrokes(levels.map((level) => ({ passage: 'fast', level, double: false })));
  return levels.map((level, i) => {
    const { relativeDb, force, faint } = relative[i];
    const plain = stroke(i * 0.16, 'fast', level, level === null || faint ? 'silent' : 'sounded');
    return { ...plain, levelDb: level, relativeDb, force };
  });
};

describe('failedRepeats', () => {
  it('counts silent and weak apart, against the upper quartile, the first stroke aside', () => {
    const strokes = fast([-20, -20, null, -20, -31, -20, -37, -28, -20, -20, -20, -20]);
    expect(failedRepeats(strokes)).toEqual({ failed: 3, silent: 2, weak: 1, n: 11 });
  });

  it('does not count doubles as strokes', () => {
    const [first, ...rest] = fast(Array(6).fill(-20));
    const double: Stroke = { ...first, kind: 'double', timeSeconds: 0.07, force: null };
    expect(failedRepeats([first, double, ...rest])).toEqual({ failed: 0, silent: 0, weak: 0, n: 5 });
  });

  it('counts as the judgement does: passages parted at a pause, those asked for with full return aside', () => {
    const later = fast(Array(6).fill(-20)).map((one) => ({ ...one, timeSeconds: one.timeSeconds + 5 }));
    const strokes = [...fast([-20, null, -20, -20, -20, -20]), ...later];
    expect(failedRepeats(strokes)).toEqual({ failed: 1, silent: 1, weak: 0, n: 10 });
    const asked = { take: 1, midi: 60, asked: 'full-return', touch: null, ratePerSecond: 6 } as const;
    expect(failedRepeats(strokes, new Map([[1, asked]])).n).toBe(0);
  });

  it('has nothing to count without fast strokes', () => {
    expect(failedRepeats([stroke(0, 'slow', -20), stroke(1, 'slow', -20)]).n).toBe(0);
  });
});

describe('measureNote', () => {
  it('gives rate, unevenness, spreads and shares with their n', () => {
    const times = [0, 0.16, 0.32, 0.5, 0.64, 0.8];
    const strokes = times.map((t, i) => stroke(t, 'fast', -20 - (i % 2)));
    const measures = Object.fromEntries(measureNote(strokes).map((m) => [m.kind, m]));
    expect(measures.rate.value).toBeCloseTo((1 / 0.16 + 1 / 0.16 + 1 / 0.18 + 1 / 0.14 + 1 / 0.16) / 5, 9);
    expect(measures['fast-unevenness'].n).toBe(5);
    expect(measures['fast-unevenness'].value).toBeGreaterThan(5);
    expect(measures['fast-unevenness'].value).toBeLessThan(15);
    expect(measures['fast-level-spread'].value).toBeCloseTo(Math.sqrt(0.3), 6);
    expect(measures['failed-repeats']).toMatchObject({ value: 0, n: 5, unit: 'share' });
    for (const { value, interval } of Object.values(measures)) {
      expect(interval[0]).toBeLessThanOrEqual(value);
      expect(interval[1]).toBeGreaterThanOrEqual(value);
    }
  });

  it('a straight drift of tempo is not unevenness', () => {
    let now = 0;
    const strokes = Array.from({ length: 10 }, (_, i) => stroke((now += 0.15 + 0.002 * i), 'fast', -20));
    const unevenness = measureNote(strokes).find((m) => m.kind === 'fast-unevenness')!;
    expect(unevenness.value).toBeLessThan(1e-6);
  });

  it('leaves out what cannot be estimated', () => {
    expect(measureNote([stroke(0, 'slow', -20)])).toEqual([]);
  });
});

describe('contacts', () => {
  const travelled = (at: number, ms: number | null, doubted = false): Stroke => ({
    ...stroke(at, 'slow', -20),
    contactSeconds: ms === null ? null : at - ms / 1000,
    doubt: doubted ? ['two-candidates'] : [],
  });

  it('counts those heard and says how long they travelled, without what has two candidates', () => {
    const strokes = [30, 32, 34, null, 90].map((ms, i) => travelled(1 + i, ms, ms === 90));
    const [heard, travel] = ['contacts-heard', 'travel-time'].map((kind) =>
      measureNote(strokes).find((measure) => measure.kind === kind)!,
    );
    expect(heard).toMatchObject({ value: 0.6, n: 5 });
    expect(travel.value).toBeCloseTo(32, 6);
    expect(travel.n).toBe(3);
    expect(travel.interval[0]).toBeLessThan(32);
  });

  it('counts exactly those that the pictures call clear', () => {
    const one = travelled(1, 40);
    const cases: Stroke[] = [
      one,
      { ...one, contactConfidence: 0.5 },
      { ...one, contactConfidence: 0.499 },
      { ...one, otherContactSeconds: 0.98, doubt: ['two-candidates'] },
      { ...one, contactSeconds: null, absent: { contact: 'two-candidates' } },
      { ...one, contactSeconds: null, absent: { contact: 'none-heard' } },
      { ...one, contactSeconds: 1.01 },
    ];
    for (const stroke of cases) {
      const clear = contactOf(stroke).kind === 'clear';
      const heard = measureNote([stroke, stroke, stroke]).find(({ kind }) => kind === 'contacts-heard')!;
      expect(heard.value, JSON.stringify(stroke)).toBe(clear ? 1 : 0);
    }
    expect(cases.map((stroke) => contactOf(stroke).kind === 'clear').filter(Boolean)).toHaveLength(2);
    // A stroke so faint that it counts as silent is no row of the picture.
    const silent: Stroke = { ...one, kind: 'silent' };
    expect(measureNote([silent, silent, silent, one, one, one]).find(({ kind }) => kind === 'contacts-heard')!.n).toBe(
      3,
    );
  });

  it('gives no travel time from two', () => {
    const kinds = measureNote([30, 31, null].map((ms, i) => travelled(1 + i, ms))).map(({ kind }) => kind);
    expect(kinds).toContain('contacts-heard');
    expect(kinds).not.toContain('travel-time');
  });
});

describe('plainVerdict', () => {
  it('watches a note whose repeats plainly fail, and names how', () => {
    const { verdict, findings, score } = plainVerdict(
      fast([-20, null, -20, null, -20, -32, -20, null, -20, null, -20, -20]),
    );
    expect(verdict).toBe('watch');
    expect(findings.map(({ kind }) => kind)).toEqual(['missed-repeats', 'weak-repeats']);
    expect(score).toBeGreaterThan(0.15);
  });

  it('does not for one or two, and never says steady', () => {
    expect(plainVerdict(fast([-20, null, -20, null, ...Array(20).fill(-20)])).verdict).toBe('insufficient');
    expect(plainVerdict(fast(Array(24).fill(-20))).verdict).toBe('insufficient');
  });
});
