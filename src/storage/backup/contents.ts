/**
 * What stands in a backup, and under which names.
 *
 * One file a thing, and beside a take or a template its sound: neither writing nor reading ever holds more than one thing with its
 * sound, damage is told by the thing that it hit, and a person finds the sound of one take with any ZIP program. All of a
 * visit stands in one folder, in the order in which it was made, so that a backup that was cut off says in which visit.
 * `manifest.json` stands last: it lists the others with their checksums.
 */

import type { Shelf } from '../../record/types.ts';
import { OF_VISIT } from '../store.ts';

export const BACKUP_SCHEMA = 'evenfall.backup/1';
export const MANIFEST = 'manifest.json';

/** `manifest.json`. */
export interface Manifest {
  readonly schema: typeof BACKUP_SCHEMA;
  /** Of the things in it. */
  readonly recordVersion: number;
  /** Of the analyses that made its numbers, in order. */
  readonly analysisVersions: readonly string[];
  /** UTC, ISO 8601. */
  readonly madeAt: string;
  /** Things of each kind. */
  readonly counts: Readonly<Record<Shelf, number>>;
  /** Every other file, in the order in which they stand: name, bytes, bytes as packed, CRC-32 of those. */
  readonly files: readonly (readonly [string, number, number, number])[];
}

/** What belongs to no one visit. */
export const COMMON = ['pianos', 'references', 'templates'] as const;

/** Nothing of any kind. */
export function noCounts(): Record<Shelf, number> {
  const counts = { pianos: 0, visits: 0, rounds: 0, takes: 0, templates: 0, references: 0 };
  return { ...counts, adjustments: 0, gauges: 0, marks: 0, hours: 0 };
}

const VISIT = /^visits\/([1-9]\d*)\/visit\.json$/;
const COMMON_THING = /^(pianos|references|templates)\/([1-9]\d*)\.(json|wav)$/;
const VISITS_THING = new RegExp(String.raw`^visits/([1-9]\d*)/(${OF_VISIT.join('|')})/([1-9]\d*)\.(json|wav)$`);
const SOUNDING: readonly Shelf[] = ['takes', 'templates'];

export interface Place {
  readonly shelf: Shelf;
  /** From 1, in the order of the backup; for a visit its own number. */
  readonly number: number;
  /** Of the folder that it stands in. */
  readonly visit: number | null;
  readonly sound: boolean;
}

/** What a file name says; null for one that no backup holds. */
export function placeOf(name: string): Place | null {
  const visit = VISIT.exec(name);
  if (visit) return { shelf: 'visits', number: Number(visit[1]), visit: Number(visit[1]), sound: false };
  const [within, shelf, number, ending] = VISITS_THING.exec(name)?.slice(1) ?? [
    null,
    ...(COMMON_THING.exec(name)?.slice(1) ?? []),
  ];
  if (typeof shelf !== 'string') return null;
  const sound = ending === 'wav';
  if (sound && !SOUNDING.includes(shelf as Shelf)) return null;
  return { shelf: shelf as Shelf, number: Number(number), visit: within === null ? null : Number(within), sound };
}

const WORDS: Readonly<Record<Shelf, string>> = {
  pianos: 'piano',
  visits: 'visit',
  rounds: 'round',
  takes: 'take',
  templates: 'note template',
  references: 'hand reference',
  adjustments: 'adjustment',
  gauges: 'gauge reading',
  marks: 'mark of the worklist',
  hours: 'stretch of work',
};

/** "the sound of take 12 in visit 3". */
export function placeWords(name: string): string {
  const place = placeOf(name);
  if (place === null) return name === MANIFEST ? 'its list of contents' : `"${name}"`;
  const thing = `${WORDS[place.shelf]} ${place.number}`;
  const within = place.visit === null || place.shelf === 'visits' ? '' : ` in visit ${place.visit}`;
  return `${place.sound ? 'the sound of ' : ''}${thing}${within}`;
}

/** The name of a thing's file. */
export function nameOf(shelf: Shelf, number: number, visit: number | null): string {
  if (shelf === 'visits') return `visits/${number}/visit.json`;
  return visit === null ? `${shelf}/${number}.json` : `visits/${visit}/${shelf}/${number}.json`;
}

/** The name of the sound beside it. */
export function soundNameOf(name: string): string {
  return name.replace(/json$/, 'wav');
}
