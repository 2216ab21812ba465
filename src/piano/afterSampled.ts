/**
 * After a round of sampled notes: how many notes of the piano may be affected, and which to hear next.
 *
 * The samples are chosen by custom and not drawn by lot, so the interval (Wilson's score interval, 95 %) holds only as far as the
 * other notes are like them. It says nothing about the rest or the repeats of any note that was not heard.
 */

import { wilsonInterval } from '../statistics/proportions.ts';
import type { MidiNote } from '../units.ts';
import { minutes, spread } from './notePlans.ts';
import type { NotePlan } from './plan.ts';
import { KEYS_88, sectionsOf, type Compass } from './sections.ts';

/** A note of the sampled round, as far as it was judged. */
export interface SampledNote {
  readonly midi: MidiNote;
  /** There were strokes enough to say anything of it. */
  readonly judged: boolean;
  /** It is to be seen to. */
  readonly flagged: boolean;
}

/** A share of notes, 0 to 1. */
export interface AffectedShare {
  readonly flagged: number;
  readonly judged: number;
  readonly share: number;
  /** 95 %. */
  readonly interval: readonly [number, number];
}

/** What a proposal rests on. Closed list. */
export const PROPOSALS = ['rest-of-compass', 'whole-sections', 'beside-flagged', 'by-need'] as const;

export interface Proposal {
  readonly kind: (typeof PROPOSALS)[number];
  /** Why these notes, a sentence. */
  readonly reason: string;
  readonly plan: NotePlan;
  readonly minutes: number;
}

/** Flagged samples of a section that make it be heard whole: so many, and at least half of those judged. */
const LEAST_IN_SECTION = 2;
const HALF = 0.5;
/** From so many sections on, and from such a share of all samples on, the whole compass is heard. */
const MOST_SECTIONS = 2;
const MOST_SHARE = 1 / 3;
/** A round of fewer notes has no hand of its own to be held against. */
const LEAST_NOTES = 12;

/** The share of affected notes among those judged, with its interval; null where none was judged. */
export function affectedShare(notes: readonly SampledNote[]): AffectedShare | null {
  const judged = notes.filter((note) => note.judged);
  if (judged.length === 0) return null;
  const flagged = judged.filter((note) => note.flagged).length;
  const { value, interval } = wilsonInterval(flagged, judged.length);
  return { flagged, judged: judged.length, share: value, interval };
}

/** The share in a sentence or two, with what it does not say. */
export function shareWords({ flagged, judged, interval }: AffectedShare): string {
  const [low, high] = interval.map((share) => Math.round(100 * share));
  const found = flagged === 0 ? 'None' : String(flagged);
  const verb = flagged > 1 ? 'are' : 'is';
  return (
    `${found} of ${judged} sampled notes ${verb} to be seen to. If the others are like them, that is ${low} to ${high} in 100 of ` +
    'this piano\u2019s notes. It says nothing about a note that was not heard.'
  );
}

/**
 * Which notes to hear next; null where all of the piano was heard. Sections of which the samples are flagged are heard whole; around any
 * other flagged note, what lies between it and the next samples; where much is flagged, or nothing is, the rest of the compass, in the
 * second case by need. Flagged notes are heard again, because their first strokes are no fair "before"; where notes are fewer than a
 * dozen, samples that were in order stand with them.
 *
 * @throws RangeError as `sectionsOf`
 */
export function afterSampled(
  notes: readonly SampledNote[],
  breaks: readonly MidiNote[],
  compass: Compass = KEYS_88,
): Proposal | null {
  const heard = new Set(notes.map(({ midi }) => midi));
  const flagged = notes.filter((note) => note.flagged && note.judged).map(({ midi }) => midi);
  const keys = keysOf(compass);
  const left = keys.filter((key) => !heard.has(key));
  if (left.length === 0) return null;
  if (flagged.length === 0) {
    const reason = 'No sampled note is flagged: hear the rest where every note has to be known.';
    return proposal('by-need', reason, 'compass', left);
  }
  const sections = sectionsOf(breaks, compass);
  const troubled = sections.filter(({ lowest, highest }) => {
    const own = notes.filter(({ midi, judged }) => judged && midi >= lowest && midi <= highest);
    const off = own.filter((note) => note.flagged).length;
    return off >= LEAST_IN_SECTION && off >= HALF * own.length;
  });
  const share = flagged.length / notes.filter(({ judged }) => judged).length;
  if (troubled.length > MOST_SECTIONS || (troubled.length > 0 && sections.length === 1) || share > MOST_SHARE) {
    const reason = `${flagged.length} sampled notes are flagged, over much of the compass: hear the rest.`;
    return proposal('rest-of-compass', reason, 'compass', [...left, ...flagged]);
  }
  const inSections = keys.filter((key) => troubled.some(({ lowest, highest }) => key >= lowest && key <= highest));
  const beside = flagged.filter((midi) => !inSections.includes(midi)).flatMap((midi) => around(midi, heard, keys));
  const asked = [...new Set([...inSections.filter((key) => !heard.has(key)), ...flagged, ...beside])];
  const inOrder = notes.filter((note) => note.judged && !note.flagged && !asked.includes(note.midi));
  const more = spread(
    inOrder.map(({ midi }) => midi).sort((a, b) => a - b),
    Math.max(0, LEAST_NOTES - asked.length),
  );
  if (troubled.length === 0) {
    const reason = 'What lies between a flagged note and the next samples may share what is wrong with it.';
    return proposal('beside-flagged', reason, 'hand-picked', [...asked, ...more]);
  }
  const named = troubled.map(({ name }) => name.toLowerCase()).join(' and ');
  const reason = `At least half of the samples of the ${named} are flagged: hear ${troubled.length > 1 ? 'those sections' : 'that section'} whole.`;
  const kind = troubled.length === 1 && beside.length === 0 ? 'section' : 'hand-picked';
  return proposal('whole-sections', reason, kind, [...asked, ...more]);
}

function proposal(
  kind: Proposal['kind'],
  reason: string,
  planKind: NotePlan['kind'],
  midis: readonly MidiNote[],
): Proposal {
  const steps = [...midis].sort((a, b) => a - b).map((midi) => ({ midi, asked: 'slow-fast' as const }));
  const plan = { kind: planKind, steps };
  return { kind, reason, plan, minutes: minutes(plan) };
}

/** The keys from a note to the next one heard on either side, those left out. */
function around(midi: MidiNote, heard: ReadonlySet<MidiNote>, keys: readonly MidiNote[]): MidiNote[] {
  const below = keys.filter((key) => key < midi).reverse();
  const above = keys.filter((key) => key > midi);
  return [below, above].flatMap((side) => {
    const end = side.findIndex((key) => heard.has(key));
    return end < 0 ? side : side.slice(0, end);
  });
}

function keysOf({ lowest, highest }: Compass): MidiNote[] {
  return Array.from({ length: highest - lowest + 1 }, (_, i) => lowest + i);
}
