/** What the compass shows, as plain data: made from the judged document of a round, drawn by the screen. */

import type { Verdict } from '../../analysis/document.ts';
import type { ChangeWord } from './changes.ts';
import type { CompassNote, CompassRound } from '../../pictures/compass/compassNote.ts';
import type { PairMeasure } from '../../pictures/compass/pairPicture.ts';
import type { MidiNote } from '../../units.ts';

/** One note of the round. */
export interface CompassEntry {
  readonly midi: MidiNote;
  readonly verdict: Verdict;
  readonly note: CompassNote;
  /** What the hand would feel, and on what that rests. */
  readonly line: string;
  readonly evidence: string | null;
  readonly row: CompassRow;
}

/** A note's cells of the table, as they are read. */
export interface CompassRow {
  readonly silent: string;
  readonly weak: string;
  readonly double: string;
  readonly of: string;
  readonly gentle: string;
  readonly off: string;
  /** 9 in 10, in brackets after it; null without. */
  readonly offRange: string | null;
  readonly travel: string;
  readonly trend: string;
  readonly rest: string;
  readonly clear: string;
}

/** A note heard again. */
export interface WorkedEntry {
  readonly midi: MidiNote;
  readonly before: CompassNote;
  readonly after: CompassNote;
  readonly change: ChangeWord;
  /** What is drawn of it; null: nothing that both rounds have. */
  readonly measure: PairMeasure | null;
  /** The measure in words, and the comparison's own. */
  readonly words: string;
  readonly comparison: string;
}

export interface CompassView {
  /** "Aldervane 274, round 1". */
  readonly title: string;
  readonly round: CompassRound;
  /** The visit's rounds to choose from, and the one shown; nothing to choose with fewer than two. */
  readonly rounds: readonly { readonly id: string; readonly words: string }[];
  readonly chosenRound: string | null;
  /** First keys of the sections after the lowest. */
  readonly breaks: readonly MidiNote[];
  /** Bass to treble. */
  readonly notes: readonly CompassEntry[];
  readonly counts: Readonly<Record<Verdict, number>>;
  /** One sentence over the compass where the round as a whole has something to say. */
  readonly advice: readonly string[];
  /** The flagged notes first, then bass to treble. */
  readonly rows: readonly CompassEntry[];
  /** How the table is to be read. */
  readonly caption: string;
  /** Null without an earlier round. */
  readonly compared: {
    readonly round: CompassRound;
    readonly title: string;
    /** Improved first, then worse, no change, not enough. */
    readonly worked: readonly WorkedEntry[];
    /** What became of the whole piano, in sentences. */
    readonly whole: readonly string[];
  } | null;
}

export interface CompassActions {
  /** Opens the note's own screen. */
  open(midi: MidiNote): void;
  /** Shows another round of the visit. */
  chooseRound(id: string): void;
}

export type CompassFilter = 'all' | 'unstable' | 'watch' | 'insufficient' | 'worked';

/** How a person looks at the compass, to be found again after a note. */
export interface CompassLook {
  readonly filter: CompassFilter;
  readonly table: boolean;
  readonly selected: MidiNote;
}
