/** A take and its pieces of sound: whether they are whole, and put together. */

import type { SoundPiece, Take } from '../record/types.ts';
import { StoreError } from './store.ts';

/** One kept piece without its samples. */
export interface PieceExtent {
  readonly takeId: string;
  readonly index: number;
  readonly frames: number;
}

/**
 * Asks that the pieces are all there, follow each other and make up the take.
 * @param extents - of its pieces, by index
 * @throws StoreError `damaged`
 */
export function askWhole(take: Pick<Take, 'id' | 'pieces' | 'frames'>, extents: readonly PieceExtent[]): void {
  const lost = extents.findIndex(({ index }, place) => index !== place);
  const frames = extents.reduce((sum, extent) => sum + extent.frames, 0);
  if (lost < 0 && extents.length === take.pieces && (take.pieces === 0 || frames === take.frames)) return;
  throw new StoreError(
    'damaged',
    `take ${JSON.stringify(take.id)}: its sound is ${extents.length} pieces of ${frames} samples${
      lost < 0 ? '' : ` without piece ${lost}`
    }; expected ${take.pieces} pieces of ${take.frames} samples`,
    'Save the take as a file while it is still in memory, or play the note again; what is kept of its sound was not changed.',
  );
}

/** One after the other. */
export function joined(pieces: readonly SoundPiece[]): Int16Array<ArrayBuffer> {
  const whole = new Int16Array(pieces.reduce((sum, { samples }) => sum + samples.length, 0));
  let at = 0;
  for (const { samples } of pieces) {
    whole.set(samples, at);
    at += samples.length;
  }
  return whole;
}

/** Pieces and frames of each take that is not finished, in order of the takes' ids. */
export function unfinished(
  extents: readonly PieceExtent[],
  finished: ReadonlySet<string>,
): { readonly takeId: string; readonly pieces: number; readonly frames: number }[] {
  const found = new Map<string, { takeId: string; pieces: number; frames: number }>();
  for (const { takeId, frames } of extents) {
    if (finished.has(takeId)) continue;
    const sum = found.get(takeId) ?? { takeId, pieces: 0, frames: 0 };
    found.set(takeId, { takeId, pieces: sum.pieces + 1, frames: sum.frames + frames });
  }
  return [...found.values()];
}

/** Why sound of a finished take is no orphan. */
export function finishedTake(takeId: string): StoreError {
  return new StoreError(
    'failed',
    `take ${JSON.stringify(takeId)} was finished: its sound is no orphan`,
    'Drop the sound of the take instead.',
  );
}
