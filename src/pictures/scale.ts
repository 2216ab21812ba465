/**
 * Axes: a straight scale, few round places on it.
 */

/** Place of a value: `from` lies at `start`, `to` at `end`. A scale without extent puts everything in the middle. */
export function scale(from: number, to: number, start: number, end: number): (value: number) => number {
  if (to === from) return () => (start + end) / 2;
  return (value) => start + ((value - from) / (to - from)) * (end - start);
}

/** At most `most` round values (1, 2, 2.5 or 5 times a power of ten apart) within `low` to `high`, ascending. */
export function roundPlaces(low: number, high: number, most = 3): number[] {
  if (!(high > low)) return [low];
  const least = Math.floor(Math.log10((high - low) / most));
  // A step of at most a third of the way meets a place at once; twice as wide, still one. So it ends within a few.
  for (let power = least; power < least + 4; power++) {
    for (const factor of [1, 2, 2.5, 5]) {
      const step = factor * 10 ** power;
      const first = Math.ceil(low / step - 1e-9);
      const last = Math.floor(high / step + 1e-9);
      if (last - first + 1 > most || last < first) continue;
      return Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
    }
  }
  return [low];
}

/** The faintest and the loudest of levels, dB, at least 12 apart so that equal strokes stand level; null without any. */
export function levelRange(levels: readonly (number | null)[]): readonly [number, number] | null {
  const known = levels.filter((level) => level !== null);
  if (known.length === 0) return null;
  const high = Math.max(...known);
  return [Math.min(high - 12, ...known), high];
}
