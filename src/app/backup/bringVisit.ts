/** One visit brought in from its JSON file (`evenfall.visit/1`), beside what a backup brings: the same rules, without sound. */

import { bringThings, type BroughtIn } from '../../storage/backup/againstHere.ts';
import { nameOf, placeWords } from '../../storage/backup/contents.ts';
import { damaged } from '../../storage/backup/zipReading.ts';
import { StoreError, type Placed, type Store } from '../../storage/store.ts';
import { readVisitFile, VisitFileError, type VisitFile } from '../../report/visitFile.ts';

/** True for a file that is JSON by its first letter, whatever it is called. */
export async function isJson(file: Blob): Promise<boolean> {
  return /^\uFEFF?\s*[{[]/.test(await file.slice(0, 64).text());
}

/**
 * Brings in what is missing here of the visit; what is here stays as it is.
 * @throws StoreError (as a rejection): `newer` or `damaged` for the file, what the store throws. The record is as it was then.
 */
export async function bringVisit(store: Store, text: string): Promise<BroughtIn> {
  const file = readOf(text);
  if (file.invented)
    throw damaged('It is the example, which is invented: it opens from the start page and is not kept');
  const { piano, visit, reference, rounds, takes, adjustments, gauges, marks, hours } = file;
  const things: Placed[] = [
    { shelf: 'pianos', thing: piano },
    ...(reference === null ? [] : [{ shelf: 'references', thing: reference } as const]),
    { shelf: 'visits', thing: visit },
    ...rounds.map((thing) => ({ shelf: 'rounds', thing }) as const),
    // The file has no sound, so none is promised.
    ...takes.map((thing) => ({ shelf: 'takes', thing: { ...thing, pieces: 0 } }) as const),
    ...adjustments.map((thing) => ({ shelf: 'adjustments', thing }) as const),
    ...gauges.map((thing) => ({ shelf: 'gauges', thing }) as const),
    ...marks.map((thing) => ({ shelf: 'marks', thing }) as const),
    ...hours.map((thing) => ({ shelf: 'hours', thing }) as const),
  ];
  const places = new Map<object, string>();
  const seen = new Set<string>();
  for (const [i, { shelf, thing }] of things.entries()) {
    const number = i + 1 - things.findIndex((one) => one.shelf === shelf);
    const place = placeWords(nameOf(shelf, number, shelf === 'pianos' || shelf === 'references' ? null : 1));
    if (seen.has(`${shelf} ${thing.id}`)) throw damaged(`It holds ${place} twice`);
    seen.add(`${shelf} ${thing.id}`);
    places.set(thing, place);
  }
  const known = new Set(rounds.map(({ id }) => id));
  const stray = takes.find(({ roundId }) => !known.has(roundId));
  if (stray) throw damaged(`It holds take ${stray.number} of a round that is not in it`);
  return bringThings(store, things, ({ thing }) => places.get(thing)!);
}

function readOf(text: string): VisitFile {
  try {
    return readVisitFile(text);
  } catch (error) {
    if (!(error instanceof VisitFileError)) throw error;
    if (error.newer) {
      const message = 'This backup comes from a newer Evenfall. Nothing was changed here.';
      throw new StoreError('newer', message, 'Update this app first.');
    }
    throw damaged(`It is no visit that can be brought in: ${error.found}; expected ${error.expected}`);
  }
}
