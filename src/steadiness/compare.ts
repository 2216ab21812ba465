/**
 * Two rounds of one piano, note by note: improved, worse, no change shown, or not enough strokes.
 *
 * Three measures decide: the spread of the travel time against each round's own hand, the share of failed repeats, and the
 * share of double strikes. The shift of the travel time is reported; it decides only where the note was found early or late
 * before. Probabilities are two-sided, 2·min(P, 1 − P), adjusted over all compared pairs of note and measure
 * for their false discovery rate (q); a change counts at q ≤ 0.05. Improved: one measure better and none worse.
 *
 * Before are the fresh strokes of the later looks where there were any. Where the strokes that made a note be called
 * doubtful are all there is of it, the chance that chose it is taken out (see selection).
 *
 * Nothing is called changed where the two rounds are not of one hand: scales that differ by more than 30 %, another loudness or
 * travel time over the whole round, or another player or stored hand as said of them. Where the microphone or its place is said to be
 * another, spreads and travel times decide nothing, because what is heard of the contact depends on it; repeats and doubles are
 * counted within their own round, and decide.
 */

import { adjustedForDiscovery } from '../statistics/falseDiscovery.ts';
import type { MidiNote, Seconds } from '../units.ts';
import { isOneScale, scalesOf, travelHandOf, type ComparedScale } from './comparedHands.ts';
import type { HandScale, TravelStroke } from './evidence.ts';
import type { MeasureUnit, ReturnGauge, Verdict } from './kinds.ts';
import { LEAST_REPEATS, shareChange, type Count } from './shareChange.ts';
import { isDoubtfulSpread, LEAST_TRAVELS, spreadChange, type Change } from './spreadChange.ts';
import { travelChanges, type TravelChange } from './travelChange.ts';

export const CHANGES = ['improved', 'worse', 'no-change-shown', 'insufficient'] as const;
export type ChangeVerdict = (typeof CHANGES)[number];

export const CHANGE_MEASURES = ['spread-ratio', 'failed-repeats', 'double-strikes', 'travel-at-level'] as const;
export type ChangeMeasureKind = (typeof CHANGE_MEASURES)[number];

/** Why a measure, or the whole comparison, decides nothing, or is to be taken with reserve. Closed list. */
export const RESERVES = [
  'other-hand',
  'no-hand',
  'let-up-more',
  'let-up-less',
  'other-rate',
  'chosen-by-chance',
  'zero-scatter',
  'both-ways',
  'other-microphone',
  'other-place',
  'other-player',
  'other-stored-hand',
  'before-not-fresh',
] as const;
export type Reserve = (typeof RESERVES)[number];

/** What may have been said to differ between two rounds. */
export const SAID_RESERVES = ['other-microphone', 'other-place', 'other-player', 'other-stored-hand'] as const;
export type SaidReserve = (typeof SAID_RESERVES)[number];

/** What is known of two rounds beside their strokes. */
export interface Known {
  /** Notes timed by one template in both rounds, with the seconds by which the onsets of after are late by their own; taken out. */
  readonly zeros?: ReadonlyMap<MidiNote, Seconds>;
  /** What was said to have changed in between. */
  readonly said?: readonly SaidReserve[];
  /** Notes that an earlier round than before had called doubtful, nothing being turned since: all of before is fresh. */
  readonly fresh?: ReadonlySet<MidiNote>;
}

/** One look at a note. */
export interface ComparedLook {
  /** Its quick repeats, silent or weak ones failed. */
  readonly repeats: Count;
  /** Silent ones among them. */
  readonly silent: number;
  /** Strokes meant gently, and those that stayed silent. */
  readonly gentle: Count;
  /** Strokes of the hand, and the doubles after them. */
  readonly doubles: Count;
  /** Strokes per second of its fast passages; null without. */
  readonly ratePerSecond: number | null;
}

/** One note of a round. */
export interface ComparedNote {
  readonly midi: MidiNote;
  readonly verdict: Verdict;
  /** Usable slow strokes, with their look. */
  readonly travels: readonly TravelStroke[];
  readonly looks: readonly ComparedLook[];
  /** How far it was found early (below 0) or late, percent; null where it was not found to be. */
  readonly earlyOrLate: number | null;
}

export interface ComparedRound {
  /** What firm notes do under this hand; null where the round does not say. */
  readonly hand: Omit<HandScale, 'firmShare'> | null;
  readonly returns: ReturnGauge;
  readonly notes: readonly ComparedNote[];
}

/** One measure in both rounds. */
export interface ChangeMeasure {
  readonly kind: ChangeMeasureKind;
  /** Of before and after. */
  readonly unit: MeasureUnit;
  readonly before: number;
  readonly after: number;
  /** After over before. */
  readonly ratio?: number;
  /** After less before; the unit of a difference of travel times is percent. */
  readonly difference?: number;
  readonly interval: readonly [number, number];
  /** Adjusted over all that was compared; null where the measure decides nothing. */
  readonly q: number | null;
  /** Strokes or repeats in each. */
  readonly n: readonly [number, number];
  /** Smallest change for the better that would probably have shown, as ratio or difference; null for travel times. */
  readonly couldHaveShown: number | null;
}

export interface NoteChange {
  readonly midi: MidiNote;
  readonly change: ChangeVerdict;
  readonly verdicts: readonly [Verdict, Verdict];
  readonly measures: readonly ChangeMeasure[];
  readonly reserves: readonly Reserve[];
  /** Usable slow strokes and quick repeats in each round. */
  readonly slow: readonly [number, number];
  readonly fast: readonly [number, number];
}

export interface RoundChange {
  /** What holds for the comparison as a whole. */
  readonly reserves: readonly Reserve[];
  /** Notes of both rounds, from bass to treble. */
  readonly notes: readonly NoteChange[];
  /** Notes that one round lacks. */
  readonly onlyBefore: readonly MidiNote[];
  readonly onlyAfter: readonly MidiNote[];
}

const SURE = 0.05;
const SCALES_APART = Math.log(1.3);
/** Other loudness or travel time over the whole round, dB and ln: another touch or place of the microphone. */
const LEVELS_APART = 6;
const TRAVELS_APART = 0.3;
/** Quick repeats compare at like rates. */
export const RATES_APART = 1.2;
/** With these nothing is called changed. */
export const OF_THE_HAND: readonly Reserve[] = ['other-hand', 'other-player', 'other-stored-hand'];
/** With these spreads and travel times decide nothing. */
export const OF_THE_PLACE: readonly Reserve[] = ['other-microphone', 'other-place'];

/** One compared pair before the adjustment over all of them. */
interface Pair {
  readonly note: number;
  readonly measure: Omit<ChangeMeasure, 'q'>;
  /** Two-sided; null where it decides nothing. */
  readonly p: number | null;
  readonly better: boolean;
}

/** Compares two rounds. */
export function compareRounds(before: ComparedRound, after: ComparedRound, known: Known = {}): RoundChange {
  const later = new Map(after.notes.map((note) => [note.midi, note]));
  const notes = before.notes.flatMap((note) => {
    const other = later.get(note.midi);
    if (!other) return [];
    return [joined(note, other, known.zeros?.get(note.midi) ?? null, known.fresh?.has(note.midi) ?? false)];
  });
  const said = known.said ?? [];
  const otherPlace = said.some((reserve) => OF_THE_PLACE.includes(reserve));
  const reserves = [...roundReserves(before, after, otherPlace), ...said];
  const scales = scalesOf(before, after);
  const shifts = travelChanges(
    notes.map(({ midi, travels, oneTemplate }) => ({ midi, before: travels[0], after: travels[1], oneTemplate })),
    travelHandOf(
      before,
      after,
      notes.flatMap(({ travels }) => travels[0]),
    ),
  );
  const both = before.hand !== null && after.hand !== null;
  const sameScale = isOneScale(before, after);
  const noteReserves = notes.map((note) => reservesOf(note, scales[0], shifts.get(note.midi)));
  const pairs = notes.flatMap((note, i): Pair[] => {
    const chosen = noteReserves[i].includes('chosen-by-chance');
    const spread = spreadChange(note.travels[0], note.travels[1], scales, chosen, sameScale);
    const repeats = shareChange(note.repeats[0], note.repeats[1], chosen);
    const doubles = shareChange(note.doubles[0], note.doubles[1], chosen);
    const shift = shifts.get(note.midi);
    const mayDecide = repeatsMayDecide(reserves, noteReserves[i], repeats);
    return [
      ...(spread ? [pairOf(i, 'spread-ratio', spread, both && !otherPlace)] : []),
      ...(repeats ? [pairOf(i, 'failed-repeats', repeats, mayDecide)] : []),
      ...(doubles ? [pairOf(i, 'double-strikes', doubles, true)] : []),
      ...(shift ? [shiftPair(i, shift, note, otherPlace)] : []),
    ];
  });
  const qs = adjusted(pairs);
  const earlier = new Set(before.notes.map(({ midi }) => midi));
  return {
    reserves,
    notes: notes.map((note, i) => {
      const own = pairs.filter((pair) => pair.note === i);
      const moved = own.filter((pair) => (qs.get(pair) ?? 1) <= SURE);
      const [better, worse] = [moved.some((pair) => pair.better), moved.some((pair) => !pair.better)];
      const enough = own.some(({ measure }) => measure.kind !== 'travel-at-level' && measure.kind !== 'double-strikes');
      return {
        midi: note.midi,
        change: verdictOf(
          enough,
          better,
          worse,
          reserves.some((each) => OF_THE_HAND.includes(each)),
        ),
        verdicts: note.verdicts,
        measures: own.map((pair) => ({ ...pair.measure, q: qs.get(pair) ?? null })),
        reserves: better && worse ? [...noteReserves[i], 'both-ways'] : noteReserves[i],
        slow: [note.travels[0].length, note.travels[1].length],
        fast: [note.repeats[0].n, note.repeats[1].n],
      };
    }),
    onlyBefore: before.notes.map(({ midi }) => midi).filter((midi) => !later.has(midi)),
    onlyAfter: after.notes.map(({ midi }) => midi).filter((midi) => !earlier.has(midi)),
  };
}

/** q of the pairs that may decide. Where nothing ever failed, nothing could differ: that is no test, and its q is 1. */
function adjusted(pairs: readonly Pair[]): Map<Pair, number> {
  const deciding = pairs.filter(({ p }) => p !== null);
  const isEmpty = ({ measure: { kind, before, after } }: Pair): boolean =>
    (kind === 'failed-repeats' || kind === 'double-strikes') && before === 0 && after === 0;
  const tested = deciding.filter((pair) => !isEmpty(pair));
  const qs = adjustedForDiscovery(tested.map(({ p }) => p!));
  return new Map([
    ...deciding.filter(isEmpty).map((pair) => [pair, 1] as const),
    ...tested.map((pair, k) => [pair, qs[k]] as const),
  ]);
}

function verdictOf(enough: boolean, better: boolean, worse: boolean, otherHand: boolean): ChangeVerdict {
  if (!enough) return 'insufficient';
  if (otherHand || better === worse) return 'no-change-shown';
  return better ? 'improved' : 'worse';
}

/** One note in both rounds, before as its fresh strokes where there are enough. */
interface Joined {
  readonly midi: MidiNote;
  readonly verdicts: readonly [Verdict, Verdict];
  readonly travels: readonly [readonly TravelStroke[], readonly TravelStroke[]];
  readonly repeats: readonly [Count, Count];
  readonly doubles: readonly [Count, Count];
  readonly rates: readonly [number | null, number | null];
  /** Before holds the strokes that made the note be called doubtful. */
  readonly firstLook: boolean;
  readonly earlyOrLate: number | null;
  readonly oneTemplate: boolean;
}

function joined(before: ComparedNote, after: ComparedNote, zero: Seconds | null, allFresh: boolean): Joined {
  const fresh = before.looks.slice(1);
  const freshTravels = before.travels.filter(({ look }) => look > 1);
  const freshRepeats = total(fresh.map(({ repeats }) => repeats));
  const enough = !allFresh && freshTravels.length >= LEAST_TRAVELS && freshRepeats.n >= LEAST_REPEATS;
  const looks = enough ? fresh : before.looks;
  const timed = zero === null ? after.travels : after.travels.map((stroke) => earlierBy(stroke, zero));
  return {
    midi: before.midi,
    verdicts: [before.verdict, after.verdict],
    travels: [enough ? freshTravels : before.travels, timed],
    repeats: [total(looks.map(({ repeats }) => repeats)), total(after.looks.map(({ repeats }) => repeats))],
    doubles: [total(looks.map(({ doubles }) => doubles)), total(after.looks.map(({ doubles }) => doubles))],
    rates: [rateOf(looks), rateOf(after.looks)],
    firstLook: !enough && !allFresh,
    earlyOrLate: before.earlyOrLate,
    oneTemplate: zero !== null,
  };
}

/** A stroke whose onset was so much late by its template. */
export function earlierBy(stroke: TravelStroke, seconds: Seconds): TravelStroke {
  const travel = Math.exp(stroke.logTravel) - seconds;
  return travel > 0 ? { ...stroke, logTravel: Math.log(travel) } : stroke;
}

function total(counts: readonly Count[]): Count {
  return counts.reduce((sum, { failed, n }) => ({ failed: sum.failed + failed, n: sum.n + n }), { failed: 0, n: 0 });
}

/** Strokes per second of the looks' fast passages; null without any. */
export function rateOf(looks: readonly ComparedLook[]): number | null {
  const rates = looks.flatMap(({ ratePerSecond }) => ratePerSecond ?? []);
  return rates.length > 0 ? rates.reduce((sum, rate) => sum + rate, 0) / rates.length : null;
}

/** What holds for the whole. From another place loudness and travel time are another, and say nothing of the hand. */
function roundReserves(before: ComparedRound, after: ComparedRound, otherPlace: boolean): Reserve[] {
  const reserves: Reserve[] = [];
  if (!before.hand || !after.hand) reserves.push('no-hand');
  else if (
    scalesApart(before.hand, after.hand) ||
    (!otherPlace &&
      (Math.abs(after.hand.referenceDb - before.hand.referenceDb) > LEVELS_APART ||
        Math.abs(Math.log(after.hand.referenceTravel / before.hand.referenceTravel)) > TRAVELS_APART))
  ) {
    reserves.push('other-hand');
  }
  if (before.returns === 'let-up-more' || after.returns === 'let-up-more') reserves.push('let-up-more');
  if (after.returns === 'let-up-less') reserves.push('let-up-less');
  return reserves;
}

/** Apart by more than 30 %, and by more than what is uncertain in both. */
function scalesApart(a: { scale: number; logError: number }, b: { scale: number; logError: number }): boolean {
  const apart = Math.abs(Math.log(a.scale / b.scale));
  return apart > SCALES_APART && apart > 1.96 * Math.hypot(a.logError, b.logError);
}

/** Whether the round called the note doubtful. */
export function isDoubtful(verdict: Verdict): boolean {
  return verdict === 'watch' || verdict === 'unstable';
}

function reservesOf(note: Joined, scale: ComparedScale, shift: TravelChange | undefined): Reserve[] {
  const reserves: Reserve[] = [];
  if (isDoubtful(note.verdicts[0]) && note.firstLook) {
    const byCount = note.repeats[0].failed > 0 || note.doubles[0].failed > 0;
    if (byCount || isDoubtfulSpread(note.travels[0], scale)) reserves.push('chosen-by-chance');
    reserves.push('before-not-fresh');
  }
  const [first, second] = note.rates;
  if (first !== null && second !== null && Math.max(first / second, second / first) > RATES_APART) {
    reserves.push('other-rate');
  }
  if (shift && shift.zeroScatter > 0) reserves.push('zero-scatter');
  return reserves;
}

/** Repeats of a hand that let the keys up too little or too far, or at another rate, are shown and decide nothing. */
function repeatsMayDecide(round: readonly Reserve[], note: readonly Reserve[], change: Change | null): boolean {
  if (change === null || round.includes('let-up-more') || note.includes('other-rate')) return false;
  return !(round.includes('let-up-less') && change.higherBefore > 0.5);
}

function pairOf(note: number, kind: ChangeMeasureKind, change: Change, decides: boolean): Pair {
  const { before, after, interval, n, couldHaveShown, higherBefore } = change;
  const p = Math.min(1, 2 * Math.max(0, Math.min(higherBefore, 1 - higherBefore)));
  const isRatio = kind === 'spread-ratio';
  const how = isRatio ? { ratio: change.change } : { difference: change.change };
  const unit = isRatio ? 'ratio' : 'share';
  return {
    note,
    measure: { kind, unit, before, after, ...how, interval, n, couldHaveShown },
    p: decides ? p : null,
    better: higherBefore > 0.5,
  };
}

function shiftPair(
  note: number,
  shift: TravelChange,
  { earlyOrLate, verdicts, firstLook }: Joined,
  otherPlace: boolean,
): Pair {
  const { before, after, percent, interval, n, p } = shift;
  const better = earlyOrLate !== null && Math.sign(percent) === -Math.sign(earlyOrLate);
  // The strokes that made it be found early or late lay that way by chance too: it would come back by itself.
  const comesBack = better && firstLook && isDoubtful(verdicts[0]);
  return {
    note,
    measure: {
      kind: 'travel-at-level',
      unit: 'ms',
      before: 1000 * before,
      after: 1000 * after,
      difference: percent,
      interval,
      n,
      couldHaveShown: null,
    },
    // A note that was in its place is neither better nor worse for having moved a little: its verdict says where it is.
    p: earlyOrLate === null || !shift.own || otherPlace || comesBack ? null : p,
    better,
  };
}
