/**
 * What the screen Listen shows, as plain data: made by the sitting, drawn by the screen.
 */

import type { Verdict } from '../../analysis/document.ts';
import type { Pattern } from '../../piano/plan.ts';
import type { MidiNote } from '../../units.ts';

/** One place in a lane. Heights are shares of the lane, 0 to 1, growing with loudness. */
export type Slot =
  | { readonly state: 'wanted' }
  | { readonly state: 'now' }
  /** `clear`: its contact was heard in one place; `double`: a second string contact followed. */
  | { readonly state: 'sounded'; readonly height: number; readonly clear: boolean; readonly double: boolean }
  | { readonly state: 'silent' }
  | { readonly state: 'weak'; readonly height: number }
  /** A bar stroke; `counted` false where it was too fast. */
  | { readonly state: 'bar'; readonly height: number; readonly counted: boolean };

export interface Lane {
  readonly title: string;
  readonly kind: 'slow' | 'fast' | 'firm-slow-slow' | 'gentle' | 'bar';
  readonly done: number;
  readonly wanted: number;
  /** As many as wanted; of `firm-slow-slow` every third is a firm one. */
  readonly slots: readonly Slot[];
  /** Strokes beyond the wanted ones, folded into the last slot as "+2". */
  readonly extra: number;
}

/** What one warning says; it leaves by itself when cured, unless it has actions. Shown by every screen alike. */
export interface Notice {
  readonly code: string;
  readonly title: string;
  readonly text: string;
  /** Of these only refused, storage and interrupted stop the round. */
  readonly stops: boolean;
  readonly actions: readonly { readonly id: string; readonly label: string }[];
}

export interface ListenView {
  readonly round: number;
  /** "sampled notes", "open notes"; null for a round without a plan. */
  readonly plan: string | null;
  readonly piano: string | null;
  readonly room: {
    readonly word: string;
    /** Shares of the bar, 0 to 1; null where not known. */
    readonly noise: number | null;
    readonly lastStroke: number | null;
    readonly clipped: boolean;
  };
  /** The wanted note (`heard` false: in outline) or the one being played; null: any. Three under a bar. */
  readonly note: {
    readonly midis: readonly MidiNote[];
    readonly heard: boolean;
    readonly section: string | null;
  } | null;
  readonly asked: Pattern;
  /** "Fast", "4 more" and "let the key up not quite half-way, keep it ringing". */
  readonly order: { readonly word: string; readonly count: string; readonly manner: string };
  readonly lanes: readonly Lane[];
  readonly contact:
    /** Of the strokes so far. */
    | {
        readonly kind: 'counts';
        readonly clear: number;
        readonly of: number;
        readonly silent: number;
        readonly weak: number;
        readonly double: number;
      }
    /** Of gentle strokes. */
    | { readonly kind: 'spoke'; readonly spoke: number; readonly doubled: number; readonly silent: number }
    /** Of the fast strokes before, while the key is let right up: "half-way: 2 silent, 2 weak". */
    | { readonly kind: 'compared'; readonly label: string; readonly silent: number; readonly weak: number }
    /** Under a bar: how the last stroke was (null: none yet), and how many were too fast. */
    | { readonly kind: 'bar'; readonly steady: boolean | null; readonly tooFast: number }
    /** A note played once, left out: for two seconds. */
    | { readonly kind: 'stray'; readonly midi: MidiNote }
    /** The take that ended: until the next note's second stroke. `kept` false: `words` says why. */
    | {
        readonly kind: 'finished';
        readonly midi: MidiNote;
        readonly verdict: Verdict | null;
        readonly kept: boolean;
        readonly clear: number;
        readonly of: number;
        readonly words: string;
      };
  /** The note that was just played and may have been adjusted since the round of that number; null where nothing is asked. */
  readonly ask: { readonly midi: MidiNote; readonly round: number } | null;
  /** What comes next, one or three notes. */
  readonly next: readonly MidiNote[] | null;
  /** Notes of the plan done and wanted; null without a plan. */
  readonly progress: { readonly done: number; readonly of: number; readonly minutesLeft: number } | null;
  /** For the strip of keys on a laptop: what the round has of each note so far. */
  readonly strip: readonly { readonly midi: MidiNote; readonly verdict: Verdict | null }[];
  /** First key of every section after the lowest: drawn as dotted uprights through the strip. */
  readonly breaks: readonly MidiNote[];
  readonly notices: readonly Notice[];
  readonly state: 'listening' | 'paused' | 'stopped' | 'done';
  /** The screen may go dark: the wake lock was refused. */
  readonly maySleep: boolean;
  /** What to say aloud by the live region; changes are announced. */
  readonly announcement: string;
}

/** What the three buttons, the menu and the keys do. */
export interface ListenActions {
  undo(): void;
  pause(): void;
  goOn(): void;
  skip(): void;
  /** From the menu: this key jams. */
  jams(): void;
  /** From the menu: play the present note so next. */
  ask(pattern: Pattern): void;
  /** Ends listening and leads to the list of the round's notes. */
  close(): void;
  /** Answers whether the note was adjusted before it was played. */
  answer(midi: MidiNote, adjusted: boolean): void;
  notice(code: string, action: string): void;
}
