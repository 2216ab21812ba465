/** A ZIP file that `zipWriting.ts` wrote, read by pieces of a file and held against what it should be, byte for byte. */

import { inflateSync } from 'fflate';
import { StoreError } from '../store.ts';
import { crc32 } from './crc32.ts';
import { placeOf, placeWords } from './contents.ts';
import {
  BEYOND,
  bytesOfEntry,
  CENTRAL,
  CENTRAL_BYTES,
  directory,
  END,
  END64,
  END64_BYTES,
  END_BYTES,
  LOCAL,
  LOCAL_BYTES,
  localHeader,
  LOCATOR64,
  LOCATOR64_BYTES,
  type ZipEntry,
} from './zipFormat.ts';

/** What is read: bytes that can be taken from anywhere. Every `Blob` and `File` is one. */
export interface BackupFile {
  readonly size: number;
  /** As many of these bytes as there are. */
  slice(from: number, to: number): { arrayBuffer(): Promise<ArrayBuffer> };
}

export interface ZipReading {
  /** As the list of contents says. */
  readonly entries: readonly ZipEntry[];
  /**
   * A file's bytes, unpacked.
   * @param packedCrc - of the bytes in the ZIP, where known: the last bits of deflated ones say nothing, and are held to it all the same
   * @throws StoreError `damaged` unless they are those that were written.
   */
  read(entry: ZipEntry, packedCrc?: number): Promise<Uint8Array<ArrayBuffer>>;
  /** Asks that headers and list of contents are as written, with nothing between, before or after. @throws StoreError `damaged` */
  askExact(): Promise<void>;
}

/** Why a backup is not read: the sentence, without its full stop, and that nothing was changed. */
export function damaged(sentence: string): StoreError {
  const begun = `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}`;
  return new StoreError('damaged', `${begun}. Nothing was changed here.`, 'Choose another backup.');
}

/** Opens a ZIP file. @throws StoreError `damaged`, saying where it ends if it was cut off. */
export async function openZip(file: BackupFile): Promise<ZipReading> {
  const listed = await contentsOf(file);
  if (listed === null) throw damaged(await whereItEnds(file));
  const { entries, time, at, bytes } = listed;

  const read = async (entry: ZipEntry, packedCrc?: number) => {
    const from = entry.offset + LOCAL_BYTES + entry.name.length;
    const packed = await bytesOf(file, from, from + entry.packed);
    const asWritten = packedCrc === undefined || entry.method === 0 || crc32(packed) === packedCrc;
    const whole = entry.method === 8 ? inflated(packed, entry.size) : packed;
    if (!asWritten || whole === null || whole.length !== entry.size || crc32(whole) !== entry.crc) {
      throw damaged(`${placeWords(entry.name)} is damaged`);
    }
    return whole;
  };

  return {
    entries,
    read,
    askExact: async () => {
      let next = 0;
      for (const entry of entries) {
        const header = localHeader(entry, time);
        const found = entry.offset === next ? await bytesOf(file, next, next + header.length) : null;
        if (found === null || !same(found, header)) throw damaged(`${placeWords(entry.name)} is damaged`);
        next += bytesOfEntry(entry);
      }
      if (next !== at || !same(bytes, directory(entries, time, at))) throw damaged(LIST_DAMAGED);
    },
  };
}

const LIST_DAMAGED = 'Its list of contents is damaged';

interface Listed {
  readonly entries: ZipEntry[];
  /** Of the first file, as ZIP writes it. */
  readonly time: number;
  /** Where the list begins. */
  readonly at: number;
  /** From there to the end. */
  readonly bytes: Uint8Array;
}

/** The list of contents as far as it can be read; null where none stands at the end. */
async function contentsOf(file: BackupFile): Promise<Listed | null> {
  const end = await viewOf(file, file.size - END_BYTES, file.size);
  if (end === null || end.getUint32(0, true) !== END) return null;
  let at = end.getUint32(16, true);
  if (at === BEYOND) {
    const locator = await viewOf(file, file.size - END_BYTES - LOCATOR64_BYTES, file.size - END_BYTES);
    if (locator === null || locator.getUint32(0, true) !== LOCATOR64) throw damaged(LIST_DAMAGED);
    const place = Number(locator.getBigUint64(8, true));
    const end64 = await viewOf(file, place, place + END64_BYTES);
    if (end64 === null || end64.getUint32(0, true) !== END64) throw damaged(LIST_DAMAGED);
    at = Number(end64.getBigUint64(48, true));
  }
  if (at > file.size) throw damaged(LIST_DAMAGED);
  const bytes = await bytesOf(file, at, file.size);
  const view = new DataView(bytes.buffer);
  const entries: ZipEntry[] = [];
  let place = 0;
  let time = 0;
  while (place + CENTRAL_BYTES <= bytes.length && view.getUint32(place, true) === CENTRAL) {
    const nameEnd = place + CENTRAL_BYTES + view.getUint16(place + 28, true);
    const extra = view.getUint16(place + 30, true);
    const method = view.getUint16(place + 10, true);
    let offset = view.getUint32(place + 42, true);
    if (nameEnd + extra > bytes.length || (method !== 0 && method !== 8)) throw damaged(LIST_DAMAGED);
    if (offset === BEYOND) {
      if (extra < 12) throw damaged(LIST_DAMAGED);
      offset = Number(view.getBigUint64(nameEnd + 4, true));
    }
    if (entries.length === 0) time = view.getUint32(place + 12, true);
    entries.push({
      name: String.fromCharCode(...bytes.subarray(place + CENTRAL_BYTES, nameEnd)),
      method,
      crc: view.getUint32(place + 16, true),
      packed: view.getUint32(place + 20, true),
      size: view.getUint32(place + 24, true),
      offset,
    });
    place = nameEnd + extra;
  }
  return { entries, time, at, bytes };
}

/** Walks a file that has no list of contents from its beginning, and says where it stops. */
async function whereItEnds(file: BackupFile): Promise<string> {
  let at = 0;
  let last: string | null = null;
  for (;;) {
    const header = await viewOf(file, at, at + LOCAL_BYTES);
    if (header === null || header.getUint32(0, true) !== LOCAL) {
      if (at === 0) return 'It is no backup of Evenfall';
      const listed = (await viewOf(file, at, at + 4))?.getUint32(0, true) === CENTRAL;
      return listed ? 'It ends within its list of contents' : endSentence(last);
    }
    const nameEnd = at + LOCAL_BYTES + header.getUint16(26, true);
    last = String.fromCharCode(...(await bytesOf(file, at + LOCAL_BYTES, nameEnd)));
    if (at === 0 && placeOf(last) === null) return 'It is no backup of Evenfall';
    at = nameEnd + header.getUint16(28, true) + header.getUint32(18, true);
    if (at >= file.size) return endSentence(last);
  }
}

function endSentence(name: string | null): string {
  const place = name === null ? null : placeOf(name);
  if (place?.visit != null) return `It ends in the middle of visit ${place.visit}`;
  return place === null ? 'It ends before its list of contents' : `It ends in the middle of ${placeWords(name!)}`;
}

/** Unpacked; null where it cannot be, or is longer than said: nobody's memory is filled by a small file. */
function inflated(packed: Uint8Array, size: number): Uint8Array<ArrayBuffer> | null {
  try {
    return inflateSync(packed, { out: new Uint8Array(size) }) as Uint8Array<ArrayBuffer>;
  } catch {
    return null;
  }
}

function same(a: Uint8Array, b: Uint8Array): boolean {
  return a.length === b.length && a.every((byte, i) => byte === b[i]);
}

/** As many of these bytes as there are. */
async function bytesOf(file: BackupFile, from: number, to: number): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await file.slice(from, to).arrayBuffer());
}

/** These bytes; null where the file does not have them all. */
async function viewOf(file: BackupFile, from: number, to: number): Promise<DataView | null> {
  if (from < 0 || to > file.size) return null;
  return new DataView(await file.slice(from, to).arrayBuffer());
}
