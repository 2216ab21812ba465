/** What each note is told: how it feels; on demand what to look at first, and what that rests on with its figures. */

import type { NoteResult } from '../analysis/document.ts';
import { lookSaid, ORDER_WORDS, orderSaid } from '../piano/looks.ts';
import { useLengths } from './lengths.ts';
import { VerdictMark } from './glyphs.tsx';
import { measureLines } from './measureWords.ts';
import { KeyNumber, NoteName } from './NoteName.tsx';

export function NoteCards({ notes }: { notes: readonly NoteResult[] }) {
  return notes.map((note) => (
    <section className="card" key={note.midi} aria-labelledby={`note-${note.midi}`}>
      <div className="card-head">
        <h2 id={`note-${note.midi}`}>
          <NoteName midi={note.midi} stamp />
          <KeyNumber midi={note.midi} />
        </h2>
        <VerdictMark verdict={note.verdict} />
      </div>
      <p className="note-line">{note.words.line}</p>
      <Advice words={note.words} verdict={note.verdict} />
      <Heard note={note} />
    </section>
  ));
}

/** What to look at, and, wherever that stands, what to mind. */
export function Advice({ words: { next, cautions }, verdict }: Pick<NoteResult, 'words' | 'verdict'>) {
  const inUnit = useLengths();
  if (next.length === 0) return null;
  return (
    <details>
      <summary>{verdict === 'insufficient' ? 'What to do next' : 'Look at first'}</summary>
      {next.some((sentence) => lookSaid(sentence) !== null) && <p className="second">{ORDER_WORDS[orderSaid(next)]}</p>}
      <ul className="told">
        {next.map((sentence) => (
          <li key={sentence}>{inUnit(sentence)}</li>
        ))}
      </ul>
      {cautions.length > 0 && (
        <ul className="told cautions" aria-label="To mind">
          {cautions.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
    </details>
  );
}

/** What was heard: the evidence in sentences and the measures with their ranges, folded. */
export function Heard({ note: { words, measures } }: { note: NoteResult }) {
  if (measures.length === 0 && words.evidence.length === 0) {
    return <p className="second">Too few strokes to measure anything.</p>;
  }
  return (
    <details>
      <summary>What was heard</summary>
      {words.evidence.length > 0 && (
        <ul className="told">
          {words.evidence.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
      {measures.length > 0 && (
        <>
          <ul className="measures">
            {measureLines(measures).map(({ what, value, rests }) => (
              <li key={what}>
                <span className="what">{what}</span> <strong>{value}</strong> <span className="rests">{rests}</span>
              </li>
            ))}
          </ul>
          <p className="second">Ranges: where the true figure lies, as far as these strokes tell, 9 times in 10.</p>
        </>
      )}
    </details>
  );
}
