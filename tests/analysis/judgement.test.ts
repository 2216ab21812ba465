/** Whole sittings judged: what must change no verdict, what few notes and a reference allow, and what every note is told. */

import { beforeAll, describe, expect, it } from 'vitest';
import { judged } from '../../src/analysis/analyse.ts';
import type { NoteResult } from '../../src/analysis/document.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { REFERENCE_SCHEMA, type HandReference } from '../../src/steadiness/reference.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { designOf } from '../power/designs.ts';
import { USUAL_HAND } from '../power/hand.ts';
import type { Fault } from '../power/piano.ts';
import { sit, type Judged } from '../power/sitting.ts';

const FAULTS: readonly Fault[] = [
  { kind: 'silent', share: 0.4 },
  { kind: 'spread', ratio: 3 },
  { kind: 'double', share: 0.25 },
  { kind: 'weak', share: 0.4 },
  { kind: 'shift', percent: 12 },
  { kind: 'action', fault: 'check 25' },
];
const sitting = (notes: number, bad: number, seed: number) =>
  sit({ notes, bad, menu: FAULTS, from: 0, neighbours: 0.01, hand: USUAL_HAND }, seed);

type Round = { readonly strokes: readonly RecordedStroke[]; readonly takes: readonly RecordedTake[] };

/** All that is concluded of each note; scores to a hundredth of a thousandth. */
function concluded({ strokes, takes }: Round) {
  return judged(strokes, takes).notes.map(({ midi, verdict, score, looks, pattern, strokesNeeded, findings }) => {
    const found = findings.map(({ kind, n }) => `${kind} ${n}`);
    return { midi, verdict, score: Math.round(1e5 * score), looks, pattern, strokesNeeded, found };
  });
}

const moved = (time: number | null, by: number) => (time === null ? null : time + by);

/** The strokes later by so many seconds. */
function later(stroke: RecordedStroke, by: number): RecordedStroke {
  return {
    ...stroke,
    timeSeconds: stroke.timeSeconds + by,
    onsetSeconds: moved(stroke.onsetSeconds, by),
    contactSeconds: moved(stroke.contactSeconds, by),
    contactRiseSeconds: moved(stroke.contactRiseSeconds, by),
    otherContactSeconds: moved(stroke.otherContactSeconds, by),
  };
}

/** Contacts so that every travel time is `by` times as long. */
function slower(stroke: RecordedStroke, by: number): RecordedStroke {
  const { onsetSeconds, contactSeconds } = stroke;
  if (onsetSeconds === null || contactSeconds === null) return stroke;
  return { ...stroke, contactSeconds: onsetSeconds - by * (onsetSeconds - contactSeconds) };
}

describe('a round with several faults', () => {
  const rounds: Judged[] = [];
  const plain: ReturnType<typeof concluded>[] = [];
  beforeAll(() => {
    for (const seed of [3, 4]) rounds.push(sitting(26, 0.3, seed));
    plain.push(...rounds.map(concluded));
  }, 60_000);

  const unchanged = (change: (round: Round) => Round) =>
    rounds.forEach((round, i) => expect(concluded(change(round))).toEqual(plain[i]));

  it('holds all that is to stay: several looks, every verdict, several findings', () => {
    const all = plain.flat();
    expect(new Set(all.map(({ verdict }) => verdict))).toEqual(
      new Set(['steady', 'watch', 'unstable', 'insufficient']),
    );
    expect(new Set(all.map(({ looks }) => looks))).toEqual(new Set([1, 2, 3]));
    expect(new Set(all.flatMap(({ found }) => found.map((one) => one.split(' ')[0]))).size).toBeGreaterThan(3);
  });

  it('is judged the same with all levels higher', () => {
    for (const by of [-17, 9]) {
      unchanged(({ strokes, takes }) => ({
        takes,
        strokes: strokes.map((one) => ({ ...one, levelDb: one.levelDb === null ? null : one.levelDb + by })),
      }));
    }
  });

  it('has the same verdicts with all travel times longer or shorter', () => {
    // But a shift against the neighbours: how far the zeros of notes lie apart is in seconds, and does not grow with travel.
    const early = ({ found }: { found: readonly string[] }) => found.some((one) => one.startsWith('early-or-late'));
    for (const by of [0.8, 1.25]) {
      rounds.forEach(({ strokes, takes }, i) => {
        const scaled = concluded({ takes, strokes: strokes.map((one) => slower(one, by)) });
        const same = scaled.filter((note, k) => note.verdict === plain[i][k].verdict);
        const other = scaled.filter(
          (note, k) => note.verdict !== plain[i][k].verdict && !early(note) && !early(plain[i][k]),
        );
        expect(other).toEqual([]);
        expect(same.length).toBeGreaterThanOrEqual(plain[i].length - 1);
      });
    }
  });

  it('is judged the same at another time', () => {
    unchanged(({ strokes, takes }) => ({ takes, strokes: strokes.map((one) => later(one, 1024)) }));
  });

  it('is judged the same with its notes given in another order', () => {
    unchanged(({ strokes, takes }) => ({
      takes: [...takes].reverse(),
      strokes: [...strokes].sort((a, b) => ((7 * a.midi!) % 26) - ((7 * b.midi!) % 26) || a.take - b.take),
    }));
  });

  it('is judged the same with its notes played in another order', () => {
    unchanged(({ strokes, takes }) => {
      const rank = (midi: number) => (midi * 11) % 89;
      const order = [...takes].sort((a, b) => rank(a.midi!) - rank(b.midi!) || a.take - b.take);
      const number = new Map(order.map(({ take }, i) => [take, i + 1]));
      const starts = new Map<number, number>();
      for (const { take, timeSeconds } of strokes) {
        if (!starts.has(take)) starts.set(take, timeSeconds);
      }
      const renumbered = strokes.map((one) => ({
        ...later(one, 40 * number.get(one.take)! - starts.get(one.take)!),
        take: number.get(one.take)!,
      }));
      return {
        takes: order.map((one) => ({ ...one, take: number.get(one.take)! })),
        strokes: renumbered.sort((a, b) => a.timeSeconds - b.timeSeconds),
      };
    });
  });

  it('has words for every note, and a count of false verdicts that adds up', () => {
    for (const round of rounds) {
      const { notes, expectedFalseUnstable } = judged(round.strokes, round.takes);
      for (const { words, midi, verdict } of notes) {
        expect(words.line.length, String(midi)).toBeGreaterThan(10);
        expect(words.evidence.length, String(midi)).toBeGreaterThan(0);
        if (verdict === 'unstable' || verdict === 'watch') expect(words.next.length, String(midi)).toBeGreaterThan(0);
      }
      // No more than every level of every look spent on every note: repeats 5 series and damped gaps, and the spread.
      expect(expectedFalseUnstable).toBeGreaterThan(0);
      expect(expectedFalseUnstable).toBeLessThan(notes.length * 0.02);
    }
  });

  it('says what fewer strokes could have shown: only more', () => {
    const [{ strokes, takes }] = rounds;
    const firstLook = new Set(takes.filter(({ asked }) => asked === 'slow-fast').map(({ take }) => take));
    const whole = judged(
      strokes.filter(({ take }) => firstLook.has(take)),
      takes,
    ).notes;
    // Every passage loses its end.
    const heard = new Map<string, number>();
    const half = strokes.filter(({ take, passage }) => {
      const key = `${take} ${passage}`;
      heard.set(key, (heard.get(key) ?? 0) + 1);
      return firstLook.has(take) && heard.get(key)! <= (passage === 'fast' ? 8 : 6);
    });
    const fewer = judged(half, takes).notes;
    let compared = 0;
    fewer.forEach(({ couldHaveShown: { failureRate, spreadPercent } }, i) => {
      const more = whole[i].couldHaveShown;
      if (failureRate !== null) expect(failureRate).toBeGreaterThanOrEqual(more.failureRate!);
      if (spreadPercent !== null && more.spreadPercent !== null) compared++;
    });
    expect(fewer.filter(({ couldHaveShown }) => couldHaveShown.failureRate !== null).length).toBeGreaterThan(20);
    expect(compared).toBeGreaterThan(5);
  });
});

describe('few notes', () => {
  let full: Judged;
  let reference: HandReference;
  /** The first so many notes of it, the failing ones first. */
  const part = (count: number): Round => {
    const bad = full.piano.filter(({ fault }) => fault !== null).map(({ midi }) => midi);
    const rest = full.piano.filter(({ fault }) => fault === null).map(({ midi }) => midi);
    const kept = new Set([...bad, ...rest].slice(0, count));
    const strokes = full.strokes.filter(({ midi }) => kept.has(midi!));
    return { strokes, takes: full.takes.filter(({ midi }) => kept.has(midi!)) };
  };
  const verdicts = (notes: readonly NoteResult[]) => new Set(notes.map(({ verdict }) => verdict));

  beforeAll(() => {
    full = sitting(40, 0.08, 7);
    const { hand } = judged(full.strokes, full.takes);
    reference = {
      schema: REFERENCE_SCHEMA,
      analysisVersion: '0.0.0',
      scale: hand.scalePercent! / 100,
      logError: hand.scaleLogError!,
      slopePerDb: hand.slopePerDb!,
      slopeError: hand.slopeError!,
      slipRate: hand.slipRate!,
      touch: 'finger',
      referenceTravel: 0.09,
      referenceDb: hand.referenceDb!,
      baseRates: hand.baseRates,
      notes: 40,
      sources: [],
    };
  }, 60_000);

  it('eleven and no reference: watch at best, and nothing is expected', () => {
    const { strokes, takes } = part(11);
    const { notes, expectedFalseUnstable, hand, advice } = judged(strokes, takes);
    expect(notes).toHaveLength(11);
    for (const { verdict } of notes) expect(['watch', 'insufficient']).toContain(verdict);
    expect(notes.some(({ verdict }) => verdict === 'watch')).toBe(true);
    expect(expectedFalseUnstable).toBeNull();
    expect(hand).toMatchObject({ repeatsReference: 'none', baseRates: null });
    expect(advice.map(({ code }) => code)).toContain('few-notes');
    for (const { words } of notes) expect(words.line.length).toBeGreaterThan(10);
  });

  it('thirteen: full verdicts', () => {
    const { strokes, takes } = part(13);
    const { notes, expectedFalseUnstable, hand } = judged(strokes, takes);
    expect(hand).toMatchObject({ repeatsReference: 'this-round', reference: 'this-round' });
    expect(verdicts(notes)).toContain('unstable');
    expect(verdicts(notes)).toContain('steady');
    expect(expectedFalseUnstable).toBeGreaterThan(0);
  });

  it('one with a stored reference: a full verdict', () => {
    const { piano, strokes, takes } = full;
    const alone = (midi: number, stored: HandReference | undefined) => {
      const own = takes.filter((take) => take.midi === midi);
      return judged(
        strokes.filter((one) => one.midi === midi),
        own,
        { reference: stored },
      );
    };
    const all = judged(strokes, takes).notes;
    const steady = all.filter(({ verdict }) => verdict === 'steady').slice(0, 8);
    const unstable = all.filter(({ verdict }) => verdict === 'unstable');
    expect(unstable.length).toBeGreaterThan(0);
    for (const { midi } of unstable) {
      const { notes, expectedFalseUnstable } = alone(midi, reference);
      expect(notes.map(({ verdict }) => verdict)).toEqual(['unstable']);
      expect(expectedFalseUnstable).toBeGreaterThan(0);
    }
    expect(steady.filter(({ midi }) => alone(midi, reference).notes[0].verdict === 'steady').length).toBeGreaterThan(5);
    // Without one, and with one of another touch: nothing.
    const other: HandReference = { ...reference, touch: 'weight', scale: 3 * reference.scale };
    for (const stored of [undefined, other]) {
      for (const { midi } of piano) {
        const { notes, hand, expectedFalseUnstable, advice } = alone(midi, stored);
        expect(['watch', 'insufficient']).toContain(notes[0].verdict);
        expect(hand).toMatchObject({ repeatsReference: 'none' });
        expect(hand.reference).toBe('none');
        expect(expectedFalseUnstable).toBeNull();
        expect(advice.map(({ code }) => code)).not.toContain('other-hand');
      }
    }
    // Nor is a round's own hand held against it.
    expect(judged(strokes, takes, { reference: other }).advice.map(({ code }) => code)).not.toContain('other-hand');
    const wide = { ...other, touch: 'finger' as const };
    expect(judged(strokes, takes, { reference: wide }).advice.map(({ code }) => code)).toContain('other-hand');
  });

  it('none: nothing', () => {
    expect(judged([], [])).toMatchObject({ expectedFalseUnstable: null, notes: [] });
  });
});

it('a weak player on a good piano has at most one note in a hundred called unstable', { timeout: 60_000 }, () => {
  const { options } = designOf('weak-player');
  let [unstable, notes] = [0, 0];
  for (const seed of [1, 2, 3]) {
    const { results } = sit({ ...options, from: 0 }, seed);
    unstable += [...results.values()].filter(({ verdict }) => verdict === 'unstable').length;
    notes += results.size;
  }
  expect(notes).toBe(264);
  // One in a hundred, and two standard deviations of so few.
  expect(unstable).toBeLessThanOrEqual(2.64 + 2 * Math.sqrt(2.64));
});
