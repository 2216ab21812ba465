/**
 * Which strokes of a note count where two rounds are compared over many notes.
 *
 * A round that goes on where something failed, and stops where nothing did, hears its doubtful notes oftener; and fresh strokes of the doubtful
 * notes beside the first ones of the others would be too good together, for the others were picked for failing nothing. So all notes count
 * with their first look on both sides, for which nobody picked them. Notes that were turned because they were called doubtful count with
 * their first fresh look before instead; where there is none, they are marked.
 */

import { earlierBy, isDoubtful, RATES_APART, rateOf, type ComparedLook, type ComparedNote } from './compare.ts';
import type { TravelStroke } from './evidence.ts';
import { LEAST_REPEATS, type Count } from './shareChange.ts';
import { LEAST_TRAVELS } from './spreadChange.ts';
import type { MidiNote, Seconds } from '../units.ts';

/** One note as it counts in both rounds, before and after. */
export interface WholeNote {
  readonly midi: MidiNote;
  readonly repeats: readonly [Count, Count];
  readonly silent: readonly [Count, Count];
  readonly doubles: readonly [Count, Count];
  readonly gentle: readonly [Count, Count];
  readonly travels: readonly [readonly TravelStroke[], readonly TravelStroke[]];
  /** Repeats of both rounds are of like rates. */
  readonly sameRate: boolean;
  /** The strokes that made it be called doubtful stand in before. */
  readonly chosen: boolean;
}

/** What is known of a note beside its strokes. */
export interface WholeNoteKnown {
  /** The note was picked for what before had heard. */
  readonly picked: boolean;
  /** All of before is fresh. */
  readonly allFresh: boolean;
  /** By how much the onsets of after are late; null where the rounds have templates of their own. */
  readonly zero: Seconds | null;
}

/** A note as it counts. */
export function wholeNote(
  before: ComparedNote,
  after: ComparedNote,
  { picked, allFresh, zero }: WholeNoteKnown,
): WholeNote {
  const fresh = picked && !allFresh && isFreshEnough(before);
  const [first, then] = [before.looks[fresh ? 1 : 0], after.looks[0]];
  const later = travelsOf(after, 1);
  const rates = [rateOf([first]), rateOf([then])];
  const [slower, faster] = rates.map((rate, i) => rate ?? rates[1 - i] ?? 1).sort((a, b) => a - b);
  return {
    midi: before.midi,
    repeats: [first.repeats, then.repeats],
    silent: [silentOf(first), silentOf(then)],
    doubles: [first.doubles, then.doubles],
    gentle: [gentleOf(before), gentleOf(after)],
    travels: [travelsOf(before, fresh ? 2 : 1), zero === null ? later : later.map((stroke) => earlierBy(stroke, zero))],
    sameRate: faster / slower <= RATES_APART,
    chosen: picked && !allFresh && !fresh && isDoubtful(before.verdict),
  };
}

function isFreshEnough(note: ComparedNote): boolean {
  return (note.looks[1]?.repeats.n ?? 0) >= LEAST_REPEATS && travelsOf(note, 2).length >= LEAST_TRAVELS;
}

function travelsOf({ travels }: ComparedNote, look: number): TravelStroke[] {
  return travels.filter((stroke) => stroke.look === look);
}

function silentOf({ repeats, silent }: ComparedLook): Count {
  return { failed: silent, n: repeats.n };
}

/** Gentle strokes are asked for by themselves, in no look's order. */
function gentleOf({ looks }: ComparedNote): Count {
  return looks.reduce((sum, { gentle }) => ({ failed: sum.failed + gentle.failed, n: sum.n + gentle.n }), {
    failed: 0,
    n: 0,
  });
}
