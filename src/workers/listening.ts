/**
 * What the page, the listening worker and the refining worker say to each other.
 *
 * The listening worker gets the sound straight from the audio thread over a port of its own, so that a busy page loses nothing.
 * It names notes, cuts takes and hands their sound on. The refining worker analyses: the running take again and again as
 * strokes come, each finished take once, and the round.
 */

import type { AnalysisDocument, PooledDocument } from '../analysis/document.ts';
import type { Decibels, Frames, Hertz, MidiNote, Seconds } from '../units.ts';

/** What is asked of the player: see piano/plan. */
export type Asked = AnalysisDocument['takes'][number]['asked'] & string;
export type Touch = 'finger' | 'weight' | 'bar';

/** To the listening worker. */
export type ToListener =
  /** Begin: `port` brings the sound (transferred). `heard`: notes that have a take in this round. `tuning`: cents, where known. */
  | {
      readonly type: 'begin';
      readonly port: MessagePort;
      readonly sampleRate: Hertz;
      readonly heard: readonly MidiNote[];
      readonly asked: Asked;
      readonly touch: Touch;
      /** Fast strokes that complete a passage. */
      readonly fastWanted: number;
    }
  /** From now on this is asked; a running take keeps what it was asked. */
  | {
      readonly type: 'ask';
      readonly asked: Asked;
      readonly touch: Touch;
      readonly fastWanted: number;
      readonly midi: MidiNote | null;
    }
  /** Ends the running take now (the player said so, or jams); it is kept if it counts. */
  | { readonly type: 'cut' }
  /** Hears on, but begins no take. */
  | { readonly type: 'rest' }
  | { readonly type: 'go-on' };

/** A stroke as heard so far: provisional. Frames count from the beginning of listening, missing ones included. */
export interface LiveStroke {
  readonly frame: Frames;
  readonly levelDb: Decibels;
  readonly contact: 'heard' | 'none' | 'waiting';
}

/** From the listening worker. */
export type FromListener =
  /** About four times a second. `room`: quietest of the last seconds. */
  | {
      readonly type: 'level';
      readonly peakDb: Decibels;
      readonly roomDb: Decibels | null;
      readonly lastStrokeDb: Decibels | null;
      readonly clipped: boolean;
    }
  /** A stroke's note, or null where it has none; `alone`: neither of the running take nor of one that begins. */
  | { readonly type: 'named'; readonly frame: Frames; readonly midi: MidiNote | null }
  | { readonly type: 'take-begun'; readonly take: number; readonly midi: MidiNote; readonly frame: Frames }
  /** A stroke of the running take; told again when its contact is known. */
  | { readonly type: 'stroke'; readonly take: number; readonly stroke: LiveStroke; readonly passage: 'slow' | 'fast' }
  /** A note played once, that is no part of a take. */
  | { readonly type: 'stray'; readonly midi: MidiNote }
  /** A stretch of the running take's sound. Transferred. */
  | {
      readonly type: 'piece';
      readonly take: number;
      readonly index: number;
      readonly samples: Int16Array<ArrayBuffer>;
    }
  /** The take has ended. `counts`: it has enough strokes to be kept; else `why` says what it lacks. */
  | {
      readonly type: 'take-ended';
      readonly take: number;
      readonly midi: MidiNote;
      readonly frames: Frames;
      readonly pieces: number;
      readonly counts: boolean;
      readonly why: 'enough' | 'too-few-strokes' | 'fast-only-of-a-new-note';
      readonly asked: Asked;
      readonly touch: Touch;
      /** Frames of the take's sound where the audio clock jumped; filled with zeros. */
      readonly gaps: readonly { readonly frame: Frames; readonly frames: Frames }[];
      /** Seconds since listening began at which its sound begins. */
      readonly startSeconds: Seconds;
    }
  | { readonly type: 'gap'; readonly frame: Frames; readonly missing: Frames };

/** To the refining worker. Each is answered by one of {@link FromRefiner} with the same `request`. */
export type ToRefiner =
  | {
      readonly type: 'refine';
      readonly request: number;
      /** The take's sound so far, or whole; transferred. */
      readonly samples: Int16Array<ArrayBuffer>;
      readonly sampleRate: Hertz;
      readonly file: string;
      readonly midi: MidiNote;
      readonly asked: Asked;
      readonly touch: Touch;
    }
  /** Judges a round from its takes' documents, held against a stored hand where there is one. */
  | {
      readonly type: 'judge';
      readonly request: number;
      readonly documents: readonly AnalysisDocument[];
      readonly reference: Readonly<Record<string, unknown>> | null;
    };

export type FromRefiner =
  | { readonly type: 'refined'; readonly request: number; readonly document: AnalysisDocument }
  | { readonly type: 'judged'; readonly request: number; readonly round: PooledDocument }
  | { readonly type: 'refused'; readonly request: number; readonly message: string };
