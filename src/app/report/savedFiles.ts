/** Files for the player: among the browser's downloads. */

import { keyName } from '../../piano/keys.ts';
import type { ReportFont } from '../../report/html.ts';
import { visitTables } from '../../report/tables.ts';
import type { ReportedVisit } from '../../report/visit.ts';
import { ZipWriting } from '../../storage/backup/zipWriting.ts';
import type { Store } from '../../storage/store.ts';
import stampFont from '@fontsource-variable/besley/files/besley-latin-wght-normal.woff2?url';
import textFont from '@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2?url';

/** Hands a file over. */
export function saveFile(name: string, parts: readonly BlobPart[], type: string): void {
  const address = URL.createObjectURL(new Blob([...parts], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

/** The page's two fonts, to stand in a file; without those that cannot be had just now: the file then takes the reader's. */
export async function pageFonts(): Promise<ReportFont[]> {
  const fonts = [
    { use: 'text', address: textFont },
    { use: 'stamp', address: stampFont },
  ] as const;
  const found = await Promise.all(
    fonts.map(async ({ use, address }): Promise<ReportFont[]> => {
      const answer = await fetch(address).catch(() => null);
      if (!answer?.ok) return [];
      const bytes = new Uint8Array(await answer.arrayBuffer());
      return [{ use, data: `data:font/woff2;base64,${base64(bytes)}` }];
    }),
  );
  return found.flat();
}

function base64(bytes: Uint8Array): string {
  let letters = '';
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return btoa(letters);
}

/** The three tables as one ZIP. */
export async function tablesZip(reported: ReportedVisit, madeAt: string): Promise<Blob[]> {
  const encoder = new TextEncoder();
  return zipped(madeAt, async (zip) => {
    for (const { file, text } of visitTables(reported)) await zip.add(file, encoder.encode(text), true);
  });
}

/** The kept takes with their cue points as one ZIP, and how many there are. */
export async function soundZip(
  { rounds, takes }: ReportedVisit,
  store: Store,
  madeAt: string,
): Promise<{ readonly parts: Blob[]; readonly takes: number }> {
  // The decoders beside it come only now.
  const { takeCues, withCuePoints, writeKept } = await import('../../soundfiles/index.ts');
  const numbers = new Map(rounds.map(({ id, number }) => [id, number]));
  let count = 0;
  const parts = await zipped(madeAt, async (zip) => {
    for (const take of takes) {
      const samples = take.pieces === 0 ? null : await store.sound(take.id);
      if (samples === null) continue;
      const note = keyName(take.midi).replace('#', '-sharp-');
      const name = `round-${numbers.get(take.roundId) ?? 0}-take-${String(take.number).padStart(3, '0')}-${note}.wav`;
      await zip.add(name, withCuePoints(writeKept(samples, take.sampleRate), takeCues(take)), false);
      count++;
    }
  });
  return { parts, takes: count };
}

/** Blobs may lie on the disk, lists of bytes lie in memory: every part becomes one at once. */
async function zipped(madeAt: string, fill: (zip: ZipWriting) => Promise<void>): Promise<Blob[]> {
  const parts: Blob[] = [];
  const zip = new ZipWriting({ write: async (bytes) => void parts.push(new Blob([bytes])) }, madeAt);
  await fill(zip);
  await zip.end();
  return parts;
}
