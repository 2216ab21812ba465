/**
 * Where the record is kept: one interface, whatever is behind it.
 *
 * Everything is checked against the record's schema before it is written and after it is read; older things are migrated on
 * reading, newer ones refused. Every method that writes resolves once what it wrote would survive the death of the program.
 */

import type {
  Adjustment,
  GaugeReading,
  NoteTemplate,
  Piano,
  Round,
  SoundPiece,
  StoredReference,
  Take,
  Visit,
} from '../record/types.ts';

/** The kinds of thing that are kept one by one, by id. */
export interface Shelves {
  readonly pianos: Piano;
  readonly visits: Visit;
  readonly rounds: Round;
  readonly takes: Take;
  readonly templates: NoteTemplate;
  readonly references: StoredReference;
  readonly adjustments: Adjustment;
  readonly gauges: GaugeReading;
}
export type Shelf = keyof Shelves;

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
  /** Writes one thing, new or anew. @throws StoreError (as a rejection, as all below). */
  put<S extends Shelf>(shelf: S, thing: Shelves[S]): Promise<void>;
  get<S extends Shelf>(shelf: S, id: string): Promise<Shelves[S] | null>;
  /** All things of a shelf, or those of one piano, visit or round; ordered as they were made. */
  list<S extends Shelf>(shelf: S, of?: Of): Promise<Shelves[S][]>;
  /** Adds a stretch of sound to a take that is being played or finished. */
  addPiece(piece: SoundPiece): Promise<void>;
  /** The take's sound, whole; null where none is kept. */
  sound(takeId: string): Promise<Int16Array<ArrayBuffer> | null>;
  /** Takes a take's sound away; the take stays, with `pieces` 0. */
  dropSound(takeId: string): Promise<void>;
  /** Sound pieces whose take was never finished: the program died while it was played. */
  orphans(): Promise<{ readonly takeId: string; readonly pieces: number; readonly frames: number }[]>;
  /** Removes sound without a take. */
  dropOrphan(takeId: string): Promise<void>;
  /** Removes a visit with all that belongs to it. */
  dropVisit(visitId: string): Promise<void>;
  /** Bytes used and left, as far as known. */
  room(): Promise<{ readonly used: number | null; readonly left: number | null }>;
  close(): void;
}

export type Of = { readonly pianoId: string } | { readonly visitId: string } | { readonly roundId: string };
