/** The generator of whole sittings: its own law, its base rates, and that its strokes are as the hearing gives them. */

import { describe, expect, it } from 'vitest';
import { median, quantile } from '../../src/statistics/order.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { FORCES, PRECEDING_KINDS, STROKE_KINDS } from '../../src/strokes/types.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { failingAt, failingCurve, tabled } from './failing.ts';
import { handOf, heavyTailed, trueRatio, USUAL_HAND, type HandOptions } from './hand.ts';
import { ACTION_FAULTS, DEPTH_MEANS, DEPTH_SDS, FAULT_DEPTH_SD, PASSAGE_SHIFT, RATES } from './modelTables.ts';
import type { Fault } from './piano.ts';
import { newSitting, playLook, type Sitting } from './sitting.ts';

function played(seed: number, hand: Partial<HandOptions> = {}, fault: Fault | null = null, looks = 1): Sitting {
  const sitting = newSitting(
    {
      notes: 88,
      bad: fault ? 1 : 0,
      menu: fault ? [fault] : [],
      from: 0,
      neighbours: 0.01,
      hand: { ...USUAL_HAND, ...hand },
    },
    seed,
  );
  for (let look = 1; look <= looks; look++) playLook(sitting, sitting.piano, look);
  return sitting;
}

const several = (count: number, hand: Partial<HandOptions> = {}, fault: Fault | null = null) =>
  Array.from({ length: count }, (_, i) => played(i + 1, hand, fault)).flatMap(({ strokes }) => strokes);

const isRepeat = ({ kind, passage, preceding }: RecordedStroke) =>
  kind !== 'double' && passage === 'fast' && preceding.kind === 'fast';
const share = (strokes: readonly RecordedStroke[], is: (stroke: RecordedStroke) => boolean) =>
  strokes.filter(is).length / strokes.length;
const isSlow = ({ kind, passage }: RecordedStroke) => kind === 'sounded' && passage === 'slow';

describe('the failing curve', () => {
  it.each(DEPTH_SDS.flatMap((sd) => RATES.map((rate) => [sd, rate] as const)))(
    'gives back the table for a hand of %s mm at %s a second',
    (sd, rate) => {
      for (const mean of DEPTH_MEANS) {
        const [missed, weak] = tabled(mean, sd, rate, null);
        const random = new RandomStream(1, 'depths');
        const curve = failingCurve(mean, sd, rate, null);
        const all = Array.from({ length: 4000 }, () =>
          failingAt(curve, random.normal(mean, Math.hypot(sd, PASSAGE_SHIFT))),
        );
        const meanOf = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
        expect(Math.abs(meanOf(all.map((one) => one.missed)) - missed)).toBeLessThan(0.012);
        expect(Math.abs(meanOf(all.map((one) => one.failed)) - missed - weak)).toBeLessThan(0.02);
      }
    },
  );

  it('falls with depth, and fails more with every fault of the spring', () => {
    for (const fault of [null, ...ACTION_FAULTS]) {
      const curve = failingCurve(5, FAULT_DEPTH_SD, 6, fault);
      expect(curve.failedAt).toBeGreaterThanOrEqual(curve.missedAt);
      expect(failingAt(curve, 4).failed).toBeGreaterThan(failingAt(curve, 6).failed);
    }
    const missedAt = (fault: 'spring x0.8' | 'spring x0.7' | null) => failingCurve(5, 0.8, 6, fault).missedAt;
    expect(missedAt('spring x0.8')).toBeGreaterThan(missedAt(null));
    expect(missedAt('spring x0.7')).toBeGreaterThan(missedAt('spring x0.8'));
  });
});

describe('a piano in order', () => {
  it.each(DEPTH_SDS)('fails as often as the table says, hand ±%s mm', (sd) => {
    const repeats = several(12, { depthScatter: sd }).filter(isRepeat);
    const [missed, weak] = tabled(5, sd, 6, null);
    expect(repeats.length).toBeGreaterThan(10_000);
    // What the finger leaves out and what is lost in the ringing comes to 0.2 %.
    const absent = share(repeats, ({ levelDb }) => levelDb === null);
    expect(absent).toBeGreaterThan(0.5 * missed);
    expect(absent).toBeLessThan(1.5 * missed + 0.005);
    const low = share(repeats, ({ relativeDb }) => relativeDb !== null && relativeDb < -6);
    expect(low).toBeGreaterThan(0.7 * weak);
    expect(low).toBeLessThan(1.2 * weak + 0.005);
  });

  it('is damped seldom from under half-way, and more at 8 a second from over it', () => {
    const sitting = played(3, {}, null, 2);
    const gaps = sitting.strokes.filter((stroke) => isRepeat(stroke) && stroke.preceding.damped !== null);
    const quick = gaps.filter(({ preceding }) => preceding.restSeconds! < 0.145);
    const usual = gaps.filter(({ preceding }) => preceding.restSeconds! >= 0.145);
    const damped = ({ preceding }: RecordedStroke) => preceding.damped === true;
    expect(share(usual, damped)).toBeLessThan(0.1);
    expect(share(quick, damped)).toBeGreaterThan(2 * share(usual, damped));
  });

  it('scatters in level as a hand does, 1.5 dB and its drift', () => {
    const slow = several(4, { slips: 0 }).filter(isSlow);
    const relative = slow.flatMap(({ relativeDb }) => (relativeDb === null ? [] : [relativeDb]));
    const half = (quantile(relative, 0.8413) - quantile(relative, 0.1587)) / 2;
    expect(half).toBeGreaterThan(1.2);
    expect(half).toBeLessThan(2);
  });

  it.each([0, 0.3, 0.6])('loses %s of its contacts, soft ones sooner', (missing) => {
    const slow = several(6, { missing }).filter(isSlow);
    const lost = share(slow, ({ contactSeconds }) => contactSeconds === null);
    expect(Math.abs(lost - missing)).toBeLessThan(0.05);
    if (missing === 0) return;
    const softer = (over: boolean) => slow.filter(({ relativeDb }) => (over ? relativeDb! > 1 : relativeDb! < -1));
    const none = ({ contactSeconds }: RecordedStroke) => contactSeconds === null;
    expect(share(softer(false), none)).toBeGreaterThan(share(softer(true), none) + 0.03);
  });

  it('has notes that scatter differently, by about 12 %', () => {
    const { piano, hand } = played(5);
    const logs = piano.map((note) => Math.log(trueRatio(note, hand)!));
    expect(Math.abs(median(logs))).toBeLessThan(0.05);
    const spread = Math.sqrt(logs.reduce((sum, v) => sum + v * v, 0) / logs.length);
    expect(spread).toBeGreaterThan(0.08);
    expect(spread).toBeLessThan(0.16);
  });
});

describe('the law', () => {
  it('is no straight line of ln travel in level: firm strokes lie off the line of the slow ones, more with one hand than another', () => {
    const offs = Array.from({ length: 10 }, (_, seed) => {
      const { strokes, piano } = played(seed, { touch: 0.005, slips: 0, missing: 0 }, null, 2);
      const slow: [number, number][] = [];
      const firm: [number, number][] = [];
      for (const { midi } of piano) {
        const own = strokes.filter((s) => s.midi === midi && isSlow(s) && s.contactSeconds !== null && !s.doubt.length);
        const travel = (s: RecordedStroke) => Math.log(s.onsetSeconds! - s.contactSeconds!);
        const usual = own.filter(({ force }) => force === 'usual');
        const [x, y] = [median(usual.map(({ levelDb }) => levelDb!)), median(usual.map(travel))];
        for (const s of own) (s.force === 'firm' ? firm : slow).push([s.levelDb! - x, travel(s) - y]);
      }
      const slope = slow.reduce((sum, [x, y]) => sum + x * y, 0) / slow.reduce((sum, [x]) => sum + x * x, 0);
      expect(firm.length).toBeGreaterThan(300);
      return median(firm.map(([x, y]) => y - slope * x));
    });
    expect(Math.max(...offs) - Math.min(...offs)).toBeGreaterThan(0.06);
  });

  it('has another slope for every hand', () => {
    const slopes = Array.from({ length: 40 }, (_, seed) => {
      const hand = handOf(new RandomStream(seed, 'hand'), USUAL_HAND);
      return -hand.exponent / (hand.levelPerDecade / Math.LN10);
    });
    expect(Math.min(...slopes)).toBeLessThan(-0.075);
    expect(Math.max(...slopes)).toBeGreaterThan(-0.06);
  });

  it('has tails heavier than a normal law, and late fingers only', () => {
    const random = new RandomStream(1, 'tails');
    const draws = Array.from({ length: 40_000 }, () => heavyTailed(random));
    const square = draws.reduce((sum, v) => sum + v * v, 0) / draws.length;
    const fourth = draws.reduce((sum, v) => sum + v ** 4, 0) / draws.length;
    expect(square).toBeCloseTo(1, 1);
    // Student's t with 8 degrees: kurtosis 4.5; normal 3.
    expect(fourth / square ** 2).toBeGreaterThan(3.6);
    const travels = (slips: number) =>
      several(3, { slips, missing: 0 })
        .filter((stroke) => isSlow(stroke) && stroke.contactSeconds !== null)
        .map((stroke) => Math.log(stroke.onsetSeconds! - stroke.contactSeconds!));
    const [without, many] = [travels(0), travels(0.2)];
    expect(quantile(many, 0.95) - quantile(without, 0.95)).toBeGreaterThan(0.03);
    expect(Math.abs(quantile(many, 0.05) - quantile(without, 0.05))).toBeLessThan(0.03);
  });

  it('is steadier by a weight, with hardly a slip', () => {
    const finger = handOf(new RandomStream(1, 'hand'), USUAL_HAND);
    const weight = handOf(new RandomStream(1, 'hand'), { ...USUAL_HAND, weight: true });
    expect(weight.touch / finger.touch).toBeCloseTo(0.45, 6);
    expect(weight.scale).toBeLessThan(0.75 * finger.scale);
    expect(weight.slips).toBeLessThan(0.01);
  });
});

describe('planted faults', () => {
  it.each([
    [{ kind: 'silent', share: 0.4 } as const, (s: RecordedStroke) => s.kind === 'silent', 0.4],
    [{ kind: 'weak', share: 0.4 } as const, (s: RecordedStroke) => s.force === 'weak', 0.4],
  ])('%o shows in as many re-strikes', (fault, is, planted) => {
    // A full return does not fail, and a hole at the end of a passage, or four in a row, cannot be heard as such.
    const got = share(several(3, { depthScatter: 0.5 }, fault).filter(isRepeat), is);
    expect(got).toBeGreaterThan(0.7 * planted);
    expect(got).toBeLessThan(1.1 * planted);
  });

  it('doubles are strokes of their own', () => {
    const strokes = several(2, {}, { kind: 'double', share: 0.25 });
    const doubles = strokes.filter(({ kind }) => kind === 'double');
    const hit = strokes.filter(({ kind }) => kind === 'sounded');
    expect(Math.abs(doubles.length / hit.length - 0.225)).toBeLessThan(0.03);
    for (const { preceding, force } of doubles) {
      expect(preceding.restSeconds).toBeGreaterThan(0.04);
      expect(preceding.restSeconds).toBeLessThan(0.2001);
      expect(force).toBeNull();
    }
  });

  it.each([1.5, 2, 3])('a spread %s times the firm scale is that of the strokes', (ratio) => {
    const quiet = { slips: 0, missing: 0, touch: 0.03 };
    const spreadOf = (fault: Fault | null) => {
      const { strokes, hand, piano } = played(9, quiet, fault, 3);
      const squares = piano.map(({ midi }) => {
        const own = strokes.filter(
          (s) => s.midi === midi && isSlow(s) && s.force !== 'firm' && s.contactSeconds !== null,
        );
        const slope = -hand.exponent / (hand.levelPerDecade / Math.LN10);
        const rest = own.map((s) => Math.log(s.onsetSeconds! - s.contactSeconds!) - slope * s.levelDb!);
        const centre = median(rest);
        // Wrong contacts apart: within the middle two thirds.
        return quantile(
          rest.map((r) => Math.abs(r - centre)),
          0.683,
        );
      });
      return median(squares);
    };
    const got = spreadOf({ kind: 'spread', ratio }) / spreadOf(null);
    expect(got).toBeGreaterThan(0.85 * ratio);
    expect(got).toBeLessThan(1.15 * ratio);
  });
});

describe('strokes', () => {
  const { strokes, takes } = played(7, {}, { kind: 'action', fault: 'check 25' }, 3);

  it('are in order of time, take after take', () => {
    for (let i = 1; i < strokes.length; i++) {
      expect(strokes[i].timeSeconds).toBeGreaterThanOrEqual(strokes[i - 1].timeSeconds);
      expect(strokes[i].take).toBeGreaterThanOrEqual(strokes[i - 1].take);
    }
    expect(takes.map(({ take }) => take)).toEqual(takes.map((_, i) => i + 1));
  });

  it('are of every kind and passage, with every strength and predecessor that such takes have', () => {
    expect(new Set(strokes.map(({ kind }) => kind))).toEqual(new Set(STROKE_KINDS));
    expect(new Set(strokes.map(({ passage }) => passage))).toEqual(new Set(['slow', 'fast']));
    expect(new Set(strokes.map(({ force }) => force))).toEqual(new Set([...FORCES, null]));
    const preceding = PRECEDING_KINDS.filter((kind) => kind !== 'bar' && kind !== 'gentle');
    expect(new Set(strokes.map((stroke) => stroke.preceding.kind))).toEqual(new Set(preceding));
  });

  it('say why what is absent is absent, and nothing of what is there', () => {
    const wrong = strokes.filter(
      ({ absent, confidence, ...stroke }) =>
        (absent.contact !== undefined) !== (stroke.contactSeconds === null) ||
        (absent.onset !== undefined) !== (stroke.onsetSeconds === null) ||
        (absent.level !== undefined) !== (stroke.levelDb === null) ||
        (absent.knock !== undefined) !== (stroke.knockDb === null) ||
        (stroke.contactConfidence === null) !== (stroke.contactSeconds === null) ||
        (stroke.contactSeconds !== null && stroke.contactSeconds >= stroke.onsetSeconds!) ||
        Object.values(stroke).some((value) => typeof value === 'number' && !Number.isFinite(value)) ||
        confidence <= 0 ||
        confidence > 1,
    );
    expect(strokes.length).toBeGreaterThan(5000);
    expect(wrong).toEqual([]);
  });

  it('are the same for the same seed, and others for another', () => {
    expect(played(7).strokes).toEqual(played(7).strokes);
    expect(played(8).strokes).not.toEqual(played(7).strokes);
  });

  it('of a note do not hang on which others are played', () => {
    const all = newSitting({ notes: 88, bad: 0, menu: [], from: 0, neighbours: 0.01, hand: USUAL_HAND }, 4);
    const one = newSitting({ notes: 88, bad: 0, menu: [], from: 0, neighbours: 0.01, hand: USUAL_HAND }, 4);
    playLook(all, all.piano, 1);
    playLook(one, [one.piano[40]], 1);
    const kindsOf = (sitting: Sitting) =>
      sitting.strokes.filter(({ midi }) => midi === one.piano[40].midi).map(({ kind, passage }) => [kind, passage]);
    expect(kindsOf(all)).toEqual(kindsOf(one));
  });
});
