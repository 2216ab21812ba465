/**
 * The sound itself on its way out of the audio thread: samples into pieces of one length, pieces over a port.
 *
 * Buffers go round: a piece that was read comes back as `emptied` and is filled again; a new buffer is made only where none
 * has come back yet. Nothing is allocated for a block, only for a piece.
 */

import type { Frames } from '../src/units.ts';
import type { Emptied, FromEar } from './messages.ts';

/** Gathers samples and posts them, `length` frames a piece, exactly as they came. */
export class Pieces {
  private filling: Float32Array<ArrayBuffer>;
  private filled = 0;
  private readonly free: Float32Array<ArrayBuffer>[] = [];

  /**
   * @param port gets the pieces; `emptied` comes back over it
   * @param length frames of a piece, from 1
   * @param first frame of the first sample that will be taken
   * @throws RangeError if `length` is no whole number from 1.
   */
  constructor(
    readonly port: MessagePort,
    private readonly length: Frames,
    private first: Frames,
  ) {
    if (!(Number.isInteger(length) && length >= 1)) {
      throw new RangeError(`pieces of ${length} frames; expected a whole number from 1`);
    }
    this.filling = new Float32Array(length);
    port.onmessage = ({ data }: MessageEvent<Emptied>) => {
      if (data.samples.length === length) this.free.push(data.samples);
    };
  }

  /** Takes the next samples; posts every piece that they complete. */
  take(block: Float32Array): void {
    for (let at = 0; at < block.length;) {
      const count = Math.min(block.length - at, this.length - this.filled);
      // A block that fits is copied as it is: a view of a part would be an allocation.
      this.filling.set(count === block.length ? block : block.subarray(at, at + count), this.filled);
      at += count;
      this.filled += count;
      if (this.filled === this.length) {
        this.post(this.filling);
        this.filling = this.free.pop() ?? new Float32Array(this.length);
      }
    }
  }

  /** Posts what is gathered although it is shorter than a piece; the next piece begins behind it. */
  cut(): void {
    if (this.filled > 0) this.post(this.filling.slice(0, this.filled));
  }

  /** Posts what is gathered; the next sample is frame `frame`. */
  restart(frame: Frames): void {
    this.cut();
    this.first = frame;
  }

  private post(samples: Float32Array<ArrayBuffer>): void {
    const message: FromEar = { type: 'samples', frame: this.first, samples };
    this.first += samples.length;
    this.filled = 0;
    this.port.postMessage(message, [samples.buffer]);
  }
}
