/** Contrast, gentle strokes, weak when hard, level spread: at their edges, and on seeded play. */

import { describe, expect, it } from 'vitest';
import { judgeContrast } from '../../src/steadiness/support/contrast.ts';
import { countGentle, judgeGentle } from '../../src/steadiness/support/gentle.ts';
import { judgeLevelSpread } from '../../src/steadiness/support/levelSpread.ts';
import { judgeWeakWhenHard } from '../../src/steadiness/support/weakWhenHard.ts';
import type { TravelStroke } from '../../src/steadiness/evidence.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { playOf, type RecordedTake } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { HAND } from './playedPiano.ts';

const line = (levelDb: number) => Math.log(HAND.referenceTravel) + HAND.slopePerDb * (levelDb - HAND.referenceDb);

function travelStroke(midi: number, levelDb: number, logTravel: number, more: Partial<TravelStroke> = {}) {
  return { midi, look: 1, logTravel, levelDb, source: 0, order: 0, after: 'slow', firm: false, ...more } as const;
}

describe('contrast after firm strokes', () => {
  /** A note of `each` times firm, slow, slow; `by` is the contrast, `spread` the note's scatter. */
  function note(chance: RandomStream, midi: number, each: number, by: number, spread = 0.041): TravelStroke[] {
    return Array.from({ length: each }, () => {
      const soft = () => -20 + chance.normal(0, 1.5);
      const one = (level: number, off: number, more: Partial<TravelStroke>) =>
        travelStroke(midi, level, line(level) + chance.normal(0, spread) + off, more);
      return [
        one(-11, 0.08, { firm: true, after: 'slow' }),
        one(soft(), by, { after: 'firm' }),
        one(soft(), 0, { after: 'slow' }),
      ];
    }).flat();
  }

  function watchShare(seed: number, by: number, each: number, spread = 0.041, notes = 300): number {
    const chance = new RandomStream(seed, 'contrast');
    let watched = 0;
    for (let i = 0; i < notes; i++)
      if (judgeContrast(note(chance, 60, each, by, spread), HAND).get(60)!.watch) watched++;
    return watched / notes;
  }

  it('is seldom seen where there is none, however wide the note scatters', () => {
    for (const [seed, each, spread] of [
      [1, 6, 0.041],
      [2, 12, 0.041],
      [3, 6, 0.12],
      [4, 4, 0.12],
      [5, 12, 0.12],
    ])
      expect(watchShare(seed, 0, each, spread, 1500), `${each} strokes, spread ${spread}`).toBeLessThan(0.02);
  });

  it('is seen where it is large', () => {
    expect(watchShare(5, -0.12, 6)).toBeGreaterThan(0.85);
    expect(watchShare(6, 0.08, 12)).toBeGreaterThan(0.9);
    // By the model a rest 2 mm elsewhere: 3 %, hardly ever.
    expect(watchShare(7, -0.03, 6)).toBeLessThan(0.12);
  });

  it('is stated in percent, with its count', () => {
    const found = judgeContrast(note(new RandomStream(8, 'contrast'), 60, 6, -0.15), HAND).get(60)!;
    expect(found.watch).toBe(true);
    const [finding] = found.findings;
    expect(finding).toMatchObject({ kind: 'wandering-rest', unit: 'percent', n: 12 });
    expect(finding.interval[0]).toBeLessThan(-15);
    expect(finding.interval[1]).toBeGreaterThan(-15);
    expect(found.measures[0]).toMatchObject({ kind: 'after-firm', value: finding.size });
    // 1/462 is the least that twelve strokes can show on both sides.
    expect(found.p).toBeGreaterThanOrEqual(2 / 924);
    expect(found.couldHaveShown).toBeCloseTo(100 * (2.5758 + 0.8416) * 0.041 * Math.sqrt(1 / 3), 0);
  });

  it('needs four strokes of each', () => {
    const own = note(new RandomStream(9, 'contrast'), 60, 3, -0.3);
    expect(judgeContrast(own, HAND).size).toBe(0);
    expect(judgeContrast([], HAND).size).toBe(0);
  });

  it('is none where a second recording is louder', () => {
    const chance = new RandomStream(10, 'contrast');
    const first = note(chance, 60, 4, 0).filter(({ after }) => after === 'slow');
    const rest = note(chance, 60, 4, 0).map((stroke) => ({ ...stroke, levelDb: stroke.levelDb + 12, source: 1 }));
    expect(judgeContrast([...first, ...rest], HAND).get(60)!.watch).toBe(false);
  });

  it('leaves out what all notes show alike', () => {
    const chance = new RandomStream(11, 'contrast');
    const all = Array.from({ length: 20 }, (_, i) => note(chance, 50 + i, 12, i === 5 ? -0.02 : 0.1)).flat();
    const found = judgeContrast(all, HAND);
    expect([...found].flatMap(([midi, { watch }]) => (watch ? [midi] : []))).toEqual([55]);
  });

  it('stays at another gain', () => {
    const own = note(new RandomStream(12, 'contrast'), 60, 6, -0.1);
    const louder = own.map((stroke) => ({ ...stroke, levelDb: stroke.levelDb + 9, logTravel: stroke.logTravel + 0.2 }));
    const [a, b] = [judgeContrast(own, HAND), judgeContrast(louder, HAND)].map((found) => found.get(60)!);
    expect(b.measures[0].value).toBeCloseTo(a.measures[0].value, 9);
    expect(b.p).toBeCloseTo(a.p!, 12);
  });
});

const QUIET: RecordedStroke = {
  kind: 'sounded',
  take: 1,
  midi: 60,
  timeSeconds: 0,
  contactSeconds: null,
  contactRiseSeconds: null,
  otherContactSeconds: null,
  onsetSeconds: null,
  onsetErrorSeconds: null,
  keyBottomSeconds: null,
  levelDb: -40,
  relativeDb: -10,
  force: 'gentle',
  brightness: null,
  knockDb: null,
  passage: 'gentle',
  group: null,
  preceding: { kind: 'none', restSeconds: null, damped: null, gapDb: null },
  confidence: 1,
  contactConfidence: null,
  absent: {},
  doubt: [],
};

/** Gentle strokes of a note in letters: s sounded, - silent, d sounded and double. */
function gently(midi: number, letters: string, more: Partial<RecordedStroke> = {}): RecordedStroke[] {
  return [...letters].flatMap((letter): RecordedStroke[] => {
    const one = { ...QUIET, midi, take: midi, ...more };
    if (letter === '-') return [{ ...one, kind: 'silent', levelDb: null, force: null }];
    return letter === 'd' ? [one, { ...one, kind: 'double', force: null }] : [one];
  });
}

describe('gentle strokes', () => {
  const judge = (...parts: RecordedStroke[][]) => judgeGentle(playOf(parts.flat(), []));

  it('are worth a look from three silent of eight and from two doubles of eight', () => {
    for (const [letters, watch] of [
      ['ssssssss', false],
      ['ss-sss-s', false],
      ['s--sss-s', true],
      ['sssdssss', false],
      ['sdsdssss', true],
      ['---', false],
    ] as const)
      expect(judge(gently(60, letters)).get(60)!.watch, letters).toBe(watch);
    const { findings, p } = judge(gently(60, 's--sss-s')).get(60)!;
    expect(findings).toMatchObject([{ kind: 'silent-when-gentle', size: 3 / 8, unit: 'share', n: 8 }]);
    expect(p).toBeLessThan(0.01);
    const double = judge(gently(60, 'sdsdssss')).get(60)!;
    expect(double.findings).toMatchObject([{ kind: 'double-strikes', size: 1 / 4, n: 8 }]);
    expect(double.measures.map(({ kind }) => kind)).toEqual(['silent-when-gentle', 'double-when-gentle']);
  });

  it('grow their limits with the strokes', () => {
    expect(judge(gently(60, 's'.repeat(20) + '---')).get(60)!.watch).toBe(false);
    expect(judge(gently(60, 's'.repeat(20) + '------')).get(60)!.watch).toBe(true);
  });

  it('are the hand where most notes stay silent as often', () => {
    const others = [61, 62, 63, 64, 65, 66].map((midi) => gently(midi, 's--sssss'));
    expect(judge(gently(60, 's--sss-s')).get(60)!.watch).toBe(true);
    expect(judge(gently(60, 's--sss-s'), ...others).get(60)!.watch).toBe(false);
    expect(judge(gently(60, '-------s'), ...others).get(60)!.watch).toBe(true);
  });

  it('count by what was asked for, and single ones for doubles only', () => {
    const asked: RecordedTake = { take: 60, midi: 60, asked: 'gentle', touch: null, ratePerSecond: null };
    const slow = gently(60, 's--sss-s', { passage: 'slow' });
    const count = (takes: RecordedTake[]) => countGentle(playOf(slow, takes)[0]);
    expect(count([asked])).toEqual({ asked: 8, silent: 3, sounded: 5, doubles: 0 });
    expect(count([])).toEqual({ asked: 0, silent: 0, sounded: 5, doubles: 0 });
    const usual = gently(60, 'ddss', { passage: 'slow', force: 'usual' });
    expect(judge(usual).size).toBe(0);
    // Two bounces of one stroke are one stroke gone wrong.
    const [first, bounce] = gently(60, 'd');
    expect(countGentle(playOf([first, bounce, bounce], [])[0])).toMatchObject({ sounded: 1, doubles: 1 });
  });
});

describe('weak when hard', () => {
  /** Eight slow strokes and `firm` firm ones, of which `weak` fall `short` dB under the line. */
  function note(midi: number, firm: number, weak: number, short: number, common = 0, marked = true): TravelStroke[] {
    const slow = Array.from({ length: 8 }, (_, i) => travelStroke(midi, -20 + (i % 3), line(-20 + (i % 3))));
    const hard = Array.from({ length: firm }, (_, i) => {
      const level = -11 - common - (i < weak ? short : 0);
      return travelStroke(midi, level, line(-11), { firm: marked });
    });
    return [...slow, ...hard];
  }
  const others = [61, 62, 63, 64, 65, 66].flatMap((midi) => note(midi, 6, 0, 0));

  it('is two of six firm strokes 6 dB under the line', () => {
    const watch = (firm: number, weak: number, short: number) =>
      judgeWeakWhenHard([...note(60, firm, weak, short), ...others], HAND).get(60)!.watch;
    expect(watch(6, 2, 6.5)).toBe(true);
    expect(watch(6, 1, 12)).toBe(false);
    expect(watch(6, 2, 5.5)).toBe(false);
    expect(watch(5, 3, 9)).toBe(false);
    const { findings, couldHaveShown } = judgeWeakWhenHard([...note(60, 6, 3, 8), ...others], HAND).get(60)!;
    expect(findings).toMatchObject([{ kind: 'weak-when-hard', size: 0.5, unit: 'share', n: 6 }]);
    // P(X >= 2 of 6) = 0.8 at 0.42 (binomial).
    expect(couldHaveShown).toBeCloseTo(0.4193, 2);
  });

  it('tells firm strokes by their travel time too', () => {
    const found = judgeWeakWhenHard([...note(60, 6, 6, 8, 0, false), ...others], HAND).get(60)!;
    expect(found).toMatchObject({ watch: true });
    expect(found.measures[0]).toMatchObject({ value: 1, n: 6 });
  });

  it('is not what all notes do alike, and needs other notes', () => {
    const alike = [61, 62, 63, 64, 65, 66].flatMap((midi) => note(midi, 6, 0, 0, 7));
    expect(judgeWeakWhenHard([...note(60, 6, 0, 0, 7), ...alike], HAND).get(60)!.watch).toBe(false);
    expect(judgeWeakWhenHard([...note(60, 6, 4, 8, 7), ...alike], HAND).get(60)!.watch).toBe(true);
    expect(judgeWeakWhenHard(note(60, 6, 4, 8), HAND).get(60)).toMatchObject({ watch: false, couldHaveShown: null });
  });

  it('needs firm strokes and a line in the same recording', () => {
    expect(judgeWeakWhenHard(note(60, 0, 0, 0), HAND).size).toBe(0);
    const apart = note(60, 6, 6, 9).map((stroke) => ({ ...stroke, source: stroke.firm ? 1 : 0 }));
    expect(judgeWeakWhenHard([...apart, ...others], HAND).has(60)).toBe(false);
  });
});

describe('level spread of slow strokes', () => {
  /** Notes with so many slow strokes; three in a hundred go astray. */
  function levels(seed: number, each: number, added: (midi: number) => number, gain = 0): RecordedStroke[] {
    const chance = new RandomStream(seed, 'levels');
    return Array.from({ length: 88 }, (_, i) => 21 + i).flatMap((midi) => {
      // Hands are not equally even everywhere.
      const hand = 1.5 * Math.exp(chance.normal(0, 0.12));
      return Array.from({ length: each }, () => {
        const astray = chance.chance(0.03) ? chance.normal(0, 6) : 0;
        const levelDb = gain - 20 + chance.normal(0, Math.hypot(hand, added(midi))) + astray;
        return { ...QUIET, midi, levelDb, passage: 'slow' as const, force: 'usual' as const };
      });
    });
  }
  const share = (each: number, added: number, sittings: number) => {
    let [watched, off, wrong, good] = [0, 0, 0, 0];
    for (let sitting = 0; sitting < sittings; sitting++) {
      const isOff = (midi: number) => midi % 7 === 0 && added > 0;
      for (const [midi, { watch }] of judgeLevelSpread(levels(sitting, each, (midi) => (isOff(midi) ? added : 0)))) {
        if (isOff(midi)) [watched, off] = [watched + (watch ? 1 : 0), off + 1];
        else [wrong, good] = [wrong + (watch ? 1 : 0), good + 1];
      }
    }
    return { found: watched / off, wrong: wrong / good };
  };

  it('is called on at most about one note in a hundred by chance', () => {
    for (const each of [6, 8, 20]) expect(share(each, 0, 20).wrong, `${each}`).toBeLessThan(0.016);
  });

  it('is seen where a note adds 5 dB, less so at 3 dB', () => {
    const { found, wrong } = share(8, 5, 10);
    expect(found).toBeGreaterThan(0.4);
    expect(wrong).toBeLessThan(0.016);
    expect(share(20, 3, 10).found).toBeGreaterThan(0.6);
  });

  it('is the same at another gain, without a finding', () => {
    const of = (gain: number) => judgeLevelSpread(levels(3, 8, (midi) => (midi === 60 ? 6 : 0), gain));
    const [a, b] = [of(0), of(13)];
    for (const [midi, { watch, p }] of a) {
      expect(b.get(midi)!.watch).toBe(watch);
      expect(b.get(midi)!.p).toBeCloseTo(p!, 9);
    }
    expect(a.get(60)).toMatchObject({ watch: true, findings: [] });
    expect(a.get(60)!.measures).toMatchObject([{ kind: 'slow-level-spread', unit: 'dB', n: 8 }]);
  });

  it('needs twelve notes, and levels that differ', () => {
    const few = levels(4, 8, () => 0).filter(({ midi }) => midi! < 32);
    expect(judgeLevelSpread(few).size).toBe(0);
    expect(judgeLevelSpread(levels(4, 8, () => 0).map((stroke) => ({ ...stroke, levelDb: -20 }))).size).toBe(0);
  });
});
