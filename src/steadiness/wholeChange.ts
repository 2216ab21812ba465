/**
 * Two rounds of one piano as a whole: what became of repeats, doubles, gentle silences, scatter and travel times over all notes that both heard.
 *
 * Shares are pooled with the notes as clusters (see statistics/clusteredShares); the scatter is the middle one of the notes' ratios, each against
 * its round's own hand, with the interval of order statistics; travel times are each note's against itself (see wholeTravel). Everything
 * that may decide is one family: the chance that anything is called changed where nothing was done is 5 % at most (Holm).
 *
 * Where it is known which notes were turned, these and the untouched ones stand apart as well. Turned notes were picked for what was heard
 * of them, so that without fresh strokes before they would look better by themselves: then nothing of them is called improved. The untouched
 * are the control, and were picked for nothing having been heard: nothing of them is called worse. Where after heard only notes picked in that
 * way, all of them together are told, and called nothing.
 *
 * The reserves of the round hold here as they do for each note (see compare).
 */

import { USUAL_BREAKS, sectionsOf, type Section } from '../piano/sections.ts';
import { adjustedForFamily } from '../statistics/familyError.ts';
import type { MidiNote } from '../units.ts';
import {
  isDoubtful,
  OF_THE_HAND,
  OF_THE_PLACE,
  type ChangeVerdict,
  type ComparedRound,
  type Known,
  type Reserve,
} from './compare.ts';
import { isOneScale, scalesOf, travelHandOf } from './comparedHands.ts';
import { shareDrafts, spreadDraft, type Context, type Draft } from './wholeMeasures.ts';
import { wholeNote, type WholeNote } from './wholeNotes.ts';
import { LEAST_NOTES, wholeTravel, type MeanShift, type RawSection, type SectionShift } from './wholeTravel.ts';

/** Chance of calling anything changed where nothing was done, at most. */
export const FAMILY_ERROR = 0.05;

export const WHOLE_MEASURES = [
  'failed-repeats',
  'silent-repeats',
  'double-strikes',
  'gentle-silences',
  'spread-ratio',
] as const;
export type WholeMeasureKind = (typeof WHOLE_MEASURES)[number];

export const WHOLE_GROUPS = ['all', 'turned', 'untouched'] as const;
export type WholeGroupKind = (typeof WHOLE_GROUPS)[number];

export interface WholeMeasure {
  readonly kind: WholeMeasureKind;
  readonly unit: 'share' | 'ratio';
  readonly change: ChangeVerdict;
  /** Shares with every note of one weight in both rounds; or the middle scatter, against a note in order. */
  readonly before: number;
  readonly after: number;
  /** After less before, of shares; after over before, of scatter. */
  readonly difference?: number;
  readonly ratio?: number;
  /** 95 %; null with too few notes: below four, for the scatter below six. */
  readonly interval: readonly [number, number] | null;
  /** Chance of so much in any of the comparison's tests where nothing changed (Holm); null where it decides nothing. */
  readonly adjusted: number | null;
  /** How many went wrong, in each round; null for the scatter. */
  readonly failed: readonly [number, number] | null;
  /** Strokes in each, and the notes they are of. */
  readonly n: readonly [number, number];
  readonly notes: number;
}

export interface WholeGroup {
  readonly of: WholeGroupKind;
  /** Notes that count, from bass to treble. */
  readonly notes: readonly MidiNote[];
  /** Turned notes left out, because before they were not heard afresh. */
  readonly leftOut: readonly MidiNote[];
  readonly measures: readonly WholeMeasure[];
  readonly reserves: readonly Reserve[];
}

export interface WholeChange {
  readonly familyError: number;
  readonly groups: readonly WholeGroup[];
  /** Null where another microphone or place was said: it says nothing then. */
  readonly travel: {
    readonly mean: MeanShift | null;
    readonly sections: readonly SectionShift[];
    readonly reserves: readonly Reserve[];
  } | null;
}

/** What is known of the two rounds beside their strokes. */
export interface WholeKnown extends Known {
  /** Notes turned in between; undefined: not known. */
  readonly worked?: ReadonlySet<MidiNote>;
  /** First keys of the piano's sections after the lowest; the usual ones where nobody entered them. */
  readonly breaks?: readonly MidiNote[];
}

/**
 * Compares two rounds as a whole; `reserves` are those of the comparison (see compareRounds).
 * @throws RangeError as {@link sectionsOf} for breaks that are none.
 */
export function compareWhole(
  before: ComparedRound,
  after: ComparedRound,
  reserves: readonly Reserve[],
  known: WholeKnown = {},
): WholeChange {
  const sections = sectionsOf(known.breaks ?? USUAL_BREAKS);
  const otherPlace = reserves.some((reserve) => OF_THE_PLACE.includes(reserve));
  const scales = scalesOf(before, after);
  const context: Context = {
    reserves,
    scales,
    uncertain: isOneScale(before, after) ? 0 : Math.hypot(scales[0].logError, scales[1].logError),
    spreadDecides: before.hand !== null && after.hand !== null,
  };
  const later = new Map(after.notes.map((note) => [note.midi, note]));
  const both = before.notes.filter(({ midi }) => later.has(midi));
  const wasPicked = both.length < before.notes.length && both.some(({ verdict }) => isDoubtful(verdict));
  const take = (isPicked: (midi: MidiNote) => boolean, of: readonly (typeof both)[number][]) =>
    of.map((note) =>
      wholeNote(note, later.get(note.midi)!, {
        picked: isPicked(note.midi),
        allFresh: known.fresh?.has(note.midi) ?? false,
        zero: known.zeros?.get(note.midi) ?? null,
      }),
    );
  const doubtful = new Set(both.filter(({ verdict }) => isDoubtful(verdict)).map(({ midi }) => midi));
  const all = take((midi) => wasPicked && doubtful.has(midi), both);
  const { worked } = known;
  const drafts = [draftOf('all', all, wasPicked, context, !otherPlace)];
  if (worked && both.some(({ midi }) => worked.has(midi))) {
    const [turned, untouched] = [true, false].map((is) => both.filter(({ midi }) => worked.has(midi) === is));
    drafts.push(
      draftOf(
        'turned',
        take(() => true, turned),
        wasPicked,
        context,
        !otherPlace,
      ),
    );
    if (untouched.length > 0)
      drafts.push(
        draftOf(
          'untouched',
          take(() => false, untouched),
          true,
          context,
          !otherPlace,
        ),
      );
  }
  const travel = otherPlace ? null : travelOf(all, before, after, sections, known);
  const otherHand = reserves.some((reserve) => OF_THE_HAND.includes(reserve));
  const family = new Family(otherHand, [
    ...drafts.flatMap(({ measures }) => measures.map(({ p }) => p)),
    ...(travel?.sections.map(({ p }) => p) ?? []),
  ]);
  return {
    familyError: FAMILY_ERROR,
    groups: drafts.map((group) => ({
      ...group,
      measures: group.measures.map((draft) => called(draft, family.next())),
    })),
    travel: travel && {
      mean: travel.mean,
      sections: travel.sections.map((section) => moved(section, family.next())),
      reserves: travel.sections.every(({ section }) => section.oneTemplate || section.notes === 0)
        ? []
        : ['zero-scatter'],
    },
  };
}

/** The adjusted chances of all tests, handed out in the order in which they were given. */
class Family {
  private readonly adjusted: readonly (number | null)[];
  private at = 0;

  constructor(otherHand: boolean, ps: readonly (number | null)[]) {
    const tested = ps.filter((p) => p !== null);
    const adjusted = adjustedForFamily(tested);
    let k = 0;
    this.adjusted = ps.map((p) => (p === null || otherHand ? null : adjusted[k++]));
  }

  next(): number | null {
    return this.adjusted[this.at++];
  }
}

function called({ measure, better, may }: Draft, adjusted: number | null): WholeMeasure {
  const isSure = adjusted !== null && adjusted <= FAMILY_ERROR;
  const change: ChangeVerdict =
    measure.interval === null
      ? 'insufficient'
      : isSure && better && may.better
        ? 'improved'
        : isSure && !better && may.worse
          ? 'worse'
          : 'no-change-shown';
  return { ...measure, change, adjusted };
}

function moved({ section }: RawSection, adjusted: number | null): SectionShift {
  const { percent } = section;
  const isSure = adjusted !== null && adjusted <= FAMILY_ERROR;
  const shift = percent === null ? 'insufficient' : !isSure ? 'none-shown' : percent > 0 ? 'longer' : 'shorter';
  return { ...section, shift, adjusted };
}

function draftOf(
  of: WholeGroupKind,
  given: readonly WholeNote[],
  picked: boolean,
  context: Context,
  withSpread: boolean,
): Omit<WholeGroup, 'measures'> & { readonly measures: readonly Draft[] } {
  const fresh = given.filter(({ chosen }) => !chosen);
  const leaveOut = of === 'turned' && fresh.length >= LEAST_NOTES && fresh.length < given.length;
  const notes = leaveOut ? fresh : given;
  const chosen = of === 'turned' ? notes.some((note) => note.chosen) : picked;
  const may = {
    better: !chosen || of === 'untouched',
    worse: !chosen || of === 'turned',
  };
  return {
    of,
    notes: notes.map(({ midi }) => midi),
    leftOut: leaveOut ? given.filter((note) => note.chosen).map(({ midi }) => midi) : [],
    measures: [...shareDrafts(notes, may, context), ...(withSpread ? spreadDraft(notes, may, context) : [])],
    reserves: chosen ? ['chosen-by-chance'] : [],
  };
}

function travelOf(
  notes: readonly WholeNote[],
  before: ComparedRound,
  after: ComparedRound,
  sections: readonly Section[],
  { zeros }: WholeKnown,
) {
  const pairs = notes.map(({ midi, travels }) => ({
    midi,
    before: travels[0],
    after: travels[1],
    oneTemplate: zeros?.has(midi) ?? false,
  }));
  const hand = travelHandOf(
    before,
    after,
    pairs.flatMap((pair) => pair.before),
  );
  return wholeTravel(pairs, hand, sections);
}
