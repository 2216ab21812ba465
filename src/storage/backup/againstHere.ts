/**
 * Things that are brought in held against what is here: which are new, which are here already, and which are here with other content.
 *
 * What is here stays as it is. Nothing is written here.
 */

import type { Shelf } from '../../record/types.ts';
import { StoreError, type Placed, type Store } from '../store.ts';
import { noCounts } from './contents.ts';
import { sameContent } from './sameContent.ts';

export interface BroughtIn {
  readonly broughtIn: Readonly<Record<Shelf, number>>;
  /** Were here already, the same or differing. */
  readonly here: Readonly<Record<Shelf, number>>;
  /**
   * Are here with other content, which was left as it is. `place`: where it stands in what is brought in, "take 3 in visit 2". `unread`:
   * why what is here cannot be read; null where it can.
   */
  readonly differing: readonly {
    readonly shelf: Shelf;
    readonly id: string;
    readonly place: string;
    readonly unread: string | null;
  }[];
}

export class AgainstHere implements BroughtIn {
  readonly broughtIn = noCounts();
  readonly here = noCounts();
  readonly differing: BroughtIn['differing'][number][] = [];
  /** Those that are not here, in the order in which they were added. */
  readonly fresh: Placed[] = [];

  constructor(readonly store: Store) {}

  /**
   * Takes one thing down; true where it is not here.
   * @param place - where it stands in what is brought in, in words
   * @param same - whether one that is here says the same
   * @throws StoreError (as a rejection) where the store cannot be asked.
   */
  async add(placed: Placed, place: string, same: (here: object) => boolean): Promise<boolean> {
    const { shelf, thing } = placed;
    const kept = await this.#keptHere(shelf, thing.id);
    if (kept === null) {
      this.broughtIn[shelf]++;
      this.fresh.push(placed);
      return true;
    }
    this.here[shelf]++;
    if (kept.thing === null || !same(kept.thing))
      this.differing.push({ shelf, id: thing.id, place, unread: kept.unread });
    return false;
  }

  /** What was found, without the things themselves. */
  get found(): BroughtIn {
    const { broughtIn, here, differing } = this;
    return { broughtIn, here, differing };
  }

  /** What is here under this id; `thing` is null where it is there but cannot be read: it is left as it is. */
  async #keptHere(
    shelf: Shelf,
    id: string,
  ): Promise<{ readonly thing: object | null; readonly unread: string | null } | null> {
    try {
      const thing = await this.store.get(shelf, id);
      return thing && { thing, unread: null };
    } catch (failure) {
      if (failure instanceof StoreError && (failure.code === 'damaged' || failure.code === 'newer'))
        return { thing: null, unread: failure.message };
      throw failure;
    }
  }
}

/**
 * Brings in things without sound: all that are not here or, where anything fails, none. A take that is here with its sound says the
 * same as one without.
 * @param placeOf - where a thing stands in what is brought in, in words
 * @throws StoreError (as a rejection); the record is as it was then.
 */
export async function bringThings(
  store: Store,
  things: readonly Placed[],
  placeOf: (placed: Placed) => string,
): Promise<BroughtIn> {
  const against = new AgainstHere(store);
  for (const placed of things) {
    const { shelf, thing } = placed;
    const bare = (one: object) => (shelf === 'takes' ? { ...one, pieces: 0 } : one);
    await against.add(placed, placeOf(placed), (here) => sameContent(bare(here), bare(thing)));
  }
  await store.bringIn(against.fresh);
  return against.found;
}
