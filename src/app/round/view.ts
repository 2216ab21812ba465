/** What the list of a round shows, as plain data: made by the sitting, drawn by the screen. */

import type { NoteResult } from '../../analysis/document.ts';
import type { MidiNote } from '../../units.ts';
import type { Notice } from '../listen/view.ts';

/** One note as heard so far. */
export interface RoundNote {
  readonly result: NoteResult;
  /** Strokes of all its takes that count. */
  readonly strokes: number;
  /** The player said that its key jams. */
  readonly jammed: boolean;
}

/** Which piano a round that came as a recording is kept for. */
export interface KeepChoice {
  /** Null: a new piano, named by `name`. */
  readonly pianoId: string | null;
  readonly name: string;
  readonly place: string;
}

/** A round that came as a recording and is not kept yet. */
export interface KeepOffer {
  /** The pianos that are known. */
  readonly pianos: readonly { readonly id: string; readonly name: string; readonly place: string | null }[];
  /** It is being written. */
  readonly keeping: boolean;
}

/** What follows from a round of sampled notes. */
export interface SampledNext {
  /** How many notes may be affected, and what that does not say; null where none was judged. */
  readonly share: string | null;
  readonly reason: string;
  readonly notes: number;
  readonly minutes: number;
}

export interface RoundView {
  readonly round: number;
  readonly piano: string;
  /** Verdicts are provisional until then. */
  readonly closed: boolean;
  /** In the order in which they are listed. */
  readonly notes: readonly RoundNote[];
  /** The note of the last take that can be taken back; null: none. */
  readonly lastTake: MidiNote | null;
  /** One sentence over the list where the round as a whole has something to say. */
  readonly advice: readonly string[];
  /** Sections of which many notes are to be seen to, a line each: before any single note. */
  readonly sections: readonly string[];
  /** After a sampled round: what it says of the piano, and what to hear next; null: another round, or nothing is left to hear. */
  readonly next: SampledNext | null;
  /** Notes enough to learn the hand from, where they are known to be in order. */
  readonly handLearnable: boolean;
  /** Earlier visits to the same piano; 0: none to hold it against. */
  readonly otherVisits: number;
  /** It can be read, and not added to: open in another tab. */
  readonly readOnly: boolean;
  /** Null: it is kept on this device, or is no recording. */
  readonly keep: KeepOffer | null;
  readonly notices: readonly Notice[];
  /** What to say aloud; changes are announced. */
  readonly announcement: string;
}

export interface RoundActions {
  goOn(): void;
  /** Asks for the note anew, in the pattern for open notes. */
  playAgain(midi: MidiNote): void;
  openNote(midi: MidiNote): void;
  /** What is said of the visit, and from there of its piano. */
  visit(): void;
  /** Earlier visits beside this one. */
  seasons(): void;
  closeRound(): void;
  /** Begins the round proposed after sampled notes. */
  hearNext(): void;
  undo(): void;
  /** Stores the hand as this round shows it, under a name. */
  keepHand(name: string): void;
  /** Keeps a round that came as a recording. */
  keepRound(choice: KeepChoice): void;
  notice(code: string, action: string): void;
}
