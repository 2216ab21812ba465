/** Sections of a piano, by the usual breaks where its own are not known. */

import type { Verdict } from '../../analysis/document.ts';
import { USUAL_BREAKS } from '../../piano/sections.ts';
import { troubledSections, type TroubledSection } from '../../piano/troubledSections.ts';
import type { Piano } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';

/** Of the usual ones those that lie within its compass. */
export function breaksOf(piano: Piano | null): readonly MidiNote[] {
  if (!piano) return USUAL_BREAKS;
  const { breaks, lowest, highest } = piano;
  return breaks.length > 0 ? breaks : USUAL_BREAKS.filter((midi) => midi > lowest && midi <= highest);
}

/** Those of them that lie on the piano: the usual ones need not. */
export function breaksWithin(piano: Piano): MidiNote[] {
  return breaksOf(piano).filter((key) => key > piano.lowest && key <= piano.highest);
}

/** The sections of which many notes are to be seen to; none of an upright, of which no causes are said. */
export function troubledOn(
  piano: Piano,
  verdicts: readonly { readonly midi: MidiNote; readonly verdict: Verdict }[],
): TroubledSection[] {
  if (piano.kind === 'upright') return [];
  const heard = verdicts.map(({ midi, verdict }) => ({ midi, flagged: verdict === 'watch' || verdict === 'unstable' }));
  return troubledSections(heard, breaksWithin(piano), piano);
}
