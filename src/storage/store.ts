/**
 * Where the record is kept: one interface, whatever is behind it.
 *
 * Everything is checked against the record's schema before it is written and after it is read; older things are migrated on
 * reading, newer ones refused. Every method that writes resolves once what it wrote would survive the death of the program.
 */

import type { Shelf, Shelves, SoundPiece } from '../record/types.ts';

export type { Shelf, Shelves };

/** The shelves whose things belong to a visit, and go with it. */
export const OF_VISIT = [
  'rounds',
  'takes',
  'adjustments',
  'gauges',
  'marks',
  'hours',
] as const satisfies readonly Shelf[];

/** Why the store could not do as asked, in words for a person. */
export class StoreError extends Error {
  override readonly name = 'StoreError';
  constructor(
    readonly code: 'full' | 'failed' | 'newer' | 'damaged' | 'blocked',
    message: string,
    readonly remedy: string,
  ) {
    super(message);
  }
}

export interface Store {
  /**
   * Writes one thing, new or anew. A take is written only when all its pieces are there and make up its frames: its sound is never
   * kept in part.
   * @throws StoreError (as a rejection, as all below).
   */
  put<S extends Shelf>(shelf: S, thing: Shelves[S]): Promise<void>;
  get<S extends Shelf>(shelf: S, id: string): Promise<Shelves[S] | null>;
  /**
   * All things of a shelf, or those of one piano, visit or round; ordered as they were made. One that is damaged or newer hides no
   * other: it is left out, and told to whoever opened the store ({@link Told}).
   */
  list<S extends Shelf>(shelf: S, of?: Belongs[S]): Promise<Shelves[S][]>;
  /** Adds a stretch of sound to a take that is being played. The same index again replaces it. */
  addPiece(piece: SoundPiece): Promise<void>;
  /** The take's sound, whole; null where none is kept. */
  sound(takeId: string): Promise<Int16Array<ArrayBuffer> | null>;
  /** Takes a take's sound away; the take stays, with `pieces` 0. */
  dropSound(takeId: string): Promise<void>;
  /**
   * Sound pieces whose take was never finished: the program died while it was played, or it is being played now. Ask only while
   * this page holds the visit and plays nothing.
   */
  orphans(): Promise<{ readonly takeId: string; readonly pieces: number; readonly frames: number }[]>;
  /** Removes sound without a take; refused for a take that was finished. */
  dropOrphan(takeId: string): Promise<void>;
  /** Removes a visit with all that belongs to it. Note templates and hands learned in it belong to the piano and the player: they stay. */
  dropVisit(visitId: string): Promise<void>;
  /**
   * Writes those of these things that are not here yet, all of them or none; one whose id is here stays as it is. Takes are held to
   * their pieces as by {@link put}: the sound goes in first.
   */
  bringIn(things: readonly Placed[]): Promise<void>;
  /** Bytes used and left, as far as known. */
  room(): Promise<{ readonly used: number | null; readonly left: number | null }>;
  close(): void;
}

/** A thing with the shelf that it belongs on. */
export type Placed = { readonly [S in Shelf]: { readonly shelf: S; readonly thing: Shelves[S] } }[Shelf];

/** What the things of a shelf can be listed by. */
export interface Belongs {
  readonly pianos: never;
  readonly visits: OfPiano;
  readonly rounds: OfPiano | OfVisit;
  readonly takes: OfPiano | OfVisit | OfRound;
  readonly templates: OfPiano;
  readonly references: never;
  readonly adjustments: OfPiano | OfVisit;
  readonly gauges: OfPiano | OfVisit;
  readonly marks: OfPiano | OfVisit;
  readonly hours: OfPiano | OfVisit;
}
export type OfPiano = { readonly pianoId: string };
export type OfVisit = { readonly visitId: string };
export type OfRound = { readonly roundId: string };
export type Of = OfPiano | OfVisit | OfRound;

/** What the store has to tell unasked. */
export interface Told {
  /** A thing was left out of a list; `id` as far as it could be read. */
  readonly leftOut?: (shelf: Shelf, id: string | null, error: StoreError) => void;
  /** The store waits for another tab, or gives way to one, or the browser closed it: what happened and what to do. */
  readonly trouble?: (error: StoreError) => void;
}
