/** The line of all notes as the report draws it, from what is kept of each note: as it was first heard, and as it was last heard. */

import { countColours } from '../pictures/compass/compassNote.ts';
import type { LineMark } from '../pictures/compass/platformLine.ts';
import type { HeardNote, NoteStanding } from './standing.ts';

/** The marks of a line; notes judged by an older program stand as shelves alone. */
export function lineMarks(notes: readonly NoteStanding[], which: 'before' | 'now'): LineMark[] {
  return notes.map((note) => markOf(note.midi, note[which]));
}

function markOf(midi: number, { verdict, line }: HeardNote): LineMark {
  const known = line ?? { repeats: null, gentle: null, offsets: [], failsAgain: false, wanders: false };
  return {
    midi,
    verdict,
    repeats: known.repeats,
    gentle: known.gentle,
    offsets: known.offsets,
    colours: countColours({ ...known, verdict }),
  };
}
