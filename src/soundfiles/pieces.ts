/**
 * Decoded sound comes in pieces; what the stream itself counts as its beginning and end is cut out of them.
 */

/**
 * One channel from its pieces.
 *
 * @param pieces - in order; together at least `skipped + length` frames (what is missing stays zero).
 * @param skipped - frames to leave out at the start.
 * @param length - frames to keep from there.
 * @param gain - factor on every sample.
 */
export function cutPieces(pieces: readonly Float32Array[], skipped: number, length: number, gain = 1): Float32Array {
  const samples = new Float32Array(length);
  let at = -skipped;
  for (const piece of pieces) {
    const from = Math.max(0, -at);
    const to = Math.min(piece.length, length - at);
    if (to > from) samples.set(piece.subarray(from, to), at + from);
    at += piece.length;
  }
  return gain === 1 ? samples : samples.map((sample) => gain * sample);
}
