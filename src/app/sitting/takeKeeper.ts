/**
 * Keeps the sound of takes while they are played, and the takes when they have ended; in memory where the store refuses, so that
 * nothing is lost before the player has saved it.
 */

import type { SoundPiece, Take } from '../../record/types.ts';
import { StoreError, type Store } from '../../storage/store.ts';

/** A take that the store has refused. */
export interface HeldTake {
  readonly take: Take;
  readonly samples: Int16Array<ArrayBuffer>;
}

export class TakeKeeper {
  /** Whatever is still being written. */
  #writing: Promise<void> = Promise.resolve();
  #failure: StoreError | null = null;
  /** Takes of which a piece could not be written: the next take may be running while one is being finished. */
  readonly #broken = new Set<string>();
  readonly #held: HeldTake[] = [];

  constructor(private readonly store: Store) {}

  /** Takes in memory only. */
  get held(): readonly HeldTake[] {
    return this.#held;
  }

  /** Why the store refused last; null while it works. */
  get failure(): StoreError | null {
    return this.#failure;
  }

  /** A stretch of the running take's sound. Never rejects: what fails is told by {@link failure} and made good by {@link finish}. */
  piece(piece: SoundPiece): void {
    this.#queue(() => this.store.addPiece(piece), piece.takeId);
  }

  /**
   * Keeps an ended take: resolves once it would survive the death of the program, with true, or with false where it is held in memory.
   */
  async finish(take: Take, samples: Int16Array<ArrayBuffer>): Promise<boolean> {
    await this.#writing;
    try {
      if (this.#broken.has(take.id)) await this.#again(take.id, take.sampleRate, samples);
      await this.store.put('takes', take);
      this.#broken.delete(take.id);
      if (this.#broken.size === 0) this.#failure = null;
      return true;
    } catch (cause) {
      this.#failure = asStoreError(cause);
      this.#broken.add(take.id);
      this.#held.push({ take, samples });
      return false;
    }
  }

  /** The take came to nothing: its sound is let go. */
  drop(takeId: string): void {
    this.#broken.delete(takeId);
    this.#queue(() => this.store.dropOrphan(takeId));
  }

  /** Tries once more to keep what is held in memory. */
  async retry(): Promise<void> {
    for (const held of this.#held.splice(0)) {
      await this.finish(held.take, held.samples);
    }
  }

  /** Changes a take that is in memory only; false where it is not held. */
  replaceHeld(take: Take): boolean {
    const at = this.#held.findIndex((held) => held.take.id === take.id);
    if (at < 0) return false;
    this.#held[at] = { take, samples: this.#held[at].samples };
    return true;
  }

  /** The player has saved them elsewhere. */
  letGo(): HeldTake[] {
    for (const { take } of this.#held) this.#broken.delete(take.id);
    this.#failure = null;
    return this.#held.splice(0);
  }

  /** A piece was lost on the way: the take's sound is written anew. */
  async #again(takeId: string, sampleRate: number, samples: Int16Array<ArrayBuffer>): Promise<void> {
    await this.store.dropOrphan(takeId);
    for (let index = 0; index * sampleRate < samples.length; index++) {
      const piece = samples.slice(index * sampleRate, (index + 1) * sampleRate);
      await this.store.addPiece({ takeId, index, samples: piece });
    }
  }

  #queue(write: () => Promise<void>, takeId?: string): void {
    this.#writing = this.#writing.then(write).catch((cause: unknown) => {
      this.#failure = asStoreError(cause);
      if (takeId !== undefined) this.#broken.add(takeId);
    });
  }
}

function asStoreError(cause: unknown): StoreError {
  if (cause instanceof StoreError) return cause;
  const words = cause instanceof Error ? cause.message : String(cause);
  return new StoreError('failed', `This device could not keep the sound: ${words}`, 'Save the take as a file.');
}
