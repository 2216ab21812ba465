/** How the kinds of evidence make a verdict, and what is said of the round as a whole. */

import { describe, expect, it } from 'vitest';
import { judgeRound } from '../../src/steadiness/judge.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { SERIES_ALPHA } from '../../src/steadiness/repeats/judgeRepeats.ts';
import { LEAST_NOTES } from '../../src/steadiness/repeats/rates.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { LOOK_ALPHA } from '../../src/steadiness/travel/judgeTravel.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { stroke, travelled } from '../pictures/strokes.ts';
import { passage } from './repeatPlay.ts';

/** How one note was played. */
interface Way {
  readonly fast?: readonly string[];
  readonly slow?: number;
  /** Spread of its travel times, natural logarithm. */
  readonly spread?: number;
  readonly touch?: 'finger' | 'weight';
  /** Change of ln travel time. */
  readonly shift?: number;
  /** Share of contacts not heard in strokes softer than usual. */
  readonly deaf?: boolean;
}

const CLEAN = '............';
/** Clean, but here and there a stroke 7 dB under, as of a hand that lets up right. */
const usual = (i: number) => (i % 3 ? CLEAN : '.l...l......');

/** A round of notes from MIDI 40 on: slow strokes in one take, quick ones in another, as a weight and a finger play them. */
function round(seed: number, ways: readonly Way[]) {
  const random = new RandomStream(seed, 'ways');
  const strokes: RecordedStroke[] = [];
  const takes: RecordedTake[] = [];
  const begin = (midi: number, touch: 'finger' | 'weight') => {
    takes.push({ take: takes.length + 1, midi, asked: 'slow-fast', touch, ratePerSecond: 6 });
    return { take: takes.length, midi };
  };
  ways.forEach(({ fast, slow = 12, spread = 0.04, touch = 'finger', shift = 0, deaf = false }, i) => {
    const midi = 40 + i;
    const at = begin(midi, touch);
    for (let k = 0; k < slow; k++) {
      const loud = random.normal(0, 1.5);
      const ms = 85 * Math.exp(-0.0645 * loud + random.normal(0, spread) + shift);
      const preceding = { kind: k ? 'slow' : 'none', restSeconds: k ? 1 : null, damped: null, gapDb: null } as const;
      const own = { ...at, levelDb: -20 + loud, relativeDb: loud, preceding };
      const seconds = 100 * at.take + k;
      strokes.push(deaf && loud < 0 ? stroke(seconds, own) : travelled(seconds, ms, own));
    }
    const quick = touch === 'weight' ? begin(midi, 'finger') : at;
    (fast ?? [usual(i)]).forEach((text, k) =>
      strokes.push(...passage(text, { ...quick, start: 100 * quick.take + 20 + 5 * k })),
    );
  });
  return { strokes, takes };
}

const FIRM: readonly Way[] = Array.from({ length: 30 }, () => ({}));
const among = (way: Way, at = 9) => FIRM.map((one, i) => (i === at ? way : one));
const judge = (ways: readonly Way[], seed = 1) => {
  const { strokes, takes } = round(seed, ways);
  return judgeRound(strokes, takes, null);
};
const codes = ({ doubts }: { doubts: readonly { code: string }[] }) => doubts.map(({ code }) => code);

describe('the verdict of a note', () => {
  it('is steady where both kinds were tested and found well', () => {
    const { notes, hand, repeats } = judge(FIRM);
    expect(hand!.reference).toBe('this-round');
    expect(repeats).toMatchObject({ reference: 'this-round', gauge: 'right' });
    expect(notes.filter(({ verdict }) => verdict === 'steady').length).toBeGreaterThan(20);
    expect(notes.filter(({ verdict }) => verdict === 'unstable')).toEqual([]);
    for (const { verdict, findings, strokesNeeded } of notes) {
      if (verdict === 'steady') expect({ findings, strokesNeeded }).toEqual({ findings: [], strokesNeeded: null });
    }
  });

  it('is never steady without quick strokes, with too few, without slow ones, or let up too far', () => {
    expect(judge(among({ fast: [] })).notes[9]).toMatchObject({
      verdict: 'insufficient',
      strokesNeeded: { fast: 12 },
      couldHaveShown: { failureRate: null },
    });
    expect(judge(among({ fast: ['........'] })).notes[9].verdict).toBe('insufficient');
    const { verdict, couldHaveShown, strokesNeeded } = judge(among({ slow: 0 })).notes[9];
    expect({ verdict, spread: couldHaveShown.spreadPercent, shift: couldHaveShown.shiftPercent }).toEqual({
      verdict: 'insufficient',
      spread: null,
      shift: null,
    });
    expect(strokesNeeded!.slow).toBeGreaterThan(0);
    const full = judge(FIRM.map(() => ({ fast: [CLEAN] })));
    expect(full.repeats.gauge).toBe('let-up-less');
    expect(codes(full)).toContain('let-up-less');
    expect(full.notes.some((note) => note.verdict === 'steady')).toBe(false);
  });

  it('is unstable by repeats, by doubles, by spread, each alone', () => {
    const repeats = judge(among({ fast: ['.s.ss.s.w.s.'] })).notes[9];
    expect(repeats).toMatchObject({ verdict: 'unstable', strokesNeeded: null });
    expect(repeats.findings.map(({ kind }) => kind)).toEqual(expect.arrayContaining(['missed-repeats']));
    expect(judge(among({ fast: ['.d.d.d.d.d..'] })).notes[9].verdict).toBe('unstable');
    const spread = judge(among({ spread: 0.2 })).notes[9];
    expect(spread.verdict).toBe('unstable');
    expect(spread.findings.map(({ kind }) => kind)).toContain('wandering-rest');
    for (const note of [repeats, spread]) expect(note.score).toBeGreaterThan(0.98);
  });

  it('is watch where failures are doubtful, and where a shift stands out; neither decides', () => {
    const doubtful = judge(among({ fast: ['.s..s...s...'] })).notes[9];
    expect(doubtful).toMatchObject({ verdict: 'watch', strokesNeeded: { fast: 36 }, pattern: 'scattered' });
    const shifted = judge(among({ shift: -0.5, slow: 24 })).notes[9];
    expect(shifted.verdict).toBe('watch');
    expect(shifted.findings.map(({ kind }) => kind)).toContain('early-or-late');
    const firm = judge(FIRM).notes[9];
    for (const note of [doubtful, shifted]) expect(note.score).toBeGreaterThan(firm.score);
  });

  it('has findings only where something is said to be off', () => {
    for (const seed of [1, 2, 3]) {
      for (const { verdict, findings } of judge(among({ fast: ['.s..........'] }), seed).notes) {
        if (verdict === 'steady' || verdict === 'insufficient') expect(findings).toEqual([]);
      }
    }
  });
});

describe('false verdicts to be expected', () => {
  it('are those of both kinds together, note by note', () => {
    const whole = judge(FIRM);
    const spread = whole.notes.length * LOOK_ALPHA[0];
    expect(whole.expectedFalse).toBeCloseTo(whole.repeats.expectedFalse + spread, 12);
    expect(whole.repeats.expectedFalse).toBeLessThanOrEqual(whole.notes.length * (5 * SERIES_ALPHA[0] + 0.04 / 88));
    // A note without usable slow strokes spends nothing of theirs.
    const without = judge(among({ slow: 0 }));
    expect(without.expectedFalse).toBeCloseTo(without.repeats.expectedFalse + spread - LOOK_ALPHA[0], 12);
    const noFast = judge(FIRM.map(() => ({ fast: [] })));
    expect(noFast.repeats.reference).toBe('none');
    expect(noFast.expectedFalse).toBeCloseTo(spread, 12);
  });

  it('are null where nothing may be decided', () => {
    const few = judge(FIRM.slice(0, LEAST_NOTES - 1));
    expect(few.expectedFalse).toBeNull();
    expect(codes(few)).toContain('few-notes');
    expect(judgeRound([], [], null)).toMatchObject({ expectedFalse: null, notes: [], hand: null });
  });
});

describe('what is said of a round', () => {
  it('is nothing of one well played', () => {
    expect(codes(judge(FIRM))).toEqual([]);
  });

  it('names a touch that was mixed, not a weight beside quick strokes of the finger', () => {
    const weight = FIRM.map(() => ({ touch: 'weight' }) as const);
    const all = judge(weight);
    expect(codes(all)).not.toContain('mixed-touch');
    expect(all.hand!.reference).toBe('this-round');
    expect(all.notes.filter(({ verdict }) => verdict === 'steady').length).toBeGreaterThan(15);
    const mixed = judge(weight.map((one, i) => (i < 8 ? {} : one)));
    expect(codes(mixed)).toContain('mixed-touch');
    // The eight were pressed otherwise: their travel times are no measure.
    for (const { unused } of mixed.notes.slice(0, 8)) expect(unused['other-touch']).toBe(12);
  });

  it('says let up more where the notes in order fail', () => {
    const hand = judge(FIRM.map((_, i) => ({ fast: [i % 2 ? '.w...w......' : '....w...w...'] })));
    expect(codes(hand)).toContain('let-up-more');
    expect(hand.notes.some(({ verdict }) => verdict === 'unstable')).toBe(false);
  });

  it('says that soft contacts were not heard', () => {
    expect(codes(judge(FIRM.map(() => ({ deaf: true }))))).toContain('soft-contacts-missing');
  });
});
