/**
 * The headers of a ZIP file, as a backup writes them, and no others: a reader makes them anew from what it read and holds them
 * against the file, so that not one byte of it goes unchecked.
 *
 * Sizes and checksum stand before each file's bytes (no data descriptors), so that a file that was cut off can be walked
 * through from its beginning. From 4 GB on, and from 65,535 files on, the ZIP64 records are written, which fflate does not do.
 *
 * Source: PKWARE APPNOTE 6.3.10, sections 4.3.7, 4.3.12, 4.3.14 to 4.3.16, 4.5.3.
 */

/** One file in the ZIP. */
export interface ZipEntry {
  /** ASCII, folders parted by "/". */
  readonly name: string;
  /** 0: as it is; 8: deflated. */
  readonly method: 0 | 8;
  /** Of the file's bytes, unpacked. */
  readonly crc: number;
  /** Bytes in the ZIP; below 4 GB. */
  readonly packed: number;
  /** Bytes unpacked; below 4 GB. */
  readonly size: number;
  /** Where its header stands. */
  readonly offset: number;
}

export const LOCAL = 0x04034b50;
export const CENTRAL = 0x02014b50;
export const END = 0x06054b50;
export const END64 = 0x06064b50;
export const LOCATOR64 = 0x07064b50;
export const LOCAL_BYTES = 30;
export const CENTRAL_BYTES = 46;
export const END_BYTES = 22;
export const END64_BYTES = 56;
export const LOCATOR64_BYTES = 20;
/** Stands where the number is in a ZIP64 record instead. */
export const BEYOND = 0xffffffff;
export const BEYOND_COUNT = 0xffff;
const OFFSET_EXTRA_BYTES = 12;
const VERSION = 20;
const VERSION64 = 45;

/** Bytes of an entry's header and of what it holds. */
export function bytesOfEntry({ name, packed }: ZipEntry): number {
  return LOCAL_BYTES + name.length + packed;
}

/** Day and time as ZIP writes them (two 16-bit fields, two seconds fine), from ISO 8601. */
export function dosTime(iso: string): number {
  const [year, month, day, hour, minute, second] = iso.split(/\D+/).map(Number);
  const date = (Math.min(127, Math.max(0, year - 1980)) << 9) | (month << 5) | day;
  return ((date << 16) | (hour << 11) | (minute << 5) | (second >> 1)) >>> 0;
}

/** What stands before an entry's bytes. */
export function localHeader(entry: ZipEntry, time: number): Uint8Array<ArrayBuffer> {
  const { bytes, view } = blank(LOCAL_BYTES + entry.name.length);
  view.setUint32(0, LOCAL, true);
  view.setUint16(4, VERSION, true);
  common(view, 8, entry, time);
  letters(bytes, LOCAL_BYTES, entry.name);
  return bytes;
}

/** All that follows the last entry: the list of contents and the end. `at` is where it stands. */
export function directory(entries: readonly ZipEntry[], time: number, at: number): Uint8Array<ArrayBuffer> {
  const listed = entries.map((entry) => centralHeader(entry, time));
  const size = listed.reduce((sum, { length }) => sum + length, 0);
  const big = at >= BEYOND || entries.length >= BEYOND_COUNT;
  const { bytes, view } = blank(size + (big ? END64_BYTES + LOCATOR64_BYTES : 0) + END_BYTES);
  let place = 0;
  for (const header of listed) {
    bytes.set(header, place);
    place += header.length;
  }
  if (big) {
    view.setUint32(place, END64, true);
    view.setBigUint64(place + 4, BigInt(END64_BYTES - 12), true);
    view.setUint16(place + 12, VERSION64, true);
    view.setUint16(place + 14, VERSION64, true);
    view.setBigUint64(place + 24, BigInt(entries.length), true);
    view.setBigUint64(place + 32, BigInt(entries.length), true);
    view.setBigUint64(place + 40, BigInt(size), true);
    view.setBigUint64(place + 48, BigInt(at), true);
    view.setUint32(place + END64_BYTES, LOCATOR64, true);
    view.setBigUint64(place + END64_BYTES + 8, BigInt(at + place), true);
    view.setUint32(place + END64_BYTES + 16, 1, true);
    place += END64_BYTES + LOCATOR64_BYTES;
  }
  const count = big ? BEYOND_COUNT : entries.length;
  view.setUint32(place, END, true);
  view.setUint16(place + 8, count, true);
  view.setUint16(place + 10, count, true);
  view.setUint32(place + 12, size, true);
  view.setUint32(place + 16, big ? BEYOND : at, true);
  return bytes;
}

function centralHeader(entry: ZipEntry, time: number): Uint8Array {
  const far = entry.offset >= BEYOND;
  const end = CENTRAL_BYTES + entry.name.length;
  const { bytes, view } = blank(end + (far ? OFFSET_EXTRA_BYTES : 0));
  view.setUint32(0, CENTRAL, true);
  view.setUint16(4, far ? VERSION64 : VERSION, true);
  view.setUint16(6, far ? VERSION64 : VERSION, true);
  common(view, 10, entry, time);
  view.setUint16(30, far ? OFFSET_EXTRA_BYTES : 0, true);
  view.setUint32(42, far ? BEYOND : entry.offset, true);
  letters(bytes, CENTRAL_BYTES, entry.name);
  if (far) {
    view.setUint16(end, 1, true);
    view.setUint16(end + 2, OFFSET_EXTRA_BYTES - 4, true);
    view.setBigUint64(end + 4, BigInt(entry.offset), true);
  }
  return bytes;
}

/** From the method to the length of the name: the same in both headers. */
function common(view: DataView, at: number, { name, method, crc, packed, size }: ZipEntry, time: number): void {
  view.setUint16(at, method, true);
  view.setUint32(at + 2, time, true);
  view.setUint32(at + 6, crc, true);
  view.setUint32(at + 10, packed, true);
  view.setUint32(at + 14, size, true);
  view.setUint16(at + 18, name.length, true);
}

function blank(length: number) {
  const bytes = new Uint8Array(length);
  return { bytes, view: new DataView(bytes.buffer) };
}

function letters(bytes: Uint8Array, at: number, text: string): void {
  for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
}
