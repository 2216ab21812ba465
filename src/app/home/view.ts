/** What the screens before listening show, as plain data: made by the sitting, drawn by the screens. */

import type { Verdict } from '../../analysis/document.ts';
import type { PlanKind } from '../../piano/plan.ts';
import type { KeepAudio, Round } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';
import type { Notice } from '../listen/view.ts';
import type { VisitDraft, VisitRead, VisitFacts } from '../visit/visitForm.ts';

/** One earlier visit, as a row. */
export interface VisitRow {
  readonly id: string;
  readonly piano: string;
  readonly place: string | null;
  /** "today", "3 November". */
  readonly day: string;
  /** Notes by verdict, of its last round. */
  readonly notes: Readonly<Record<Verdict, number>>;
  /** A round is still open: it can be gone on with. */
  readonly open: boolean;
}

/** The line of a round, as its summary keeps it. */
export interface HomeLine {
  /** "Aldervane 274, round 2". */
  readonly title: string;
  readonly summary: NonNullable<Round['summary']>;
}

export interface HomeView {
  /** The last visit's newest round that has one; null: the demo visit's is shown. */
  readonly line: HomeLine | null;
  readonly visits: readonly VisitRow[];
  /** More visits for which there is room; null where the browser does not say. */
  readonly roomForVisits: number | null;
  readonly notices: readonly Notice[];
}

export interface HomeActions {
  start(): void;
  /** Leads to "Open a file"; with the files that were dropped. */
  openFiles(files: readonly File[]): void;
  openVisit(id: string): void;
  /** Null: there is no demo visit. */
  readonly demo: (() => void) | null;
  notice(code: string, action: string): void;
}

/** One kind of plan with what it comes to. */
export interface PlanOffer {
  readonly kind: PlanKind;
  /** Notes asked for; null where any may be played. */
  readonly notes: number | null;
  /** About how long; null where nobody can say. */
  readonly minutes: number | null;
}

/** What can be chosen from. */
export interface StartOffers {
  readonly pianos: readonly { readonly id: string; readonly name: string; readonly place: string | null }[];
  readonly references: readonly { readonly id: string; readonly name: string; readonly learned: string }[];
  readonly sections: readonly { readonly id: string; readonly name: string }[];
  /** Of the choices as they stand; recomputed when these change. */
  readonly plans: readonly PlanOffer[];
  /** About how much sound each way of keeping takes for this plan, in words: "about 180 MB". */
  readonly keeping: Readonly<Record<KeepAudio, string>>;
  /** Room left, in words: "11 GB"; null where the browser does not say. */
  readonly roomLeft: string | null;
  /** What is known of the visit, as its fields show it, and how they were read. */
  readonly visit: { readonly draft: VisitDraft; readonly read: VisitRead<VisitFacts>; readonly goesOn: boolean };
  readonly notices: readonly Notice[];
}

/** What was chosen so far. */
export interface StartChoices {
  /** Null: a new piano, named by `pianoName`. */
  readonly pianoId: string | null;
  readonly pianoName: string;
  readonly place: string;
  readonly player: string;
  readonly microphonePlace: string;
  readonly keepAudio: KeepAudio;
  /** What was said of the visit before it begins; null: nothing. */
  readonly visit: VisitDraft | null;
  /** Null: the round is judged by its own notes. */
  readonly referenceId: string | null;
  readonly plan: PlanKind;
  /** The note of `one-note`. */
  readonly oneNote: MidiNote | null;
  /** The notes of `hand-picked`, in rising order. */
  readonly picked: readonly MidiNote[];
  /** The section of `section`. */
  readonly sectionId: string | null;
}
