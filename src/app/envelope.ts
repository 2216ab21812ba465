/**
 * Lowest and highest sample of every column of a picture: no peak is lost, however many samples stand in a column.
 *
 * Long stretches are read from blocks whose extremes are known, so that a redraw costs a fixed time a column.
 */

/** Samples in a block whose extremes are kept. */
const BLOCK = 256;

/** Columns as two arrays of the same length. */
export interface Columns {
  readonly low: Float32Array;
  readonly high: Float32Array;
}

export class Envelope {
  /** Largest absolute sample of the recording. */
  readonly peak: number;
  private readonly samples: Float32Array;
  private readonly blocks: Columns;

  /** @param samples mono, finite; kept, not copied. */
  constructor(samples: Float32Array) {
    this.samples = samples;
    const count = Math.ceil(samples.length / BLOCK);
    this.blocks = { low: new Float32Array(count), high: new Float32Array(count) };
    let peak = 0;
    for (let block = 0; block < count; block++) {
      const [low, high] = extremes(samples, samples, block * BLOCK, Math.min(samples.length, (block + 1) * BLOCK));
      this.blocks.low[block] = low;
      this.blocks.high[block] = high;
      peak = Math.max(peak, -low, high);
    }
    this.peak = peak;
  }

  /**
   * Extremes of `count` columns of equal width between two places, given in samples (may be fractional, and may lie
   * outside, where all is 0). A column holds at least the sample it begins in and the one before it, so that the
   * picture has no gaps. Columns wider than two blocks may take in up to a block more at either side.
   */
  columns(from: number, to: number, count: number): Columns {
    const low = new Float32Array(count);
    const high = new Float32Array(count);
    const width = (to - from) / count;
    const byBlocks = width > 2 * BLOCK;
    const { low: lows, high: highs } = byBlocks ? this.blocks : { low: this.samples, high: this.samples };
    const unit = byBlocks ? BLOCK : 1;
    for (let column = 0; column < count; column++) {
      const first = Math.max(0, Math.floor((from + column * width) / unit) - (byBlocks ? 0 : 1));
      const last = Math.min(
        lows.length,
        Math.max(first + (byBlocks ? 1 : 2), Math.ceil((from + (column + 1) * width) / unit)),
      );
      if (from + (column + 1) * width <= 0 || first >= last) continue;
      [low[column], high[column]] = extremes(lows, highs, first, last);
    }
    return { low, high };
  }
}

function extremes(lows: Float32Array, highs: Float32Array, first: number, last: number): [number, number] {
  let low = lows[first];
  let high = highs[first];
  for (let i = first + 1; i < last; i++) {
    if (lows[i] < low) low = lows[i];
    if (highs[i] > high) high = highs[i];
  }
  return [low, high];
}
