/**
 * What to mind, tied to the places where the work is named: screens, and work with the action in place, half out or on the
 * bench. Short, and the maker and the technician first.
 */

import { NO_SOURCE, type Place, type Sourced } from './grades.ts';
import { ACTION, type Part } from './regulation.ts';

/** Where a caution can be shown: a screen, or work done at a place. Closed list. */
export const CAUTION_SPOTS = [
  'readiness',
  'sound check',
  'listening',
  'note',
  'worklist',
  'report',
  'in the piano',
  'half out',
  'on the bench',
] as const satisfies readonly (Place | string)[];
export type CautionSpot = (typeof CAUTION_SPOTS)[number];

/** A warning, with what it rests on and where it is shown. */
export interface Caution extends Sourced {
  readonly text: string;
  readonly shows: readonly CautionSpot[];
}

export const CAUTIONS = {
  stop: {
    text: 'If the note jams or clicks, stop playing it until it has been looked at.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['listening', 'note', 'worklist'],
  },
  specification: {
    text: 'The maker\u2019s specification comes first; where you are not sure, leave it to a qualified technician.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['readiness', 'note', 'worklist', 'report', 'in the piano', 'half out', 'on the bench'],
  },
  localCodes: {
    text: 'Where local codes for work and lifting apply, they come before anything said here.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['readiness', 'report'],
  },
  clearTheWay: {
    text: 'Before the action slides, take out the fallboard, the key slip and the cheek blocks; a block may sit loosely on its pin and drop.',
    grade: 'published trade text',
    source: 'howardpianoindustries.com, 2023-04-18',
    shows: ['readiness', 'half out', 'on the bench'],
  },
  slide: {
    text: 'Never touch a key while the action slides out or in: a raised hammer catches at the pin block and breaks. Pull straight, by the wooden key frame.',
    grade: 'published trade text',
    source: 'howardpianoindustries.com, 2023-04-18',
    shows: ['worklist', 'half out', 'on the bench'],
  },
  ends: {
    text: 'Mind the end keys and the pedals\u2019 levers: nothing may bear on them, and where the action binds, stop and find out why.',
    grade: 'published trade text',
    source: 'pleyel25927 blog, of the end keys; the pedals\u2019 levers are common practice',
    shows: ['half out', 'on the bench'],
  },
  heavy: {
    text: 'The action is heavy: two people, and a clear, padded bench to set it on.',
    grade: 'published trade text',
    source: 'uremusic.org (one person at each end); the bench is common practice',
    shows: ['worklist', 'half out', 'on the bench'],
  },
  strings: {
    text: 'The strings are under tension: do not touch them or their pins.',
    grade: 'published trade text',
    source: 'uremusic.org, of the strings; the pins are common practice',
    shows: ['note', 'in the piano', 'half out', 'on the bench'],
  },
  onceOnly: {
    text: 'Turn a little, one thing at a time, and play the note again before the next.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['note', 'worklist', 'in the piano', 'half out', 'on the bench'],
  },
  nothingLoose: {
    text: 'Nothing loose above the open action: no phone, no microphone, no tool.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['sound check', 'readiness', 'in the piano', 'half out'],
  },
  handsAndBack: {
    text: 'The work takes hours: rest hands and back before they hurt, about every 20 minutes.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['readiness', 'listening', 'worklist', 'on the bench'],
  },
  hearing: {
    text: 'Loud blows again and again tire the ears and may harm them: play no louder than is asked, and protect them for seating blows.',
    grade: 'common practice',
    source: NO_SOURCE,
    shows: ['sound check', 'listening', 'worklist'],
  },
} as const satisfies Readonly<Record<string, Caution>>;

/** What is to be minded at a spot, to stop first; never empty. */
export function cautionsAt(spot: CautionSpot): Caution[] {
  const all: readonly Caution[] = Object.values(CAUTIONS);
  return all.filter(({ shows }) => shows.includes(spot));
}

/**
 * What to mind when these parts are looked at or turned, the shortest list that names the danger: never empty. With `jams`,
 * to stop comes first. All that belongs to a place of work: {@link cautionsAt}.
 */
export function cautionsFor(parts: readonly Part[], jams: boolean): Caution[] {
  const worked = parts.filter((part) => part !== 'hand');
  const cautions: Caution[] = jams ? [CAUTIONS.stop] : [];
  cautions.push(CAUTIONS.specification);
  if (worked.length === 0) return cautions;
  if (worked.some((part) => ACTION[part].where !== 'in the piano')) cautions.push(CAUTIONS.slide, CAUTIONS.heavy);
  cautions.push(CAUTIONS.strings, CAUTIONS.onceOnly);
  return cautions;
}
