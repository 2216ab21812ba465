/**
 * The record in memory, for as long as the page is open: where the browser keeps nothing, and for what its store would not take.
 *
 * It behaves as the lasting store does; only nothing survives. What goes in and comes out is copied.
 */

import type { Shelf, Shelves, SoundPiece, Take } from '../record/types.ts';
import { checked, checkedPiece } from './checking.ts';
import { OF_VISIT, type Of, type Store } from './store.ts';
import { askWhole, finishedTake, joined, unfinished, type PieceExtent } from './takeSound.ts';

type Kept = { [S in Shelf]: Map<string, Shelves[S]> };

/** An empty store in memory. */
export function memoryStore(): Store {
  const kept: Kept = {
    pianos: new Map(),
    visits: new Map(),
    rounds: new Map(),
    takes: new Map(),
    templates: new Map(),
    references: new Map(),
    adjustments: new Map(),
    gauges: new Map(),
    marks: new Map(),
    hours: new Map(),
  };
  const pieces = new Map<string, SoundPiece[]>();

  const piecesOf = (takeId: string) => [...(pieces.get(takeId) ?? [])].sort((a, b) => a.index - b.index);
  const extentsOf = (takeId: string): PieceExtent[] =>
    piecesOf(takeId).map(({ index, samples }) => ({ takeId, index, frames: samples.length }));

  const belongs = (thing: Shelves[Shelf], of: Of): boolean => {
    const [[field, id]] = Object.entries(of);
    if (field in thing) return thing[field as keyof typeof thing] === id;
    return field === 'pianoId' && 'visitId' in thing && kept.visits.get(thing.visitId)?.pianoId === id;
  };

  return {
    put: async (shelf, thing) => {
      const good = structuredClone(checked(shelf, thing));
      if (shelf === 'takes') askWhole(good as Shelves['takes'], extentsOf(good.id));
      kept[shelf].set(good.id, good);
    },
    get: async (shelf, id) => {
      const thing = kept[shelf].get(id);
      return thing === undefined ? null : structuredClone(thing);
    },
    list: async (shelf, of) => {
      const things = [...kept[shelf].values()].filter((thing) => of === undefined || belongs(thing, of));
      return structuredClone(things);
    },
    addPiece: async (piece) => {
      const good = structuredClone(checkedPiece(piece));
      const others = (pieces.get(good.takeId) ?? []).filter(({ index }) => index !== good.index);
      pieces.set(good.takeId, [...others, good]);
    },
    sound: async (takeId) => {
      const take = kept.takes.get(takeId);
      if (take) askWhole(take, extentsOf(takeId));
      const own = piecesOf(takeId);
      return own.length === 0 ? null : joined(own);
    },
    dropSound: async (takeId) => {
      const take = kept.takes.get(takeId);
      if (take) kept.takes.set(takeId, { ...take, pieces: 0 });
      pieces.delete(takeId);
    },
    orphans: async () => unfinished([...pieces.keys()].sort().flatMap(extentsOf), new Set(kept.takes.keys())),
    dropOrphan: async (takeId) => {
      if (kept.takes.has(takeId)) throw finishedTake(takeId);
      pieces.delete(takeId);
    },
    dropVisit: async (visitId) => {
      for (const { id } of [...kept.takes.values()].filter((take) => take.visitId === visitId)) pieces.delete(id);
      for (const shelf of OF_VISIT) {
        for (const thing of kept[shelf].values()) if (thing.visitId === visitId) kept[shelf].delete(thing.id);
      }
      kept.visits.delete(visitId);
    },
    bringIn: async (things) => {
      const fresh = things
        .filter(({ shelf, thing }) => !kept[shelf].has(thing.id))
        .map(({ shelf, thing }) => ({ shelf, thing: structuredClone(checked(shelf, thing)) }));
      for (const { shelf, thing } of fresh) if (shelf === 'takes') askWhole(thing as Take, extentsOf(thing.id));
      for (const { shelf, thing } of fresh) {
        const own = kept[shelf] as Map<string, Shelves[Shelf]>;
        if (!own.has(thing.id)) own.set(thing.id, thing);
      }
    },
    room: async () => {
      const own = [...pieces.values()].flat();
      return { used: own.reduce((sum, { samples }) => sum + samples.byteLength, 0), left: null };
    },
    close: () => undefined,
  };
}
