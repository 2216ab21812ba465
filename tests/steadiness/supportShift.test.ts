/** Shifts against neighbours on played pianos whose law is not the estimator's: what is found, what is called wrongly. */

import { describe, expect, it } from 'vitest';
import { judgeShift, shiftAgreement, zeroScatter } from '../../src/steadiness/support/shift.ts';
import type { SupportEvidence, TravelEvidence, TravelStroke } from '../../src/steadiness/evidence.ts';
import { COMPASS, HAND, play } from './playedPiano.ts';
import { eachOff, keysOff, shiftRates, withoutLevels } from './shiftMeasure.ts';

const watched = (found: ReadonlyMap<number, SupportEvidence>) =>
  [...found].flatMap(([midi, { watch }]) => (watch ? [midi] : []));

describe('notes in order', () => {
  // Bounds are what a normal scale promises (0.24 per 88) with what is added by strays and by a capped scatter.
  it.each([
    [0.005, false, 0.6],
    [0.01, false, 0.6],
    [0.01, true, 0.6],
    [0.02, true, 0.9],
    [0.03, false, 1.5],
  ])('are seldom called early or late: scatter %f, zeros %s', (scatter, zero, most) => {
    const rates = shiftRates({ scatter, zero }, 15);
    expect(rates.good).toBe(15 * 88);
    expect(rates.falsePer88).toBeLessThanOrEqual(most);
    expect(rates.coverage).toBeGreaterThan(0.82);
  });

  it('are not called so because their strings sound louder', () => {
    const strings = { stringsDb: 1.5 };
    expect(shiftRates(strings, 12).falsePer88).toBeLessThanOrEqual(1.2);
    expect(shiftRates(strings, 12, withoutLevels).falsePer88).toBeGreaterThan(4);
  });

  it('nor because the player struck them harder', () => {
    expect(shiftRates({ playerDb: 1.5 }, 12).falsePer88).toBeLessThanOrEqual(0.9);
  });
});

describe('notes that are off', () => {
  it('are found when the shift is large, among good ones and among bad ones', () => {
    expect(shiftRates({ strokes: 14, fault: eachOff(0.15, -0.12) }, 8).found).toBeGreaterThan(0.9);
    expect(shiftRates({ strokes: 7, fault: eachOff(0.15, -0.12) }, 8).found).toBeGreaterThan(0.65);
    expect(shiftRates({ strokes: 14, fault: eachOff(0.33, 0.12) }, 8).found).toBeGreaterThan(0.5);
  });

  it('are hardly found when it is small', () => {
    const rates = shiftRates({ strokes: 7, fault: eachOff(0.15, -0.03) }, 8);
    expect(rates.found).toBeLessThan(0.15);
    expect(rates.couldHaveShown).toBeGreaterThan(8);
  });

  it('are found as often as is said', () => {
    // One key off by what could have been shown there: 80 % power, give or take the error of 60 sittings.
    const keys = COMPASS.slice(39, 59);
    const could = judgeShift(play(1, { keys, strokes: 14 }).travel, play(1, { keys, strokes: 14 }).hand).get(70)!;
    const rates = shiftRates({ keys, strokes: 14, fault: keysOff([70], -could.couldHaveShown! / 100) }, 60);
    expect(rates.off).toBe(60);
    expect(rates.found).toBeGreaterThan(0.62);
  });

  it('are not hidden by black keys that all come 3 ms late', () => {
    const off = { blackMs: 3, strokes: 14, fault: eachOff(0.15, -0.12) };
    const rates = shiftRates(off, 8);
    expect(rates.found).toBeGreaterThan(0.85);
    expect(rates.falsePer88).toBeLessThanOrEqual(1.2);
  });

  it('are found in a block of five neighbours', () => {
    const block = [60, 61, 62, 63, 64];
    expect(shiftRates({ strokes: 14, fault: keysOff(block, -0.12) }, 8).found).toBeGreaterThan(0.8);
  });

  it('stay hidden where a whole region is off', () => {
    const region = COMPASS.slice(39, 59);
    expect(shiftRates({ strokes: 14, fault: keysOff(region, -0.12) }, 8).found).toBeLessThan(0.3);
  });
});

describe('a shift', () => {
  const { travel, hand, faults } = play(3, { strokes: 14, fault: keysOff([50, 75], -0.15) });
  const found = judgeShift(travel, hand);

  it('is stated in percent, negative for early', () => {
    expect(watched(found)).toEqual([...faults].flatMap(([midi, fault]) => (fault === 0 ? [] : [midi])));
    const [finding] = found.get(75)!.findings;
    expect(finding).toMatchObject({ kind: 'early-or-late', unit: 'percent', n: 14 });
    expect(finding.interval[0]).toBeLessThan(-15);
    expect(finding.interval[1]).toBeGreaterThan(-15);
    expect(found.get(75)!.p).toBeLessThan(0.003);
    expect(found.size).toBe(88);
    expect([...found.values()].every(({ measures }) => measures[0].kind === 'travel-shift')).toBe(true);
  });

  it('stays the same at another gain', () => {
    const louder = new Map([...travel].map(([m, note]) => [m, { ...note, meanLevelDb: note.meanLevelDb! + 17 }]));
    const other = judgeShift(louder, { ...hand, referenceDb: hand.referenceDb + 17 });
    expect(watched(other)).toEqual(watched(found));
    expect(other.get(60)!.measures[0].value).toBeCloseTo(found.get(60)!.measures[0].value, 6);
  });

  it('stays the same at another typical travel time', () => {
    const slower = scaled(travel, 1.3);
    const other = judgeShift(slower, hand);
    expect(watched(other)).toEqual(watched(found));
    for (const [midi, { measures }] of found)
      expect(other.get(midi)!.measures[0].value).toBeCloseTo(measures[0].value, 6);
    // With the reference the zeros weigh less: the same notes, a little more surely.
    const longer = judgeShift(slower, { ...hand, referenceTravel: 1.3 * hand.referenceTravel });
    expect(watched(longer)).toEqual(watched(found));
    expect(longer.get(30)!.couldHaveShown).toBeLessThan(found.get(30)!.couldHaveShown!);
  });

  it('needs twelve notes and five near ones', () => {
    const few = new Map([...travel].filter(([midi]) => midi >= 60 && midi < 71));
    expect(judgeShift(few, hand).size).toBe(0);
    const spread = new Map([...travel].filter(([midi]) => midi % 6 === 0));
    expect(spread.size).toBeGreaterThanOrEqual(12);
    expect(judgeShift(spread, hand).size).toBe(0);
    const none = new Map([...travel].map(([midi, note]) => [midi, { ...note, centre: null, centreError: null }]));
    expect(judgeShift(none, hand).size).toBe(0);
  });

  it('is not told over a break between sections that is known', () => {
    const step = play(5, { strokes: 14, fault: (midi) => (midi < 50 ? 0.2 : 0) });
    const near = (breaks: readonly number[]) =>
      watched(judgeShift(step.travel, step.hand, breaks)).filter((midi) => midi >= 46 && midi < 54).length;
    expect(near([])).toBeGreaterThan(0);
    expect(near([50])).toBe(0);
  });

  it('of equal notes is none', () => {
    const one = travel.get(60)!;
    const equal = new Map(COMPASS.map((midi) => [midi, { ...one, centre: -2.6, meanLevelDb: -20 }]));
    for (const { watch, measures } of judgeShift(equal, hand).values()) {
      expect(watch).toBe(false);
      expect(measures[0].value).toBeCloseTo(0, 9);
    }
  });
});

function scaled(travel: ReadonlyMap<number, TravelEvidence>, factor: number): Map<number, TravelEvidence> {
  return new Map([...travel].map(([midi, note]) => [midi, { ...note, centre: note.centre! + Math.log(factor) }]));
}

describe('the zeros of the notes', () => {
  it('scatter less from bass to treble', () => {
    const expected = [0.002, 0.002, 0.0009, 0.0003, 0.0002, 0.0002];
    [21, 47, 48, 71, 72, 108].forEach((midi, i) => expect(zeroScatter(midi)).toBeCloseTo(expected[i], 12));
  });
});

describe('firm and slow strokes of a note', () => {
  const stroke = (levelDb: number, logTravel: number, firm: boolean, source = 0): TravelStroke => ({
    midi: 60,
    look: 1,
    logTravel,
    levelDb,
    source,
    order: 0,
    after: 'slow',
    firm,
  });
  const line = (levelDb: number) => Math.log(0.07) + HAND.slopePerDb * (levelDb - HAND.referenceDb);

  it('agree on the line, and are compared with their error', () => {
    const strokes = [-20, -21, -19, -20].map((level) => stroke(level, line(level), false));
    const firm = [-12, -11, -12].map((level) => stroke(level, line(level) - 0.1, true));
    const agreement = shiftAgreement([...strokes, ...firm], HAND)!;
    expect(agreement.slow).toMatchObject({ n: 4 });
    expect(agreement.slow.centre).toBeCloseTo(Math.log(0.07), 9);
    expect(agreement.difference).toBeCloseTo(-0.1, 9);
    const [a, b] = [1.2 * 0.041 * Math.sqrt(1 / 4 + 1 / 3), HAND.slopeError * (20 - 35 / 3)];
    expect(agreement.differenceError).toBeCloseTo(Math.hypot(a, b), 9);
  });

  it('are not compared between recordings', () => {
    const slow = [-20, -21, -19].map((level) => stroke(level, line(level), false, 0));
    const firm = [-12, -11, -12].map((level) => stroke(level, line(level), true, 1));
    expect(shiftAgreement([...slow, ...firm], HAND)).toBeNull();
    expect(shiftAgreement([], HAND)).toBeNull();
  });
});
