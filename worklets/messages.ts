/**
 * Messages between the page and the stroke-detector worklet. Types and one name only: both sides may import this.
 */

import type { Decibels, Frames } from '../src/units.ts';

/** Name under which the processor registers itself. */
export const STROKE_DETECTOR = 'evenfall-stroke-detector';

/** To the worklet. `flush` reports what is still held back; `reset` begins a new count of frames. */
export type ToDetector = { readonly type: 'flush' } | { readonly type: 'reset' };

/** From the worklet; frames count the samples it has seen since construction or reset. */
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
