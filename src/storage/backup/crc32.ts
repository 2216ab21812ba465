/** The checksum of ZIP: CRC-32 (polynomial 0xEDB88320, reflected). Source: PKWARE APPNOTE 6.3.10, 4.4.7. */

/** Bytes taken at once: a backup is held against its checksums twice, and one byte at a time is much slower. */
const AT_ONCE = 4;

const TABLE = Int32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  return rest;
});

/** What a byte does that has so many others of the four after it (Sarwate's table, applied again). */
const AFTER = [TABLE];
for (let n = 1; n < AT_ONCE; n++) AFTER.push(AFTER[n - 1].map((rest) => (rest >>> 8) ^ TABLE[rest & 0xff]));
const [AFTER_0, AFTER_1, AFTER_2, AFTER_3] = AFTER;

/** The checksum of these bytes, 0 to 0xFFFFFFFF. */
export function crc32(bytes: Uint8Array): number {
  let rest = -1;
  let at = 0;
  for (const end = bytes.length - AT_ONCE; at <= end; at += AT_ONCE) {
    const word = rest ^ (bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16) | (bytes[at + 3] << 24));
    rest = AFTER_3[word & 0xff] ^ AFTER_2[(word >>> 8) & 0xff] ^ AFTER_1[(word >>> 16) & 0xff] ^ AFTER_0[word >>> 24];
  }
  for (; at < bytes.length; at++) rest = TABLE[(rest ^ bytes[at]) & 0xff] ^ (rest >>> 8);
  return (rest ^ 0xffffffff) >>> 0;
}
