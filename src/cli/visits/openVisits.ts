/**
 * The visits in a file: a backup as the app saves it (`evenfall.backup/1`, a ZIP), or one visit as JSON (`evenfall.visit/1`).
 *
 * Which of the two it is, its first bytes say. Everything is held against the record's schemas; older things are brought up to date.
 */

import { readFile } from 'node:fs/promises';
import { readVisitFile, VisitFileError } from '../../report/visitFile.ts';
import type { VisitThings } from '../../report/visit.ts';
import { readBackup } from '../../storage/backup/readBackup.ts';
import { memoryStore } from '../../storage/memoryStore.ts';
import { StoreError, type Store } from '../../storage/store.ts';
import { STANDARD_INPUT } from '../input.ts';
import { Refusal, systemCode } from '../refusal.ts';

export interface OpenedVisit {
  readonly things: VisitThings;
  /** The piano and its sound are invented. */
  readonly invented: boolean;
  /** A take's sound; null where the file has none of it. */
  sound(takeId: string): Promise<Int16Array<ArrayBuffer> | null>;
}

const EXPECTED = 'a backup made by the app, or a visit (evenfall.visit/1)';

/**
 * All visits of a file, the oldest first; at least one.
 * @param name - of the file; `-` for standard input
 * @throws Refusal naming the file, what was found and what was expected.
 */
export async function openVisits(name: string): Promise<OpenedVisit[]> {
  const bytes = await bytesOf(name);
  if (bytes.length === 0) throw new Refusal(name, 'an empty file', EXPECTED);
  const visits = bytes[0] === 0x50 && bytes[1] === 0x4b ? await fromBackup(name, bytes) : fromJson(name, bytes);
  if (visits.length === 0) throw new Refusal(name, 'a backup without a visit', 'one with at least one visit');
  return visits.sort((a, b) => Date.parse(a.things.visit.startedAt) - Date.parse(b.things.visit.startedAt));
}

/**
 * One of them: the newest, or the one named.
 * @param wanted - its number from 1, as {@link openVisits} orders them, or its id
 * @throws Refusal where there is no such visit.
 */
export function chosenVisit(name: string, visits: readonly OpenedVisit[], wanted: string | undefined): OpenedVisit {
  if (wanted === undefined) return visits[visits.length - 1];
  const found = visits.find(({ things }) => things.visit.id === wanted) ?? visits[Number(wanted) - 1];
  if (found) return found;
  const expected = `1${visits.length > 1 ? ` to ${visits.length}` : ''}, or an id: --list shows them`;
  throw new Refusal(`--visit ${wanted}`, `no such visit in ${name}`, expected);
}

function fromJson(name: string, bytes: Uint8Array): OpenedVisit[] {
  try {
    const { invented, ...things } = readVisitFile(new TextDecoder().decode(bytes));
    return [{ things, invented, sound: async () => null }];
  } catch (error) {
    if (!(error instanceof VisitFileError)) throw error;
    throw new Refusal(name, error.found, error.expected);
  }
}

async function fromBackup(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<OpenedVisit[]> {
  const store = memoryStore();
  try {
    await readBackup(store, new Blob([bytes]));
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    if (error.code === 'newer')
      throw new Refusal(name, 'a backup from a newer Evenfall', 'one that this one knows: update it');
    throw new Refusal(name, `a backup that cannot be read (${error.message.replace(/\.$/, '')})`, EXPECTED);
  }
  const visits = await store.list('visits');
  return Promise.all(visits.map((visit) => opened(name, store, visit)));
}

async function opened(name: string, store: Store, visit: VisitThings['visit']): Promise<OpenedVisit> {
  const piano = await store.get('pianos', visit.pianoId);
  if (piano === null) throw new Refusal(name, `visit ${visit.id} without its piano`, EXPECTED);
  const of = { visitId: visit.id };
  const things: VisitThings = {
    ...{ piano, visit },
    rounds: await store.list('rounds', of),
    takes: await store.list('takes', of),
    adjustments: await store.list('adjustments', of),
    gauges: await store.list('gauges', of),
    marks: await store.list('marks', of),
    hours: await store.list('hours', of),
    reference: visit.referenceId === null ? null : await store.get('references', visit.referenceId),
  };
  return { things, invented: false, sound: (takeId) => store.sound(takeId) };
}

async function bytesOf(name: string): Promise<Uint8Array<ArrayBuffer>> {
  if (name === STANDARD_INPUT) {
    if (process.stdin.isTTY) throw new Refusal('-', 'a terminal', `${EXPECTED}, piped in`);
    const pieces: Uint8Array[] = [];
    for await (const piece of process.stdin) pieces.push(piece as Uint8Array);
    return new Uint8Array(Buffer.concat(pieces));
  }
  try {
    return new Uint8Array(await readFile(name));
  } catch (error) {
    const found: Readonly<Record<string, string>> = {
      ENOENT: 'no such file',
      ENOTDIR: 'no such file',
      EISDIR: 'a folder',
      EACCES: 'no permission to read it',
      EPERM: 'no permission to read it',
    };
    const code = systemCode(error);
    if (code === null) throw error;
    throw new Refusal(name, found[code] ?? `a file that cannot be read (${(error as Error).message})`, EXPECTED);
  }
}
