/**
 * The judgement of a round: the hand taken out, note by note what was found, how surely, and what could have been.
 *
 * Who may say `unstable`: failing repeats and doubles (repeats), and the spread of travel time (travel). What supports
 * (shift against the neighbours, what comes after a firm stroke, gentle and firm strokes, levels, fading, unevenness) says
 * `watch` at most. `steady` needs both deciding kinds: travel times narrow enough that double spread would mostly have been
 * wider, and repeats without failures beyond a lone one. Everything else is `insufficient`. All is fitted once for the whole
 * round: in which order notes were played changes nothing.
 */

import type { MidiNote } from '../units.ts';
import type { HandScale, RepeatEvidence, RepeatsEvidence, SupportEvidence, TravelEvidence } from './evidence.ts';
import type { Finding, Measure, RepeatPattern, Verdict } from './kinds.ts';
import type { RecordedStroke } from './measures.ts';
import type { HandReference } from './reference.ts';
import { judgeFast } from './repeats/judgeFast.ts';
import { judgeRepeats } from './repeats/judgeRepeats.ts';
import { MOST_LOOKS, playOf, touchOf, type NotePlay, type RecordedTake } from './round.ts';
import { judgeAgreement } from './support/agreement.ts';
import { judgeContrast } from './support/contrast.ts';
import { judgeGentle } from './support/gentle.ts';
import { judgeLevelSpread } from './support/levelSpread.ts';
import { judgeShift } from './support/shift.ts';
import { judgeWeakWhenHard } from './support/weakWhenHard.ts';
import { judgeTravel, LEAST_DECIDING, LOOK_ALPHA, type TravelJudgement } from './travel/judgeTravel.ts';
import { usableStrokes, type UsableStrokes } from './travel/usable.ts';
import { plainVerdict } from './verdict.ts';
import { roundDoubts, type RoundDoubt } from './roundDoubts.ts';

/** One note, judged. */
export interface NoteJudgement {
  readonly midi: MidiNote;
  readonly verdict: Verdict;
  /** How soon to look at this note, 0 to 1: probability that something is off, what only supports counted for less. */
  readonly score: number;
  readonly measures: readonly Measure[];
  readonly findings: readonly Finding[];
  readonly couldHaveShown: {
    readonly spreadPercent: number | null;
    readonly shiftPercent: number | null;
    readonly failureRate: number | null;
    readonly modelMillimetres: number | null;
  };
  readonly looks: number;
  readonly pattern: RepeatPattern | null;
  readonly strokesNeeded: { readonly slow: number; readonly fast: number } | null;
  readonly unused: TravelEvidence['unused'];
}

/** A round, judged. */
export interface RoundJudgement {
  readonly hand: HandScale | null;
  readonly repeats: RepeatsEvidence;
  /** What is to be said of the round as a whole. */
  readonly doubts: readonly RoundDoubt[];
  /** Notes in order that these rules would call unstable by chance; null where nothing may be called so. */
  readonly expectedFalse: number | null;
  /** From bass to treble. */
  readonly notes: readonly NoteJudgement[];
}

/** Change of ln travel time per millimetre of rest height at the hammer, equal loudness: two computed actions agree on it. */
export const TRAVEL_PER_MM = 0.014;
/** What only supports counts for so much in the score. */
const SUPPORT_WEIGHT = 0.35;
const DOUBTFUL_UP_TO = 0.05;
/** Quick strokes of the first pattern. */
const FIRST_FAST = 12;
/** Slow strokes of a later look. */
const PASS_SLOW = 12;
/** Quick repeats that a steady note must have shown. */
const LEAST_REPEATS = 10;

/**
 * Judges a round's strokes (those of takes, each with its note) and takes.
 * @param reference - the hand's own scale, learned earlier with the same player, touch and microphone place
 */
export function judgeRound(
  strokes: readonly RecordedStroke[],
  takes: readonly RecordedTake[],
  reference: HandReference | null,
): RoundJudgement {
  const plays = playOf(strokes, takes);
  const touch = touchOf(strokes, takes);
  const order = new Map(strokes.map((stroke, i) => [stroke, i]));
  const usable = plays.map((play) => usableStrokes(play, touch, (stroke) => order.get(stroke) ?? 0));
  // What was learned with another touch holds for none of this one's.
  const fitting = reference !== null && (reference.touch ?? 'finger') === touch ? reference : null;
  const travel = judgeTravel(usable, fitting);
  const repeats = judgeRepeats(plays, fitting);
  const supports = supportsOf(strokes, plays, usable, travel);
  const notes = plays.map((play) => noteOf(play, travel, repeats, supports));
  const may = travel.hand !== null && travel.hand.reference !== 'none';
  const ofTravel = may
    ? plays.reduce((sum, { midi, looks }) => sum + alphaSpent(travel.notes.get(midi)!, looks.length), 0)
    : null;
  const ofRepeats = repeats.reference === 'none' ? null : repeats.expectedFalse;
  return {
    hand: travel.hand,
    repeats,
    doubts: roundDoubts(strokes, takes, usable, travel.hand, repeats, fitting),
    expectedFalse: ofTravel === null && ofRepeats === null ? null : (ofTravel ?? 0) + (ofRepeats ?? 0),
    notes,
  };
}

/** The supporting evidence, the shift first. */
function supportsOf(
  strokes: readonly RecordedStroke[],
  plays: readonly NotePlay[],
  usable: readonly UsableStrokes[],
  { hand, notes }: TravelJudgement,
): ReadonlyMap<MidiNote, SupportEvidence>[] {
  const usual = usable.flatMap((note) => note.usual);
  const firm = usable.flatMap((note) => note.firm);
  return [
    hand === null ? new Map<MidiNote, SupportEvidence>() : judgeShift(notes, hand),
    ...(hand === null
      ? []
      : [
          judgeContrast(usual, hand),
          judgeWeakWhenHard([...usual, ...firm], hand),
          judgeAgreement([...usual, ...firm], hand),
        ]),
    judgeGentle(plays),
    judgeLevelSpread(strokes),
    judgeFast(plays),
  ];
}

/** Error levels of the looks at which a note's spread could have decided. */
function alphaSpent({ n }: TravelEvidence, looks: number): number {
  return n < LEAST_DECIDING ? 0 : LOOK_ALPHA.slice(0, looks).reduce((sum, alpha) => sum + alpha, 0);
}

function noteOf(
  play: NotePlay,
  { hand, notes }: TravelJudgement,
  repeats: RepeatsEvidence,
  supports: readonly ReadonlyMap<MidiNote, SupportEvidence>[],
): NoteJudgement {
  const { midi } = play;
  const travel = notes.get(midi)!;
  const repeat = repeats.notes.get(midi) ?? null;
  const support = supports.flatMap((each) => each.get(midi) ?? []);
  const verdict = verdictOf(play, travel, repeat, repeats, support, hand);
  const off = [travel, ...(repeat ? [repeat] : [])].reduce((sound, { probability }) => sound * (1 - probability), 1);
  const doubtful = support.some(({ watch }) => watch) ? SUPPORT_WEIGHT : 0;
  const findings = [
    ...(repeat?.findings ?? []),
    ...travel.findings,
    ...support.flatMap((one) => (one.watch ? one.findings : [])),
  ];
  return {
    midi,
    verdict,
    score: 1 - off * (1 - doubtful),
    measures: [...(repeat?.measures ?? []), ...travel.measures, ...support.flatMap(({ measures }) => measures)],
    findings: verdict === 'watch' || verdict === 'unstable' ? findings : [],
    couldHaveShown: {
      ...spreadShown(travel, hand),
      shiftPercent: supports[0].get(midi)?.couldHaveShown ?? null,
      failureRate: repeats.reference === 'none' ? null : (repeat?.couldHaveShown ?? null),
    },
    looks: play.looks.length,
    pattern: repeat?.pattern ?? null,
    strokesNeeded: neededFor(verdict, play.looks.length, travel, repeat),
    unused: travel.unused,
  };
}

function verdictOf(
  play: NotePlay,
  travel: TravelEvidence,
  repeat: RepeatEvidence | null,
  repeats: RepeatsEvidence,
  support: readonly SupportEvidence[],
  hand: HandScale | null,
): Verdict {
  if (travel.decides || repeat?.decides) return 'unstable';
  const spreadDoubtful = travel.p !== null && travel.p <= DOUBTFUL_UP_TO && hand?.reference !== 'none';
  // Without base rates of this hand, only what no hand does by itself is worth a second look.
  const repeatsDoubtful =
    repeats.reference === 'none'
      ? plainVerdict(play.looks.flat(), play.takes).verdict === 'watch'
      : repeat?.doubtful === true;
  if (spreadDoubtful || repeatsDoubtful || support.some(({ watch }) => watch)) return 'watch';
  const judgedBoth = hand !== null && hand.reference !== 'none' && repeats.reference !== 'none';
  const repeatsWell = repeat !== null && repeat.clear && repeat.n >= LEAST_REPEATS;
  return judgedBoth && travel.steady && repeatsWell ? 'steady' : 'insufficient';
}

function spreadShown({ couldHaveShown: ratio }: TravelEvidence, hand: HandScale | null) {
  if (ratio === null || hand === null || hand.reference === 'none')
    return { spreadPercent: null, modelMillimetres: null };
  return {
    spreadPercent: 100 * ratio * hand.scale,
    modelMillimetres: (hand.scale * Math.sqrt(ratio ** 2 - 1)) / TRAVEL_PER_MM,
  };
}

/** Strokes for a note that is not settled: a pass more or what would probably do; null where it is settled, or no look is left. */
function neededFor(
  verdict: Verdict,
  looks: number,
  travel: TravelEvidence,
  repeat: RepeatEvidence | null,
): NoteJudgement['strokesNeeded'] {
  if (verdict === 'steady' || verdict === 'unstable' || looks >= MOST_LOOKS) return null;
  const left = PASS_SLOW * (MOST_LOOKS - looks);
  const slow = Math.min(left, travel.slowNeeded ?? left);
  const fast = repeat === null ? FIRST_FAST : repeat.fastNeeded;
  return slow === 0 && fast === 0 ? null : { slow, fast };
}
