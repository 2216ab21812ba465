/** The notes of a round as a plain list: verdict, what the hand would feel, and on demand what that rests on. */

import { useId, useState } from 'react';
import { VerdictMark } from '../glyphs.tsx';
import { Advice, Heard } from '../NoteCards.tsx';
import { KeyNumber, NoteName } from '../NoteName.tsx';
import { NoticeCards } from '../Notices.tsx';
import { counted, spokenName } from '../words.ts';
import { KeepRound } from './KeepRound.tsx';
import { NextNotes } from './NextNotes.tsx';
import type { RoundActions, RoundNote, RoundView } from './view.ts';

interface Props {
  view: RoundView;
  actions: RoundActions;
}

export function RoundScreen({ view, actions }: Props) {
  const { notes, advice, notices, closed, readOnly } = view;
  const changeable = !closed && !readOnly;
  return (
    <main className="round-screen">
      <p className="round-lead">
        <strong>{view.piano}</strong>, {counted(notes.length, 'note')} heard. {leadOf(view)}
      </p>
      {!view.keep && (
        <div className="round-ways">
          <button type="button" className="other" onClick={actions.visit}>
            This visit and its piano
          </button>
          {view.otherVisits > 0 && (
            <button type="button" className="other" onClick={actions.seasons}>
              Seasons
            </button>
          )}
        </div>
      )}
      <NoticeCards notices={notices} onAction={actions.notice} />
      {view.keep && <KeepRound offer={view.keep} onKeep={actions.keepRound} />}
      {advice.map((sentence) => (
        <p className="round-advice" key={sentence}>
          {sentence}
        </p>
      ))}
      {view.sections.map((line) => (
        <p className="round-advice" key={line}>
          {line}
        </p>
      ))}
      {view.next && <NextNotes next={view.next} closed={closed} onHear={readOnly ? null : actions.hearNext} />}
      {notes.length === 0 && (
        <p className="round-empty">
          Nothing heard in this round yet. Play a note slowly, eight times, letting the key right up.
        </p>
      )}
      <ul className="round-notes">
        {notes.map((note) => (
          <NoteRow
            key={note.result.midi}
            note={note}
            provisional={!closed}
            onOpen={() => actions.openNote(note.result.midi)}
            onPlayAgain={changeable ? () => actions.playAgain(note.result.midi) : null}
          />
        ))}
      </ul>
      {view.handLearnable && !readOnly && <KeepHand onKeep={actions.keepHand} />}
      {changeable && (
        <div className="round-foot">
          <button type="button" className="act" onClick={actions.goOn}>
            Go on listening
          </button>
          {view.lastTake !== null && (
            <button type="button" className="other" onClick={actions.undo}>
              Undo take of <NoteName midi={view.lastTake} />
            </button>
          )}
          <button type="button" className="other" onClick={actions.closeRound}>
            Close round
          </button>
        </div>
      )}
      <p className="unseen" aria-live="polite">
        {view.announcement}
      </p>
    </main>
  );
}

function leadOf({ keep, closed }: RoundView): string {
  if (keep) return 'From a recording; not kept on this device.';
  return closed ? 'This round is closed.' : 'Verdicts are provisional until the round is closed.';
}

interface RowProps {
  note: RoundNote;
  provisional: boolean;
  onOpen: () => void;
  onPlayAgain: (() => void) | null;
}

function NoteRow({ note: { result, strokes, jammed }, provisional, onOpen, onPlayAgain }: RowProps) {
  const { midi, verdict, words } = result;
  const flagged = verdict === 'watch' || verdict === 'unstable';
  return (
    <li className="round-note">
      <div className="round-note-head">
        <h2>
          <NoteName midi={midi} stamp />
          <KeyNumber midi={midi} />
        </h2>
        <VerdictMark verdict={verdict} />
        <span className="round-strokes">
          {provisional && <span className="provisional">provisional</span>}
          {counted(strokes, 'stroke')}
        </span>
      </div>
      {jammed && <p className="jammed">The key jams: entered by you.</p>}
      <p className="round-line">{words.line}</p>
      <Advice words={words} verdict={verdict} />
      <Heard note={result} />
      <button type="button" className="other" aria-label={`Open ${spokenName(midi)}`} onClick={onOpen}>
        Open
      </button>
      {flagged && onPlayAgain && (
        <button type="button" className="other" aria-label={`Play again: ${spokenName(midi)}`} onClick={onPlayAgain}>
          Play again
        </button>
      )}
    </li>
  );
}

/** The hand is worth keeping only where the player knows that nothing is wrong with these notes. */
function KeepHand({ onKeep }: { onKeep: (name: string) => void }) {
  const [name, setName] = useState('');
  const id = useId();
  return (
    <details className="keep-hand">
      <summary>Are these notes in order? Keep this hand</summary>
      <p>
        With a kept hand a single note can be judged. It holds for the same player, touch and place of the microphone,
        and only if these notes feel right throughout.
      </p>
      <label className="field-name" htmlFor={id}>
        Whose hand, where the microphone stood
      </label>
      <input id={id} type="text" value={name} autoComplete="off" onChange={({ target }) => setName(target.value)} />
      <button type="button" className="other" disabled={name.trim() === ''} onClick={() => onKeep(name.trim())}>
        Keep hand
      </button>
    </details>
  );
}
