/** The line of all notes as the report draws it, from what is kept of each note: as it was first heard, and as it was last heard. */

import { countColours } from '../pictures/compass/compassNote.ts';
import type { LineMark } from '../pictures/compass/platformLine.ts';
import type { HeardNote, NoteStanding } from './standing.ts';

/** The marks of a line; notes judged by an older program stand as shelves alone. Uprights have no verdict: nothing is marked. */
export function lineMarks(notes: readonly NoteStanding[], which: 'before' | 'now', judged: boolean): LineMark[] {
  return notes.map((note) => markOf(note.midi, note[which], judged));
}

function markOf(midi: number, { verdict, line }: HeardNote, judged: boolean): LineMark {
  const known = line ?? { repeats: null, gentle: null, offsets: [], failsAgain: false, wanders: false };
  const shown = judged || verdict === 'insufficient' ? verdict : 'steady';
  const said = { ...known, verdict: shown, failsAgain: judged && known.failsAgain, wanders: judged && known.wanders };
  return {
    midi,
    verdict: shown,
    repeats: known.repeats,
    gentle: known.gentle,
    offsets: known.offsets,
    colours: countColours(said),
  };
}
