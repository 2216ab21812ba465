/**
 * The sound of the last seconds, and of the running take: 16 bit, with frames counted from the beginning of listening.
 *
 * What is before {@link SoundBuffer.keepFrom} may be forgotten. Asking for what is forgotten or has not come yet is a fault of the caller.
 */

import { toSound16 } from '../../signal/sound16.ts';
import type { Frames } from '../../units.ts';

export class SoundBuffer {
  #samples: Int16Array<ArrayBuffer>;
  /** Frame of the first sample held, and of the one after the last. */
  #from: Frames = 0;
  #end: Frames = 0;
  #keepFrom: Frames = 0;

  /** `capacity`: frames to begin with; it grows when a take is long. */
  constructor(capacity: Frames) {
    this.#samples = new Int16Array(capacity);
  }

  get from(): Frames {
    return this.#from;
  }

  get end(): Frames {
    return this.#end;
  }

  /** What comes before this frame is needed no more. */
  keepFrom(frame: Frames): void {
    this.#keepFrom = Math.max(this.#keepFrom, Math.min(frame, this.#end));
  }

  append(samples: Float32Array): void {
    this.#makeRoom(samples.length);
    const at = this.#end - this.#from;
    toSound16(samples, this.#samples.subarray(at, at + samples.length));
    this.#end += samples.length;
  }

  /** Zeros in the place of what never came. */
  appendZeros(frames: Frames): void {
    this.#makeRoom(frames);
    const at = this.#end - this.#from;
    this.#samples.fill(0, at, at + frames);
    this.#end += frames;
  }

  /** A copy of the frames from `from` up to `to`. @throws RangeError where they are not held. */
  slice(from: Frames, to: Frames): Int16Array<ArrayBuffer> {
    if (from < this.#from || to > this.#end || from > to) {
      throw new RangeError(`frames ${from} to ${to} asked for; held are ${this.#from} to ${this.#end}`);
    }
    return this.#samples.slice(from - this.#from, to - this.#from);
  }

  #makeRoom(frames: Frames): void {
    const held = this.#end - this.#from;
    if (held + frames <= this.#samples.length) return;
    const forget = Math.max(0, this.#keepFrom - this.#from);
    const keep = held - forget;
    const wanted = keep + frames;
    const target = 2 * wanted > this.#samples.length ? new Int16Array(2 * wanted) : this.#samples;
    target.set(this.#samples.subarray(forget, held));
    this.#samples = target;
    this.#from += forget;
  }
}
