/** What the screen of one note shows, as plain data: made from a round as judged, drawn by the screen. */

import type { Bar, Hand, NoteResult, PooledDocument } from '../../analysis/document.ts';
import type { Stroke } from '../../pictures/heard.ts';
import type { WorkState } from '../../record/worklist.ts';
import { UPRIGHT_WHY, type PianoKind } from '../../piano/uprights.ts';
import type { MidiNote } from '../../units.ts';

/** A take of the round: how the store calls it, and the index of its recording in the document. */
export interface NoteTake {
  readonly id: string;
  readonly source: number;
}

export interface NoteView {
  readonly result: NoteResult;
  /** Its strokes, in order of play. */
  readonly strokes: readonly Stroke[];
  readonly hand: Hand;
  /** Bars that it was struck under. */
  readonly bars: readonly Bar[];
  /** What each take was asked for, by the number of the take in the document. */
  readonly asked: Readonly<Record<number, string | null>>;
  /** By the index of the recording: the take whose sound it is; no entry where no sound is kept. */
  readonly takeIds: Readonly<Record<number, string>>;
  /** The neighbours in the list that the note was opened from; null at its ends. */
  readonly previous: MidiNote | null;
  readonly next: MidiNote | null;
  /** The sitting can be asked for it again. */
  readonly playable: boolean;
  /** What a gauge read of it in this visit. */
  readonly gauges: readonly { readonly title: string; readonly words: string; readonly target: string | null }[];
  /** Uprights: why nothing is said of causes; null for a grand. */
  readonly uprightWords: string | null;
}

/** Where the work on the note stands; what can be said of it changes with that. */
export interface NoteWork {
  readonly state: WorkState;
  /** "spring stronger"; null where nothing was turned. */
  readonly turned: string | null;
}

/** A place in a take's sound. */
export interface SoundPlace {
  readonly takeId: string;
  /** Seconds from the start of the take. */
  readonly seconds: number;
}

export interface NoteActions {
  /** Asks to hear the take from this stroke on. */
  onPlay(takeId: string, seconds: number): void;
  onStop(): void;
  open(midi: MidiNote): void;
  /** Leads to its gauge readings; null where none are kept. */
  readonly gauge: ((midi: MidiNote) => void) | null;
  /** Asks the sitting for this note anew. */
  playAgain(midi: MidiNote): void;
  /** Marks the note adjusted, and leads to where it is said what was turned. */
  adjusted(midi: MidiNote): void;
  leaveAsIs(midi: MidiNote): void;
}

/**
 * The view of one note of a round.
 * @param order notes in the order in which they are gone through; the note's neighbours there are its previous and next.
 * @returns null where the round does not hold the note.
 */
export function noteView(
  document: PooledDocument,
  midi: MidiNote,
  takes: readonly NoteTake[],
  order: readonly MidiNote[],
  playable: boolean,
  gauges: NoteView['gauges'] = [],
  kind: PianoKind = 'grand',
): NoteView | null {
  const result = document.notes.find((note) => note.midi === midi);
  if (!result) return null;
  const at = order.indexOf(midi);
  return {
    result,
    strokes: document.strokes.filter((stroke) => stroke.midi === midi),
    hand: document.hand,
    bars: document.bars.filter(({ midis }) => midis.includes(midi)),
    asked: Object.fromEntries(document.takes.map(({ take, asked }) => [take, asked])),
    takeIds: Object.fromEntries(takes.map(({ id, source }) => [source, id])),
    previous: at > 0 ? order[at - 1] : null,
    next: at >= 0 && at + 1 < order.length ? order[at + 1] : null,
    playable,
    gauges,
    uprightWords: kind === 'upright' ? UPRIGHT_WHY : null,
  };
}

/** Where a stroke is in the sound; null where its take's sound is not kept. */
export function soundPlace({ takeIds }: NoteView, { source = 0, timeSeconds }: Stroke): SoundPlace | null {
  const takeId = takeIds[source];
  return takeId === undefined ? null : { takeId, seconds: timeSeconds };
}
