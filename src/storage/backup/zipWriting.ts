/** A ZIP file written from its beginning to its end, one file after the other; see `zipFormat.ts`. */

import { deflateSync } from 'fflate';
import { StoreError } from '../store.ts';
import { crc32 } from './crc32.ts';
import { BEYOND, bytesOfEntry, directory, dosTime, localHeader, type ZipEntry } from './zipFormat.ts';

/** Takes bytes one after the other, and may make the writer wait. A `FileSystemWritableFileStream` is one. */
export interface BackupSink {
  write(bytes: Uint8Array<ArrayBuffer>): Promise<void>;
}

export class ZipWriting {
  readonly entries: ZipEntry[] = [];
  /** Checksum of each entry's bytes as they stand in the ZIP: its own list has only that of the unpacked ones. */
  readonly packedCrcs: number[] = [];
  /** Bytes written. */
  at = 0;
  readonly #sink: BackupSink;
  readonly #time: number;

  /** @param madeAt - ISO 8601 in UTC: the time that every file bears */
  constructor(sink: BackupSink, madeAt: string) {
    this.#sink = sink;
    this.#time = dosTime(madeAt);
  }

  /**
   * Writes one file; text is deflated, sound is not: noise hardly gets smaller, and a phone would spend seconds on it.
   * @throws StoreError `failed` for 4 GB and more.
   */
  async add(name: string, bytes: Uint8Array<ArrayBuffer>, deflated: boolean): Promise<void> {
    if (bytes.length >= BEYOND) throw new StoreError('failed', `${name} has 4 GB or more`, 'Leave its sound out.');
    const packed = deflated ? (deflateSync(bytes) as Uint8Array<ArrayBuffer>) : bytes;
    const entry: ZipEntry = {
      name,
      method: deflated ? 8 : 0,
      crc: crc32(bytes),
      packed: packed.length,
      size: bytes.length,
      offset: this.at,
    };
    await this.#sink.write(localHeader(entry, this.#time));
    if (packed.length > 0) await this.#sink.write(packed);
    this.entries.push(entry);
    this.packedCrcs.push(deflated ? crc32(packed) : entry.crc);
    this.at += bytesOfEntry(entry);
  }

  /** Writes the list of contents. */
  async end(): Promise<void> {
    const bytes = directory(this.entries, this.#time, this.at);
    await this.#sink.write(bytes);
    this.at += bytes.length;
  }
}
