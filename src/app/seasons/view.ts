/** What the seasons of a piano show, as plain data: made from the record of its visits, drawn by the screen. */

import type { Verdict } from '../../analysis/document.ts';
import type { MidiNote } from '../../units.ts';

/** One visit, as the head of its column. */
export interface SeasonHead {
  readonly id: string;
  /** "18 May 2026". */
  readonly day: string;
  /** "21 °C, 38 %"; "climate not kept". */
  readonly climate: string;
  /** "4 flagged of 22 heard". */
  readonly counts: string;
}

/** A note in one visit; null where it was not heard. */
export interface SeasonMark {
  readonly found: Verdict;
  /** As it was left; null where that is as it was found. */
  readonly left: Verdict | null;
  readonly turned: boolean;
}

export interface SeasonRow {
  readonly midi: MidiNote;
  /** As the visits. */
  readonly marks: readonly (SeasonMark | null)[];
  /** "drifts", "came back". */
  readonly story: string;
}

export interface SeasonsView {
  /** "Aldervane 274, Quillwater Hall". */
  readonly piano: string;
  /** The newest first: it stands beside the notes' names. */
  readonly visits: readonly SeasonHead[];
  /** The sentence that matters most: what drifts and what came back. */
  readonly lead: string;
  /** Notes flagged in any visit: what came back first, then what drifts, and the rest from bass to treble. */
  readonly rows: readonly SeasonRow[];
  /** Notes that no visit flagged. */
  readonly inOrder: number;
  /** Why it is to be taken with reserve, a sentence each. */
  readonly reserves: readonly string[];
  /** When to come again, with what that rests on. */
  readonly again: readonly string[];
}

export interface SeasonsActions {
  /** Opens a visit. */
  open(id: string): void;
}
