/** Section breaks of a piano; the usual ones where its own are not known. */

import { USUAL_BREAKS } from '../../piano/sections.ts';
import type { Piano } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';

/** Of the usual ones those that lie within its compass. */
export function breaksOf(piano: Piano | null): readonly MidiNote[] {
  if (!piano) return USUAL_BREAKS;
  const { breaks, lowest, highest } = piano;
  return breaks.length > 0 ? breaks : USUAL_BREAKS.filter((midi) => midi > lowest && midi <= highest);
}
