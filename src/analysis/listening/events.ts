/**
 * What listening has to tell while a technician plays. All of it is provisional: only refined takes make verdicts.
 *
 * Frames count from the beginning of listening, those that never came included. Takes are numbered from 1.
 */

import type { Asked, TakeWorth } from '../../strokes/taking.ts';
import type { Touch } from '../../strokes/types.ts';
import type { Decibels, Frames, MidiNote } from '../../units.ts';

export type { Asked, TakeWorth, Touch };

/** A stroke of the running take, as heard so far. */
export interface LiveStroke {
  readonly frame: Frames;
  readonly levelDb: Decibels;
  readonly contact: 'heard' | 'none' | 'waiting';
  readonly passage: 'slow' | 'fast';
}

/** A place in a take's sound, frames from its beginning, where the audio clock jumped: filled with zeros. */
export interface ClockGap {
  readonly frame: Frames;
  readonly frames: Frames;
}

export type ListenEvent =
  /** About four times a second. Peaks, dB re full scale; `roomDb`: the quiet of the last seconds, null until known. */
  | {
      readonly type: 'level';
      readonly peakDb: Decibels;
      readonly roomDb: Decibels | null;
      readonly clipped: boolean;
    }
  /** A stroke as soon as it is heard, before its note is known. */
  | { readonly type: 'struck'; readonly frame: Frames; readonly levelDb: Decibels }
  /** Whether the finger's contact before the stroke at `frame` was heard. */
  | { readonly type: 'contact'; readonly frame: Frames; readonly heard: boolean }
  /** A stroke's note, or null where it has none. */
  | { readonly type: 'named'; readonly frame: Frames; readonly midi: MidiNote | null }
  /** `frame`: where its sound begins, a little before its first stroke. */
  | {
      readonly type: 'take-begun';
      readonly take: number;
      readonly midi: MidiNote;
      readonly asked: Asked;
      readonly frame: Frames;
    }
  /** A stroke of the running take; told again when its contact or its passage becomes known. */
  | { readonly type: 'stroke'; readonly take: number; readonly stroke: LiveStroke }
  /** A note played once, that is part of no take. */
  | { readonly type: 'stray'; readonly midi: MidiNote }
  /** The next stretch of the running take's sound; stretches follow each other without a gap. */
  | {
      readonly type: 'piece';
      readonly take: number;
      readonly index: number;
      readonly samples: Int16Array<ArrayBuffer>;
    }
  | {
      readonly type: 'take-ended';
      readonly take: number;
      readonly midi: MidiNote;
      readonly asked: Asked;
      readonly touch: Touch;
      readonly worth: TakeWorth;
      /** Its whole sound, as in its pieces. */
      readonly samples: Int16Array<ArrayBuffer>;
      readonly pieces: number;
      readonly gaps: readonly ClockGap[];
      /** The piano stands so far off that its note must be told to the refinement. */
      readonly farTuning: boolean;
    }
  /** The audio clock jumped. */
  | { readonly type: 'gap'; readonly frame: Frames; readonly missing: Frames };
