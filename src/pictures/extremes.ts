/**
 * A stretch of sound reduced to the extremes of each pixel column.
 */

export interface Column {
  readonly low: number;
  readonly high: number;
}

/**
 * Extremes of `count` columns of equal width between the frames `from` and `to` (may be fractional; outside the samples
 * all is 0). A column holds at least the frame it begins in and the one before it, so that the picture has no gaps.
 * Values that are not finite are passed over.
 */
export function extremes(samples: Float32Array, from: number, to: number, count: number): Column[] {
  const width = (to - from) / count;
  return Array.from({ length: count }, (_, column) => {
    const first = Math.max(0, Math.floor(from + column * width) - 1);
    const last = Math.min(samples.length, Math.max(first + 2, Math.ceil(from + (column + 1) * width)));
    let [low, high] = [Infinity, -Infinity];
    for (let i = first; i < last; i++) {
      const value = samples[i];
      if (value < low && value !== -Infinity) low = value;
      if (value > high && value !== Infinity) high = value;
    }
    return low <= high ? { low, high } : { low: 0, high: 0 };
  });
}
