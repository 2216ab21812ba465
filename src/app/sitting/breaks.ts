/** Section breaks of a piano; the usual ones where its own are not known. */

import { USUAL_BREAKS } from '../../piano/sections.ts';
import type { Piano } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';

export function breaksOf(piano: Piano | null): readonly MidiNote[] {
  return piano && piano.breaks.length > 0 ? piano.breaks : USUAL_BREAKS;
}
