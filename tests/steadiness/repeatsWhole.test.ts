/** How failures lie: on the whole piano (the gauge), and within a note (patterns). */

import { describe, expect, it } from 'vitest';
import { countRepeats } from '../../src/steadiness/repeats/counts.ts';
import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import { patternOf } from '../../src/steadiness/repeats/pattern.ts';
import { REFERENCE } from './repeatPiano.ts';
import { among, CLEAN, company, fresh, note, passage, RATES } from './writtenRepeats.ts';

describe('the gauge', () => {
  const pianoOf = (written: (i: number) => string) =>
    Array.from({ length: 30 }, (_, i) => note(30 + i, [passage(written(i), { midi: 30 + i, take: i })]));

  it('is unknown below 60 repeats', () => {
    expect(judgeRepeats(company(5), { ...REFERENCE, baseRates: RATES }).gauge).toBe('unknown');
  });

  it('nothing found and hardly a stroke low: not tested, so nothing is clear', () => {
    const { gauge, notes } = judgeRepeats(
      pianoOf(() => CLEAN),
      null,
    );
    expect(gauge).toBe('let-up-less');
    expect([...notes.values()].some(({ clear }) => clear)).toBe(false);
  });

  it('one note found makes it a test', () => {
    const { gauge, notes } = judgeRepeats(
      pianoOf((i) => (i === 7 ? '.ssss.ss....' : CLEAN)),
      null,
    );
    expect(gauge).toBe('right');
    expect(notes.get(30)!.clear).toBe(true);
  });

  it.each([
    ['one or two in eleven everywhere', (i: number) => (i % 3 === 0 ? '...s...s....' : '......s.....')],
    ['half of all strokes everywhere', (i: number) => (i % 2 === 0 ? '.s.s.s.s.s.s' : '.ss..ss.s..s')],
    ['nearly all strokes', () => '.sssssssssss'],
    ['weak strokes everywhere', (i: number) => (i % 2 === 0 ? '...w....w...' : '..w..w...w..')],
  ])('a hand that misses everywhere decides nothing: %s', (_, written) => {
    const plays = pianoOf(written);
    plays[4] = note(34, [passage('..L....O.L..', { midi: 34, take: 4 })]);
    const { gauge, notes } = judgeRepeats(plays, null);
    expect(gauge).toBe('let-up-more');
    // Only what was let right up for certain still tells.
    expect([...notes].filter(([, { decides }]) => decides).map(([midi]) => midi)).toEqual([34]);
    expect([...notes.values()].some(({ clear }) => clear)).toBe(false);
  });

  it('with every fifth note failing badly, fresh strokes decide and first ones do not', () => {
    const failing = (i: number) => i % 5 === 0;
    const plays = pianoOf((i) => (failing(i) ? '.s.ss.s.ss..' : '.....l......'));
    const once = judgeRepeats(plays, null);
    expect(once.gauge).toBe('right');
    for (const [midi, { decides, open }] of once.notes) {
      expect(decides).toBe(false);
      expect(open).toBe(failing(midi - 30));
    }
    const again = plays.map(({ midi, looks }, i) =>
      failing(i) ? note(midi, [...looks, fresh('.s.s..s.ss..')]) : note(midi, looks),
    );
    const twice = judgeRepeats(again, null);
    expect([...twice.notes.values()].filter(({ decidedAt }) => decidedAt === 2)).toHaveLength(6);
    expect(twice.gauge).toBe('right');
  });

  it('with every second note failing badly nothing is told from the hand', () => {
    const { gauge, notes } = judgeRepeats(
      pianoOf((i) => (i % 2 === 0 ? '.s.ss.s.ss..' : '.....l......')),
      null,
    );
    expect(gauge).toBe('let-up-more');
    expect([...notes.values()].some(({ decides }) => decides)).toBe(false);
  });
});

describe('patterns', () => {
  const patternIn = (...written: string[]) =>
    among(written.flatMap((each, i) => passage(each, { from: 10 + 10 * i }))).pattern;

  it.each([
    ['lone', ['....s.......']],
    ['every-second', ['.s.s.s.s.s..']],
    ['every-second', ['..s.s.s.s...', '.s.s.s.s....']],
    ['until-return', ['......ssssss']],
    ['until-return', ['.........sss', '..........ss']],
    ['scattered', ['.ss..s...s..']],
    ['scattered', ['..s.....s...']],
  ])('%s: %j', (pattern, written) => {
    expect(patternIn(...written)).toBe(pattern);
  });

  it('rate: many at the quick rate, none at the steady one', () => {
    const strokes = [...passage(CLEAN), ...passage('.ss..s...s..', { from: 20, perSecond: 8 })];
    expect(among(strokes).pattern).toBe('rate');
  });

  it('four alternate failures by chance are not called alternate', () => {
    // Of all ways to place four failures among eleven repeats 6 in 100 lie on one parity.
    expect(patternIn('.s.s.s.s....')).toBe('scattered');
  });

  it('none without failures', () => {
    expect(patternOf(countRepeats(passage(CLEAN), new Map()))).toBeNull();
  });
});
