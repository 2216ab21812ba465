/** What each note's strokes amount to, in a short list of words. */

import type { NoteResult } from '../analysis/document.ts';
import { VerdictMark } from './glyphs.tsx';
import { measureLines } from './measureWords.ts';
import { KeyNumber, NoteName } from './NoteName.tsx';

export function NoteCards({ notes }: { notes: readonly NoteResult[] }) {
  return notes.map(({ midi, verdict, measures }) => (
    <section className="card" key={midi} aria-labelledby={`note-${midi}`}>
      <div className="card-head">
        <h2 id={`note-${midi}`}>
          <NoteName midi={midi} stamp />
          <KeyNumber midi={midi} />
        </h2>
        <VerdictMark verdict={verdict} />
      </div>
      <ul className="measures">
        {measureLines(measures).map(({ what, value, rests }) => (
          <li key={what}>
            <span className="what">{what}</span> <strong>{value}</strong> <span className="rests">{rests}</span>
          </li>
        ))}
      </ul>
      {measures.length > 0 && (
        <p className="second">Ranges: where the true figure lies, as far as these strokes tell, 9 times in 10.</p>
      )}
      {measures.length === 0 && <p className="second">Too few strokes to measure anything.</p>}
    </section>
  ));
}
