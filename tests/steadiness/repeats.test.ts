/** Quick repeats of single notes: what counts as a failure, which strokes are judged, what decides, and on which base rates. */

import { describe, expect, it } from 'vitest';
import { baseRate, DISPERSION } from '../../src/steadiness/repeats/baseRates.ts';
import { countRepeats } from '../../src/steadiness/repeats/counts.ts';
import { judgeRepeats, SERIES_ALPHA } from '../../src/steadiness/repeats/judgeRepeats.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { betaBinomialLimit } from '../../src/statistics/tails.ts';
import { stroke } from '../pictures/strokes.ts';
import { REFERENCE } from './repeatPiano.ts';
import { among, CLEAN, company, fresh, note, passage, RATES, slow } from './writtenRepeats.ts';

describe('counting', () => {
  const count = (strokes: RecordedStroke[], asked: RecordedTake['asked'] = null) =>
    countRepeats(strokes, note(60, [strokes], asked).takes);

  it('leaves out the first stroke of each passage, and tells silent from weak', () => {
    const strokes = [...passage('s..sw.'), ...passage('w.s', { take: 2, from: 20 })];
    expect(count(strokes).steady).toEqual({ n: 7, silent: 2, faint: 3 });
  });

  it('parts passages of one take by a slow stroke or a pause', () => {
    const strokes = [...passage('....'), stroke(12, { midi: 60 }), ...passage('....', { from: 14 })];
    expect(count(strokes).steady.n).toBe(6);
    expect(count([...passage('....'), ...passage('....', { from: 14 })]).steady.n).toBe(6);
  });

  it('finds the rate with empty beats counted', () => {
    // Every second stroke silent at 8 a second: sounded strokes alone come 4 a second.
    expect(count(passage('.s.s.s.s.s.s', { perSecond: 8 })).quick).toEqual({ n: 11, silent: 6, faint: 6 });
    expect(count(passage('.s.s.s.s.s.s', { perSecond: 6.5 })).steady.n).toBe(11);
  });

  it('a level 6 to 10 dB under fails after a damped gap only', () => {
    expect(count(passage('..ll..'))).toMatchObject({
      steady: { faint: 0 },
      under: 2,
      dampedSteady: { n: 0, failed: 0 },
    });
    const damped = count(passage('..LOLW'));
    expect(damped).toMatchObject({ steady: { faint: 1 }, dampedSteady: { n: 4, failed: 3 }, dampedLow: 2 });
  });

  it('keeps full return apart, but not what fell after its damped gaps', () => {
    const control = count(passage('..s.S.'), 'full-return');
    expect(control.steady.n).toBe(0);
    expect(control.fullReturn).toEqual({ n: 5, failed: 2 });
    expect(control.dampedSteady).toEqual({ n: 1, failed: 1 });
  });

  it('counts strokes struck twice, slow and fast, once each and not among gentle ones', () => {
    const third = stroke(10.12, { kind: 'double', passage: 'fast', force: null });
    const gentle = [stroke(30, { passage: 'gentle' }), stroke(30.1, { passage: 'gentle', kind: 'double' })];
    const strokes = [...slow(3, 60, 1), ...passage(':.:.'), ...gentle];
    strokes.splice(5, 0, third);
    expect(count(strokes).struck).toEqual({ n: 7, doubles: 2 });
    expect(count(strokes).steady.n).toBe(3);
  });
});

describe('limits', () => {
  it.each([
    [24, [5, 6, 7, 8, 9, 9, 10, 11, 12]],
    [12, [4, 4, 5, 5, 6, 6, 7, 7, 8]],
  ])('of %i repeats are those computed for the model of repeated strokes', (n, limits) => {
    const rates = [0.003, 0.005, 0.01, 0.02, 0.03, 0.04, 0.06, 0.08, 0.1];
    expect(rates.map((rate) => betaBinomialLimit(n, rate, DISPERSION, SERIES_ALPHA[0]))).toEqual(limits);
  });

  it('decide from the limit of the strokes played on, not one stroke earlier', () => {
    const plays = company(40);
    const { base } = judgeRepeats(plays, null);
    const limit = betaBinomialLimit(11, base!.steady.silent, DISPERSION, SERIES_ALPHA[0]);
    const failing = (k: number) => `.${'s'.repeat(k)}${'.'.repeat(11 - k)}`;
    const decided = [limit - 1, limit].map((k) => {
      const reference = { ...REFERENCE, baseRates: base };
      return judgeRepeats([note(60, [passage(failing(k))])], reference).notes.get(60)!.decides;
    });
    expect(decided).toEqual([false, true]);
  });
});

describe('looks', () => {
  const fails = passage('.s.ss.s.ss..');

  it('decides at the first look that reaches a limit, and stays decided', () => {
    expect(among(fails)).toMatchObject({ decides: true, decidedAt: 1, open: false, doubtful: false, fastNeeded: 0 });
    expect(among(fails, fresh(CLEAN))).toMatchObject({ decides: true, decidedAt: 1 });
  });

  it('judges later looks on fresh strokes alone', () => {
    // A miss chose the note; clean fresh strokes clear it, as if the miss had never been.
    expect(among(passage('...s........'))).toMatchObject({ decides: false, open: true, n: 11, failed: 1 });
    expect(among(passage('...s........'), fresh(CLEAN))).toMatchObject({
      decides: false,
      open: false,
      clear: true,
      n: 33,
      failed: 0,
    });
  });

  it('adds the fresh strokes of the second and the third look', () => {
    const twoOfEleven = '..s....s....';
    const second = among(passage('..s.........'), fresh(twoOfEleven));
    expect(second).toMatchObject({ decides: false, open: true, n: 33, failed: 4 });
    const third = among(passage('..s.........'), fresh(twoOfEleven), fresh('.s.s...s.s..', 3));
    expect(third).toMatchObject({ decides: true, decidedAt: 3, n: 66, failed: 12 });
  });

  it('keeps a note open after a miss, settles it with none, and asks for a first passage where none was played', () => {
    expect(among(passage(CLEAN))).toMatchObject({ open: false, clear: true, fastNeeded: 0, pattern: null });
    expect(among(passage('....s.......')).fastNeeded).toBeGreaterThan(0);
    expect(among(slow(8, 60, 1))).toMatchObject({ clear: false, open: false, n: 0, fastNeeded: 12 });
  });

  it('a control with full return answers for a lone weak repeat, and its own failures do not let go', () => {
    const look = (written: string, lone = '....w.......') => [
      ...passage(lone),
      ...passage(written, { take: 2, from: 30 }),
    ];
    const asked = (strokes: RecordedStroke[]) => {
      const play = note(60, [strokes]);
      const takes = new Map(play.takes).set(2, { ...play.takes.get(2)!, asked: 'full-return' });
      const reference = { ...REFERENCE, baseRates: { ...RATES, steady: { silent: 0.005, faint: 0.02 } } };
      return judgeRepeats([{ ...play, takes }], reference).notes.get(60)!;
    };
    expect(asked(passage('....w.......')).open).toBe(true);
    expect(asked(look(CLEAN)).open).toBe(false);
    expect(asked(look('....s.......'))).toMatchObject({ open: true, clear: false, n: 11, failed: 1 });
    expect(asked(look('....s.......', CLEAN))).toMatchObject({ open: true, clear: false, failed: 0 });
  });

  it('is the same in whatever order the notes were played', () => {
    const plays = [...company(30), note(70, [fails, fresh(CLEAN)]), note(80, [passage('..s.........')])];
    const there = judgeRepeats(plays, null);
    const back = judgeRepeats([...plays].reverse(), null);
    expect(back.gauge).toBe(there.gauge);
    for (const [midi, one] of there.notes) {
      const other = back.notes.get(midi)!;
      expect(other.probability).toBeCloseTo(one.probability, 9);
      expect({ ...other, probability: 0 }).toEqual({ ...one, probability: 0 });
    }
  });
});

describe('what else decides', () => {
  it('two failures after damped gaps, three at the quicker rate', () => {
    expect(among(passage('..L....O.L..'))).toMatchObject({ decides: true, pattern: 'after-damped' });
    expect(among(passage('..L....O.O..'))).toMatchObject({ decides: false, open: true, clear: false });
    expect(among(passage('..L....O.L..', { perSecond: 8 })).decides).toBe(false);
    expect(among(passage('..L..L.O.L..', { perSecond: 8 })).decides).toBe(true);
  });

  it('what so decides is named, though 6 to 10 dB under counts nowhere else', () => {
    const { findings, failed, measures } = among(passage('..L....O.L..'));
    expect(failed).toBe(0);
    expect(findings).toEqual([expect.objectContaining({ kind: 'weak-repeats', size: 2 / 11, n: 11 })]);
    expect(measures.find(({ kind }) => kind === 'after-damped')).toMatchObject({ value: 2 / 3, n: 3 });
  });

  it('doubles by their own rate, slow strokes among them', () => {
    const { decides, findings } = among([...slow(8, 60, 1), ...passage(':.::.:.::...')]);
    expect(decides).toBe(true);
    expect(findings.map(({ kind }) => kind)).toEqual(['double-strikes']);
    expect(among([...slow(8, 60, 1), ...passage('....:.......')])).toMatchObject({ decides: false, findings: [] });
  });

  it('says kinds apart, with their shares and intervals', () => {
    const { findings } = among(passage('.ss.wws.ss..'));
    expect(findings.map(({ kind, size, n }) => [kind, size, n])).toEqual([
      ['missed-repeats', 5 / 11, 11],
      ['weak-repeats', 2 / 11, 11],
    ]);
    for (const { size, interval } of findings) {
      expect(interval[0]).toBeLessThan(size);
      expect(interval[1]).toBeGreaterThan(size);
    }
  });
});

describe('references', () => {
  const failing = note(60, [passage('.ssssssssss.')]);

  it('without twelve notes or a reference nothing is decided, whatever failed', () => {
    const { notes, reference, base, expectedFalse } = judgeRepeats([...company(10), failing], null);
    expect({ reference, base, expectedFalse }).toEqual({ reference: 'none', base: null, expectedFalse: 0 });
    expect(notes.get(60)).toMatchObject({ decides: false, doubtful: true });
    expect(notes.get(60)!.probability).toBeGreaterThan(0.9);
    const damped = judgeRepeats([note(60, [passage('..SSSS......')])], null).notes.get(60)!;
    expect(damped.decides).toBe(false);
  });

  it('a stored one lets a single note be judged', () => {
    const { notes, reference, base } = judgeRepeats([failing], { ...REFERENCE, baseRates: RATES });
    expect(reference).toBe('stored');
    expect(base).toEqual(RATES);
    expect(notes.get(60)!.decides).toBe(true);
    expect(judgeRepeats([failing], REFERENCE).reference).toBe('none');
  });

  it('gives way to twelve notes of this round', () => {
    const { base, reference } = judgeRepeats(company(12), { ...REFERENCE, baseRates: { ...RATES, doubles: 0.04 } });
    expect(reference).toBe('this-round');
    expect(base!.doubles).toBeLessThan(0.01);
    expect(base!.notes).toBe(12);
  });

  it('ranks by how much of the failing class a note shows, clean ones lowest', () => {
    const probability = (written: string) => among(passage(written)).probability;
    const ranked = [CLEAN, '...s........', '...s..s.....', '...s..s.s...'].map(probability);
    expect([...ranked].sort((a, b) => a - b)).toEqual(ranked);
    expect(among(passage('...s........'), fresh(CLEAN)).probability).toBeLessThan(0.05);
    expect(ranked[0]).toBeLessThan(0.05);
    expect(ranked[3]).toBeGreaterThan(0.8);
  });
});

describe('the base rate', () => {
  it('is of the notes in order, with a fifth of the notes failing', () => {
    const counts = Array.from({ length: 80 }, (_, i) => [{ n: 22, failed: i % 5 === 0 ? 8 : i % 6 === 0 ? 1 : 0 }]);
    const { rate, failingShare } = baseRate(counts, 0.003, 0.15);
    expect(rate).toBeGreaterThan(0.004);
    expect(rate).toBeLessThan(0.012);
    expect(failingShare).toBeGreaterThan(0.15);
    expect(failingShare).toBeLessThan(0.27);
  });

  it('stays within its limits', () => {
    expect(baseRate([], 0.003, 0.15).rate).toBeCloseTo(0.01, 2);
    const none = Array.from({ length: 200 }, () => [{ n: 22, failed: 0 }]);
    expect(baseRate(none, 0.003, 0.15).rate).toBe(0.003);
  });
});
