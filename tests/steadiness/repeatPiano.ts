/**
 * Played repeats for the tests: a hand that lets keys up by chance, notes in order and not, and the looks a player would give.
 *
 * Failures come from the depth of return, not from the estimator's own distribution: depth = N(mean + note's own, 0.8 mm) in a
 * passage; a stroke stays silent or weak where the depth lies under a threshold that is itself logistic (1 in 3 mm), a note's own
 * shift is N(0, 0.3 mm) in each passage. A faulty note fails by a rate of its own besides, or by the table of a model.
 */

import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import type { RepeatsEvidence } from '../../src/steadiness/evidence.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { REFERENCE_SCHEMA, type HandReference } from '../../src/steadiness/reference.ts';
import type { NotePlay, RecordedTake } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { silent, stroke } from '../pictures/strokes.ts';

/** Depth spread of the hand within a passage and between notes, mm. */
export interface Hand {
  /** Mean depth over the threshold, mm: the more, the fewer failures. */
  readonly over: number;
  readonly within: number;
  readonly between: number;
}

/** A fault: chances, beside the hand's, that a repeat stays silent, comes out weak, or strikes twice; a chance a rate. */
export interface Fault {
  readonly silent?: readonly [steady: number, quick: number];
  readonly weak?: readonly [steady: number, quick: number];
  readonly doubles?: number;
}

/** Hands whose notes in order stay silent at about 0.5, 1 and 3.4 repeats in 100. */
export const HANDS: Readonly<Record<'half' | 'one' | 'three', Hand>> = {
  half: { over: 2.43, within: 0.8, between: 0.3 },
  one: { over: 2.22, within: 0.8, between: 0.3 },
  three: { over: 1.8, within: 0.8, between: 0.3 },
};

/** Logistic slope of the threshold, per mm, and the widths of the zones of weak repeats, in logits. */
const SLOPE = 3;
const WEAK_ZONE = 0.8;
const LOW_ZONE = 3;
const DOUBLES_IN_ORDER = 0.003;

export interface Passage {
  readonly perSecond: number;
  readonly strokes: number;
}
export const FIRST: readonly Passage[] = [{ perSecond: 6, strokes: 12 }];
export const FRESH: readonly Passage[] = [
  { perSecond: 6, strokes: 12 },
  { perSecond: 6, strokes: 12 },
  { perSecond: 8, strokes: 12 },
];

/** Strokes of a look of one note: some slow ones, then each passage. */
export function playLook(
  midi: number,
  take: number,
  passages: readonly Passage[],
  hand: Hand,
  fault: Fault,
  chance: RandomStream,
  slow = 8,
): RecordedStroke[] {
  const strokes: RecordedStroke[] = [];
  let time = 1;
  const double = (after: number) => {
    if (!chance.chance(Math.max(DOUBLES_IN_ORDER, fault.doubles ?? 0))) return;
    const passage = strokes[strokes.length - 1].passage;
    strokes.push(
      stroke(after + 0.07, { kind: 'double', midi, take, passage, levelDb: -32, relativeDb: -12, force: null }),
    );
  };
  for (let i = 0; i < slow; i++, time += 1) {
    strokes.push(stroke(time, { midi, take, levelDb: -20 + chance.normal() }));
    double(time);
  }
  for (const { perSecond, strokes: n } of passages) {
    time += 1;
    const quick = perSecond >= 7 ? 1 : 0;
    // At the quicker rate the key is let up a millimetre more, and the threshold lies as much higher.
    const own = hand.over + chance.normal(0, hand.between);
    for (let i = 0; i < n; i++, time += 1 / perSecond) {
      const at = { midi, take, passage: 'fast' as const };
      const u = chance.between(1e-9, 1);
      const margin = SLOPE * (own + chance.normal(0, hand.within)) + Math.log(u / (1 - u));
      const stays = margin < 0 || chance.chance(fault.silent?.[quick] ?? 0);
      const falls = margin < WEAK_ZONE || chance.chance(fault.weak?.[quick] ?? 0);
      if (i > 0 && stays) {
        strokes.push(silent(time, at));
        continue;
      }
      const relativeDb = i > 0 && falls ? -chance.between(10.1, 15.9) : i > 0 && margin < LOW_ZONE ? -7 : 0;
      const force = relativeDb <= -10 ? ('weak' as const) : ('usual' as const);
      strokes.push(stroke(time + chance.normal(0, 0.004), { ...at, levelDb: -24 + relativeDb, relativeDb, force }));
      double(time);
    }
  }
  return strokes;
}

/** A note played so far. */
export function played(midi: number, looks: readonly (readonly RecordedStroke[])[]): NotePlay {
  const takes = new Map<number, RecordedTake>();
  for (const { take } of looks.flat()) takes.set(take, { take, midi, asked: null, touch: null, ratePerSecond: null });
  return { midi, looks, takes };
}

/** A stored hand, without base rates. */
export const REFERENCE: HandReference = {
  schema: REFERENCE_SCHEMA,
  analysisVersion: '0',
  scale: 0.04,
  logError: 0.05,
  slopePerDb: -0.065,
  slopeError: 0.002,
  slipRate: 0.03,
  touch: 'finger',
  referenceTravel: 0.07,
  referenceDb: -20,
  baseRates: null,
  notes: 20,
  sources: [],
};

export interface Sitting {
  readonly evidence: RepeatsEvidence;
  readonly faults: ReadonlyMap<number, Fault | null>;
  readonly strokes: number;
}

/** A piano played through, open notes again with fresh strokes, at most twice. */
export function sitThrough(
  seed: number,
  hand: Hand,
  faultOf: (midi: number, chance: RandomStream) => Fault | null,
  notes = 88,
): Sitting {
  const chance = new RandomStream(seed, 'repeats');
  const faults = new Map<number, Fault | null>();
  let plays: NotePlay[] = [];
  let take = 1;
  for (let midi = 21; midi < 21 + notes; midi++) {
    const fault = faultOf(midi, chance);
    faults.set(midi, fault);
    plays.push(played(midi, [playLook(midi, take++, FIRST, hand, fault ?? {}, chance)]));
  }
  let evidence = judgeRepeats(plays, null);
  for (let look = 2; look <= 3; look++) {
    plays = plays.map((play) => {
      if (!evidence.notes.get(play.midi)!.open) return play;
      const fresh = playLook(play.midi, take++, FRESH, hand, faults.get(play.midi) ?? {}, chance, 12);
      return played(play.midi, [...play.looks, fresh]);
    });
    evidence = judgeRepeats(plays, null);
  }
  return { evidence, faults, strokes: plays.reduce((sum, { looks }) => sum + looks.flat().length, 0) };
}

export interface Rates {
  /** Notes in order that were decided, in 88. */
  readonly falsePer88: number;
  /** What the judgement itself expects, in 88. */
  readonly expectedPer88: number;
  /** Of the faulty notes: decided. */
  readonly found: number;
  /** Of the faulty notes: called clear. */
  readonly missed: number;
  /** Of the notes in order: called clear. */
  readonly clear: number;
  /** Of the notes in order: doubtful. */
  readonly doubtful: number;
  /** Of the notes in order: played again. */
  readonly again: number;
  readonly silentInOrder: number;
  readonly faintInOrder: number;
  /** Sittings by what the gauge said. */
  readonly gauges: Readonly<Record<string, number>>;
}

/** Rates over sittings; a share of the notes has the fault. */
export function repeatRates(hand: Hand, fault: Fault | null, share: number, sittings: number, seed = 1): Rates {
  const sum = {
    good: 0,
    bad: 0,
    wrong: 0,
    found: 0,
    missed: 0,
    clear: 0,
    doubtful: 0,
    again: 0,
    n: 0,
    silent: 0,
    faint: 0,
  };
  let expected = 0;
  const gauges: Record<string, number> = {};
  for (let i = 0; i < sittings; i++) {
    const { evidence, faults } = sitThrough(seed + i, hand, (_, chance) => (chance.chance(share) ? fault : null));
    expected += evidence.expectedFalse / sittings;
    gauges[evidence.gauge] = (gauges[evidence.gauge] ?? 0) + 1;
    for (const [midi, note] of evidence.notes) {
      if (faults.get(midi)) {
        sum.bad++;
        if (note.decides) sum.found++;
        if (note.clear) sum.missed++;
        continue;
      }
      sum.good++;
      if (note.decides) sum.wrong++;
      if (note.clear) sum.clear++;
      if (note.doubtful) sum.doubtful++;
      if (note.n > 11) sum.again++;
      const [still, weak] = ['silent-repeats', 'weak-repeats'].map((kind) =>
        note.measures.find((m) => m.kind === kind)!,
      );
      sum.n += note.n;
      sum.silent += still.value * note.n;
      sum.faint += (still.value + weak.value) * note.n;
    }
  }
  return {
    falsePer88: (88 * sum.wrong) / sum.good,
    expectedPer88: expected,
    found: sum.found / sum.bad,
    missed: sum.missed / sum.bad,
    clear: sum.clear / sum.good,
    doubtful: sum.doubtful / sum.good,
    again: sum.again / sum.good,
    silentInOrder: sum.silent / sum.n,
    faintInOrder: sum.faint / sum.n,
    gauges,
  };
}
