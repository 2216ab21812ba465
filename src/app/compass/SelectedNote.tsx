/** The card of the selected key: its note's verdict and first line, the flagged notes before and after it. */

import { KeyNumber, NoteName } from '../NoteName.tsx';
import { Icon, VerdictMark } from '../glyphs.tsx';
import type { MidiNote } from '../../units.ts';
import { spokenName } from '../words.ts';
import { ChangeMark } from './ChangeMark.tsx';
import type { CompassEntry, WorkedEntry } from './view.ts';

interface Props {
  midi: MidiNote;
  /** Null: not heard. */
  entry: CompassEntry | null;
  /** What became of it, where it was heard twice and that is asked for. */
  worked: WorkedEntry | null;
  previous: MidiNote | null;
  next: MidiNote | null;
  /** What is stepped through: "flagged", "unstable". */
  among: string;
  onSelect: (midi: MidiNote) => void;
  onOpen: (midi: MidiNote) => void;
}

export function SelectedNote({ midi, entry, worked, previous, next, among, onSelect, onOpen }: Props) {
  const step = (way: string, to: MidiNote | null) => (
    <button
      type="button"
      className="bare compass-step"
      aria-disabled={to === null}
      aria-label={to === null ? `No ${way} ${among} note` : `The ${way} ${among} note, ${spokenName(to)}`}
      onClick={() => to !== null && onSelect(to)}
    >
      <Icon name={way === 'next' ? 'later' : 'earlier'} />
    </button>
  );
  return (
    <section className="compass-card" aria-label="Selected note">
      {step('previous', previous)}
      <div className="compass-card-body">
        <h2>
          <NoteName midi={midi} stamp />
          <KeyNumber midi={midi} />
        </h2>
        {worked ? <ChangeMark change={worked.change} /> : entry && <VerdictMark verdict={entry.verdict} />}
        {entry && (
          <button
            type="button"
            className="bare compass-open"
            aria-label={`Open ${spokenName(midi)}`}
            onClick={() => onOpen(midi)}
          >
            Open
          </button>
        )}
        <p>
          {lineOf(entry, worked)}
          {entry?.evidence && !worked && <span className="compass-evidence"> {entry.evidence}</span>}
        </p>
      </div>
      {step('next', next)}
    </section>
  );
}

function lineOf(entry: CompassEntry | null, worked: WorkedEntry | null): string {
  if (entry === null) return 'This note was not heard in this round.';
  // Intervals and reserves are the note's own screen's.
  if (worked) return `${worked.words}.`;
  return entry.line;
}
