/** A backup of one visit or of everything, written as it is read from the store: one take's sound in memory at a time. */

import { RECORD_VERSION, type Shelf, type Shelves, type Take, type Visit } from '../../record/types.ts';
import { OF_VISIT, StoreError, type Store } from '../store.ts';
import {
  BACKUP_SCHEMA,
  COMMON,
  MANIFEST,
  nameOf,
  noCounts,
  placeWords,
  soundNameOf,
  type Manifest,
} from './contents.ts';
import { toWav } from './takeWav.ts';
import { ZipWriting, type BackupSink } from './zipWriting.ts';

/** What is saved. One visit comes with its piano, that piano's note templates and the hand that it is held against. */
export type BackupOf = { readonly visitId: string } | 'everything';

export interface BackupOptions {
  /** Now: UTC, ISO 8601. */
  readonly madeAt: string;
  /** Told after each take, of how many. */
  readonly progress?: (takes: number, of: number) => void;
  readonly signal?: AbortSignal;
}

export interface BackupMade {
  readonly counts: Readonly<Record<Shelf, number>>;
  readonly bytes: number;
  /** Takes whose sound is damaged here: they are in the backup without it. `place`: "take 3 in visit 2", as the backup counts. */
  readonly withoutSound: readonly { readonly id: string; readonly place: string; readonly why: string }[];
}

/**
 * Writes the backup. What a store cannot read (and tells of when it is listed) is not in it, nor is sound without a take.
 * @throws StoreError (as a rejection) where the store fails or has no such visit; what the sink or the signal throws. What was
 * written until then is no backup, and is refused when it is read.
 */
export async function writeBackup(
  store: Store,
  what: BackupOf,
  sink: BackupSink,
  { madeAt, progress, signal }: BackupOptions,
): Promise<BackupMade> {
  const zip = new ZipWriting(sink, madeAt);
  const counts = noCounts();
  const versions = new Set<string>();
  const withoutSound: BackupMade['withoutSound'][number][] = [];
  const add = async (name: string, thing: object): Promise<void> => {
    signal?.throwIfAborted();
    await zip.add(name, jsonBytes(thing), true);
  };

  const chosen = await chosenFrom(store, what);
  for (const shelf of COMMON) {
    for (const thing of chosen[shelf]) {
      const name = nameOf(shelf, ++counts[shelf], null);
      if (!('samples' in thing)) await add(name, thing);
      else {
        const { samples, ...rest } = thing;
        await add(name, rest);
        await zip.add(soundNameOf(name), toWav(samples, thing.sampleRate), false);
      }
    }
  }

  let of = 0;
  if (progress) for (const { id } of chosen.visits) of += (await store.list('takes', { visitId: id })).length;
  for (const [i, { id, visit }] of chosen.visits.entries()) {
    if (visit) {
      counts.visits++;
      await add(nameOf('visits', i + 1, i + 1), visit);
    }
    for (const shelf of OF_VISIT) {
      let number = 0;
      for (const thing of await store.list(shelf, { visitId: id })) {
        const name = nameOf(shelf, ++number, i + 1);
        counts[shelf]++;
        if (shelf !== 'takes') {
          versionsIn(thing).forEach((version) => versions.add(version));
          await add(name, thing);
          continue;
        }
        const { take, sound, lost } = await withSound(store, thing as Take);
        if (lost !== null) withoutSound.push({ id: take.id, place: placeWords(name), why: lost });
        versions.add(take.heard.analysisVersion);
        await add(name, take);
        if (sound) await zip.add(soundNameOf(name), toWav(sound, take.sampleRate), false);
        progress?.(counts.takes, of);
      }
    }
  }

  const manifest: Manifest = {
    schema: BACKUP_SCHEMA,
    recordVersion: RECORD_VERSION,
    analysisVersions: [...versions].sort(),
    madeAt,
    counts,
    files: zip.entries.map(({ name, size, packed }, i) => [name, size, packed, zip.packedCrcs[i]]),
  };
  signal?.throwIfAborted();
  await zip.add(MANIFEST, jsonBytes(manifest), false);
  await zip.end();
  return { counts, bytes: zip.at, withoutSound };
}

/** How large a backup would be: bytes of its sound, and all else by a tenth of it at most. */
export async function soundInBackup(
  store: Store,
  what: BackupOf,
): Promise<{ readonly visits: number; readonly takes: number; readonly soundBytes: number }> {
  const { visits } = await chosenFrom(store, what);
  let [count, soundBytes] = [0, 0];
  for (const { id } of visits) {
    for (const { pieces, frames } of await store.list('takes', { visitId: id })) {
      count++;
      if (pieces > 0) soundBytes += frames * 2;
    }
  }
  return { visits: visits.length, takes: count, soundBytes };
}

interface Chosen {
  readonly pianos: readonly Shelves['pianos'][];
  readonly references: readonly Shelves['references'][];
  readonly templates: readonly Shelves['templates'][];
  /** A visit that the store cannot read is null: what belongs to it is saved all the same. */
  readonly visits: readonly { readonly id: string; readonly visit: Visit | null }[];
}

async function chosenFrom(store: Store, what: BackupOf): Promise<Chosen> {
  if (what !== 'everything') {
    const visit = await store.get('visits', what.visitId);
    if (visit === null)
      throw new StoreError('failed', 'There is no such visit on this device', 'Choose another visit.');
    const piano = await store.get('pianos', visit.pianoId);
    const hand = visit.referenceId === null ? null : await store.get('references', visit.referenceId);
    return {
      pianos: piano ? [piano] : [],
      references: hand ? [hand] : [],
      templates: await store.list('templates', { pianoId: visit.pianoId }),
      visits: [{ id: visit.id, visit }],
    };
  }
  const visits = await store.list('visits');
  const known = new Map<string, Visit | null>(visits.map((visit) => [visit.id, visit]));
  for (const shelf of ['rounds', 'adjustments', 'gauges', 'marks', 'hours'] as const) {
    for (const { visitId } of await store.list(shelf)) if (!known.has(visitId)) known.set(visitId, null);
  }
  return {
    pianos: await store.list('pianos'),
    references: await store.list('references'),
    templates: await store.list('templates'),
    visits: [...known].map(([id, visit]) => ({ id, visit })),
  };
}

/** The take with its sound, as it is now: it may have been dropped since the take was listed. */
async function withSound(
  store: Store,
  listed: Take,
): Promise<{ readonly take: Take; readonly sound: Int16Array<ArrayBuffer> | null; readonly lost: string | null }> {
  if (listed.pieces === 0) return { take: listed, sound: null, lost: null };
  let lost: string | null = null;
  const sound = await store.sound(listed.id).catch((failure: unknown) => {
    if (!(failure instanceof StoreError) || failure.code !== 'damaged') throw failure;
    lost = failure.message;
    return null;
  });
  return { take: sound ? listed : { ...listed, pieces: 0 }, sound, lost };
}

function jsonBytes(thing: object): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(JSON.stringify(thing));
}

function versionsIn(thing: object): string[] {
  const summary = 'summary' in thing ? (thing.summary as { readonly analysisVersion: string } | null) : null;
  return summary ? [summary.analysisVersion] : [];
}
