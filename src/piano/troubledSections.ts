/**
 * Sections of which many notes are off: bedding, rails and the room's climate come there before any single note.
 */

import type { MidiNote } from '../units.ts';
import { sectionsOf, type Compass, type Section } from './sections.ts';

/** So many notes, and so large a share of those heard, are many (common practice, no source). */
const LEAST_FLAGGED = 4;
const LEAST_SHARE = 0.5;

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
