/**
 * A backup brought in: first read as a whole and held against checksums, schemas and its own list; only then written.
 *
 * What is here stays as it is. A thing whose id is not here yet is brought in; one that is here with the same content needs nothing;
 * one that is here with other content is left as it is here and told (`differing`). Nothing in the record says which of
 * two is the later one, and restoring must never take away what was done since. To have a visit as it was saved, remove it first; the same
 * goes for sound that was dropped here.
 *
 * Memory: the file is read by pieces. At most one take's sound is held (1.5 MB for 15 s), and all things that are new, without their
 * sound. Sound of new takes is put into the store take by take beforehand, where nothing shows it as long as its take is not
 * there; then one transaction writes all things. Where that fails, the sound is taken out again; where the page dies
 * before, it is sound without a take, which the page removes when it opens.
 */

import { check } from '../../record/check.ts';
import { RECORD_VERSION, type Shelf, type Take } from '../../record/types.ts';
import { StoreError, type Placed, type Store } from '../store.ts';
import { AgainstHere, type BroughtIn } from './againstHere.ts';
import { BACKUP_SCHEMA, MANIFEST, noCounts, placeOf, placeWords, soundNameOf, type Manifest } from './contents.ts';
import { sameContent } from './sameContent.ts';
import { fromWav } from './takeWav.ts';
import type { ZipEntry } from './zipFormat.ts';
import { damaged, openZip, type BackupFile, type ZipReading } from './zipReading.ts';

export interface RestoreOptions {
  /** Told of the bytes read, of all that are to be read. */
  readonly progress?: (bytes: number, of: number) => void;
  /** Stops it until the last step; nothing is changed then. */
  readonly signal?: AbortSignal;
  /** Told for which takes sound may stand here without the take: before the first goes in, and `[]` once it does for none. */
  readonly soundWithoutTake?: (takeIds: readonly string[]) => void;
}

/**
 * Brings a backup in: all of it or nothing.
 * @throws StoreError (as a rejection): `damaged` or `newer` for the file, `full` where its sound does not fit, what the store throws;
 * the signal's reason. In every case the record is as it was.
 */
export async function readBackup(store: Store, file: BackupFile, options: RestoreOptions = {}): Promise<BroughtIn> {
  const { progress, signal } = options;
  const zip = await openZip(file);
  const manifest = await manifestOf(zip);
  await zip.askExact();
  askListed(zip, manifest);
  const packedCrcs = new Map(manifest.files.map(([name, , , crc]) => [name, crc]));

  const read = async (entry: ZipEntry) => {
    signal?.throwIfAborted();
    const bytes = await zip.read(entry, packedCrcs.get(entry.name));
    done += entry.packed;
    progress?.(Math.min(done, file.size), file.size);
    return bytes;
  };
  let done = 0;
  const found = noCounts();
  const against = new AgainstHere(store);
  const sounding: { readonly take: Take; readonly entry: ZipEntry }[] = [];
  const seen = new Set<string>();
  const sounds = new Map(zip.entries.filter(({ name }) => name.endsWith('.wav')).map((entry) => [entry.name, entry]));

  for (const entry of zip.entries) {
    const place = placeOf(entry.name);
    if (place === null || place.sound) continue;
    const wav = sounds.get(soundNameOf(entry.name)) ?? null;
    sounds.delete(soundNameOf(entry.name));
    const placed = await thingIn(entry, place.shelf, wav, read);
    const { shelf, thing } = placed;
    if (seen.has(`${shelf} ${thing.id}`)) throw damaged(`It holds ${placeWords(entry.name)} twice`);
    seen.add(`${shelf} ${thing.id}`);
    found[shelf]++;
    const isNew = await against.add(placed, placeWords(entry.name), (kept) => sameContent(kept, thing));
    if (isNew && shelf === 'takes' && wav) sounding.push({ take: thing, entry: wav });
  }
  for (const name of sounds.keys()) throw damaged(`It holds ${placeWords(name)} without what it belongs to`);
  // An older one counts no things of shelves that came later.
  if (!sameContent(found, { ...noCounts(), ...manifest.counts }))
    throw damaged('Its list of contents does not fit what it holds');

  await askRoom(store, sounding);
  await bringIn(store, against.fresh, sounding, zip, options);
  return against.found;
}

async function manifestOf(zip: ZipReading): Promise<Manifest> {
  const entry = zip.entries.find(({ name }) => name === MANIFEST);
  if (!entry) throw damaged('It is no backup of Evenfall');
  const value = jsonOf(await zip.read(entry), MANIFEST) as Partial<Manifest> | null;
  const schema = /^evenfall\.backup\/(\d+)$/.exec(String(value?.schema));
  if (!schema) throw damaged('It is no backup of Evenfall');
  if (Number(schema[1]) > Number(BACKUP_SCHEMA.split('/')[1]) || Number(value!.recordVersion) > RECORD_VERSION) {
    throw newer();
  }
  return value as Manifest;
}

function newer(): StoreError {
  return new StoreError(
    'newer',
    'This backup comes from a newer Evenfall. Nothing was changed here.',
    'Update this app first.',
  );
}

/** Asks that the manifest lists exactly the files that are there, and that a backup has such files. */
function askListed({ entries }: ZipReading, { files }: Manifest): void {
  const listed = entries.filter(({ name }) => name !== MANIFEST);
  const there = listed.map(({ name, size, packed }) => [name, size, packed]);
  if (
    !Array.isArray(files) ||
    !sameContent(
      there,
      files.map(([name, size, packed]) => [name, size, packed]),
    )
  )
    throw damaged('Its list of contents does not fit what it holds');
  const odd = listed.find(({ name }) => placeOf(name) === null);
  if (odd) throw damaged(`It holds ${placeWords(odd.name)}, which belongs to no backup`);
}

/** One thing, put together with its sound and checked. */
async function thingIn(
  entry: ZipEntry,
  shelf: Shelf,
  wav: ZipEntry | null,
  read: (entry: ZipEntry) => Promise<Uint8Array<ArrayBuffer>>,
): Promise<Placed> {
  const value = jsonOf(await read(entry), entry.name);
  const sound = wav && fromWav(await read(wav), rateOf(value));
  if (wav && sound === null) throw damaged(`${placeWords(wav.name)} is not as a backup holds it`);
  const { thing, refusal } = check(shelf, shelf === 'templates' ? { ...Object(value), samples: sound } : value);
  if (refusal) throw refusal.code === 'newer' ? newer() : damaged(refusal.message);
  if (shelf === 'takes') askFrames(thing as Take, sound?.length ?? null, entry.name);
  // The check has just said that the thing belongs on the shelf.
  return { shelf, thing } as Placed;
}

function askFrames({ pieces, frames }: Take, sound: number | null, name: string): void {
  if (sound === (pieces === 0 ? null : frames)) return;
  const found = sound === null ? 'no sound' : `${sound} samples of sound`;
  throw damaged(`${placeWords(name)} has ${found}; expected ${pieces === 0 ? 'none' : frames}`);
}

function rateOf(value: unknown): number {
  const rate = Object(value).sampleRate as unknown;
  return typeof rate === 'number' ? rate : Number.NaN;
}

function jsonOf(bytes: Uint8Array, name: string): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes)) as unknown;
  } catch {
    throw damaged(`${placeWords(name)} cannot be read`);
  }
}

async function askRoom(store: Store, sounding: readonly { readonly take: Take }[]): Promise<void> {
  const { left } = await store.room();
  const needed = sounding.reduce((sum, { take }) => sum + take.frames * 2, 0);
  if (left === null || needed <= left) return;
  const megabytes = (bytes: number) => `${Math.ceil(bytes / 1e6)} MB`;
  throw new StoreError(
    'full',
    `Its sound needs ${megabytes(needed)}, and ${megabytes(left)} are left on this device. Nothing was changed here.`,
    'Make room on the device or drop the sound of earlier visits, then try again.',
  );
}

/** Sound first, which nothing shows without its take; then all things at once. */
async function bringIn(
  store: Store,
  fresh: readonly Placed[],
  sounding: readonly { readonly take: Take; readonly entry: ZipEntry }[],
  zip: ZipReading,
  { signal, soundWithoutTake }: RestoreOptions,
): Promise<void> {
  // Sound of these takes without the takes is what an interrupted restoring left; the backup has it whole.
  const left = new Set((await store.orphans()).map(({ takeId }) => takeId));
  const begun: string[] = [];
  soundWithoutTake?.(sounding.map(({ take }) => take.id));
  try {
    for (const { take, entry } of sounding) {
      signal?.throwIfAborted();
      if (left.has(take.id)) await store.dropOrphan(take.id);
      const sound = fromWav(await zip.read(entry), take.sampleRate);
      if (sound === null || sound.length !== take.frames) throw damaged('It was changed while it was read');
      begun.push(take.id);
      for (let index = 0; index < take.pieces; index++) {
        const [from, to] = [index, index + 1].map((part) => Math.floor((part * sound.length) / take.pieces));
        await store.addPiece({ takeId: take.id, index, samples: sound.slice(from, to) });
      }
    }
    signal?.throwIfAborted();
    await store.bringIn(fresh);
    soundWithoutTake?.([]);
  } catch (failure) {
    const stay: string[] = [];
    for (const takeId of begun) {
      // A store that fails altogether keeps it as sound without a take, which is removed when the page opens.
      await store.dropOrphan(takeId).catch(() => stay.push(takeId));
    }
    soundWithoutTake?.(stay);
    throw failure;
  }
}
