/**
 * Messages between the page, the listening worker and the stroke-detector worklet. Types and one name only: all sides may import this.
 *
 * Frames count the samples that the processor has seen since construction or reset; frames that never came are not counted,
 * but told as a gap.
 */

import type { Decibels, Frames } from '../src/units.ts';

/** Name under which the processor registers itself. */
export const STROKE_DETECTOR = 'evenfall-stroke-detector';

/** To the worklet. `flush` reports what is still held back; `reset` begins a new count of frames. */
export type ToDetector =
  | { readonly type: 'flush' }
  | { readonly type: 'reset' }
  /**
   * From now on every sample goes to `port` too, in pieces of `piece` frames, together with every message that the page
   * gets, in the order of their frames: all samples seen before a message was found come before it, but for those of the
   * unfinished piece, which `flush` and `reset` send, too. The first piece begins at the frame that is next. `port` is
   * transferred; it belongs to whoever keeps the sound. A second one takes the place of the first.
   */
  | { readonly type: 'connect'; readonly port: MessagePort; readonly piece: Frames };

/** Back to the worklet over the port of `connect`: a piece that has been read, to be filled again. Its buffer is transferred. */
export interface Emptied {
  readonly type: 'emptied';
  readonly samples: Float32Array<ArrayBuffer>;
}

/** From the worklet. */
export type FromDetector =
  | {
      readonly type: 'stroke';
      readonly frame: Frames;
      readonly strength: number;
      readonly level: Decibels;
      readonly precursor: Frames;
    }
  /**
   * The finger's contact before the stroke reported at `stroke`, provisionally; `contact` is -1 where none was heard.
   * `strength` is its evidence in units of the threshold.
   */
  | { readonly type: 'contact'; readonly stroke: Frames; readonly contact: Frames; readonly strength: number }
  /** The audio clock jumped: `missing` frames never came, just before `frame`. */
  | { readonly type: 'gap'; readonly frame: Frames; readonly missing: Frames }
  /** Answer to `flush`: everything up to `frame` has been reported. */
  | { readonly type: 'flushed'; readonly frame: Frames };

/** The samples themselves, over the port of `connect` only: mono, as they came, the first of them at `frame`. Transferred. */
export interface Samples {
  readonly type: 'samples';
  readonly frame: Frames;
  readonly samples: Float32Array<ArrayBuffer>;
}

/** What comes over the port of `connect`. */
export type FromEar = FromDetector | Samples;
