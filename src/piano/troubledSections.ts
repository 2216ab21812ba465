/**
 * Sections of which many notes are off: bedding, rails and the room's climate come there before any single note.
 */

import type { MidiNote } from '../units.ts';
import { SECTION_LOOKS } from './looks.ts';
import type { PlanKind } from './plan.ts';
import { sectionsOf, type Compass, type Section } from './sections.ts';

/** So many notes, and so large a share of those heard, are many (common practice, no source). */
const LEAST_FLAGGED = 4;
const LEAST_SHARE = 0.5;

/** Plans that choose no note for what was heard of it before: only of their rounds a share of flagged notes says anything. */
export const UNCHOSEN: readonly PlanKind[] = ['free', 'sampled', 'section', 'compass'];

export interface TroubledSection {
  readonly section: Section;
  readonly flagged: number;
  readonly heard: number;
  /** Why single notes can wait, a sentence. */
  readonly reason: string;
}

/**
 * The sections of which at least four notes, and at least half of those heard, are flagged; from bass to treble.
 *
 * @param heard - notes heard in a round, each once
 * @throws RangeError as {@link sectionsOf}
 */
export function troubledSections(
  heard: readonly { readonly midi: MidiNote; readonly flagged: boolean }[],
  breaks: readonly MidiNote[],
  compass?: Compass,
): TroubledSection[] {
  return sectionsOf(breaks, compass).flatMap((section) => {
    const own = heard.filter(({ midi }) => midi >= section.lowest && midi <= section.highest);
    const flagged = own.filter((note) => note.flagged).length;
    if (flagged < LEAST_FLAGGED || flagged < LEAST_SHARE * own.length) return [];
    const reason = `${flagged} of ${own.length} notes heard in the ${section.name.toLowerCase()} are to be seen to: what they share may come first.`;
    return [{ section, flagged, heard: own.length, reason }];
  });
}

/** "7 of 12 notes heard in the tenor are off: climate, bedding and rail first." */
export function sectionLine({ section, flagged, heard }: TroubledSection): string {
  const parts = SECTION_LOOKS.map(({ part }) => part);
  const first = `${parts.slice(0, -1).join(', ')} and ${parts[parts.length - 1]}`;
  const where = section.name === 'Whole compass' ? 'the whole compass' : `the ${section.name.toLowerCase()}`;
  return `${flagged} of ${heard} notes heard in ${where} are to be seen to: ${first} first.`;
}
