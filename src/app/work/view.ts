/** What the worklist shows, as plain data: made from the record of the visit, drawn by the screen. */

import type { Verdict } from '../../analysis/document.ts';
import type { Operation, Turned, WorkOrder } from '../../piano/operations.ts';
import type { WorkState } from '../../record/worklist.ts';
import type { MidiNote } from '../../units.ts';
import type { ChangeWord } from '../compass/changes.ts';

export interface WorkRow {
  readonly midi: MidiNote;
  readonly state: WorkState;
  /** As it was last heard; null where nothing was heard of it. */
  readonly verdict: Verdict | null;
  /** "Missed and weak repeats"; what else may have brought it here. */
  readonly title: string;
  /** One sentence with its numbers; null without. */
  readonly evidence: string | null;
  /** "lever down, an eighth; spring stronger"; null where nothing was turned. */
  readonly turned: string | null;
  /** What became of it; null until it was heard again, and compared. */
  readonly change: ChangeWord | null;
  /** The adjustment that can be taken back, and told more of; null without. */
  readonly lastTurn: string | null;
}

export interface WorkGroup {
  readonly operation: Operation;
  readonly title: string;
  /** Sections of which many notes are off: what comes before any single note, and what to look at. Only at the looks. */
  readonly sections: readonly { readonly line: string; readonly looks: readonly string[] }[];
  /** "set before: jack, lever"; null where nothing is. */
  readonly before: string | null;
  readonly rows: readonly WorkRow[];
  /** What was turned here disturbs: one sentence each. */
  readonly disturbed: readonly string[];
  /** "50 minutes"; null where none were kept. */
  readonly time: string | null;
  /** Work on it is being timed. */
  readonly running: boolean;
}

export interface WorkView {
  readonly piano: string;
  readonly order: WorkOrder;
  readonly counts: { readonly open: number; readonly toHear: number; readonly heardAgain: number };
  /** Those with notes, in working order. */
  readonly groups: readonly WorkGroup[];
  /** Titles of those without. */
  readonly empty: readonly string[];
  /** Notes heard in the visit. */
  readonly heard: number;
  /** Uprights: why nothing stands here; null for a grand. */
  readonly uprightWords: string | null;
  /** What to mind at this work. */
  readonly cautions: readonly string[];
  /** Notes whose takes wait for an answer. */
  readonly asked: readonly { readonly midi: MidiNote; readonly round: number }[];
  /** Notes to be turned that were not played again since they were flagged; nothing fair to hold the work against. */
  readonly withoutFresh: readonly MidiNote[];
  /** How to hear again what was adjusted, and how long that takes; null where nothing waits for it. */
  readonly hearing: string | null;
  /** Nothing can be changed: the visit is open elsewhere, or is the demo. */
  readonly readOnly: boolean;
}

/** What was turned, as it is entered. */
export interface TurnSaid {
  readonly what: Turned;
  readonly way: string | null;
  readonly eighths: number | null;
  readonly millimetres: number | null;
  /** For `other`. */
  readonly words: string;
}

export interface WorkActions {
  order(order: WorkOrder): void;
  /** Marks a note adjusted; the id of the adjustment, to be told more of. */
  adjusted(midi: MidiNote): void;
  /** Says what was turned in an adjustment that was marked. */
  turned(adjustment: string, said: TurnSaid): void;
  undo(adjustment: string): void;
  mark(midi: MidiNote, kind: 'done' | 'left-as-is' | 'reopened'): void;
  /** Answers whether a note was adjusted before it was played. */
  answer(midi: MidiNote, adjusted: boolean): void;
  /** Begins or ends the timing of an operation. */
  time(operation: Operation): void;
  open(midi: MidiNote): void;
  /** Leads to its gauge readings. */
  gauge(midi: MidiNote): void;
  /** Hears those without fresh strokes, before they are turned. */
  hearFresh(): void;
  /** Hears the adjusted notes, with neighbours and untouched ones. */
  hear(): void;
}
