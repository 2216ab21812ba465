/** What was turned: asked once after "I adjusted it", optional; kept as words. */

import { useEffect, useRef, useState } from 'react';
import type { Verdict } from '../../analysis/document.ts';
import { disturbedWords, TURN, TURNS, turnWords, type Turned } from '../../piano/operations.ts';
import type { MidiNote } from '../../units.ts';
import { VerdictMark } from '../glyphs.tsx';
import { useLengths } from '../lengths.ts';
import { NoteName } from '../NoteName.tsx';
import type { TurnSaid } from './view.ts';

interface Props {
  midi: MidiNote;
  verdict: Verdict | null;
  /** Null: nothing more is said. */
  onKeep: (said: TurnSaid | null) => void;
  onUndo: () => void;
}

/** Eighths of a turn, as they are said. */
const EIGHTHS = ['⅛', '¼', '⅜', '½', '⅝', '¾', '⅞', '1'] as const;
/** Millimetres that are usual for hammer line and dip (common practice, no source). */
const MILLIMETRES = [0.5, 1, 2, 3] as const;

export function TurnDialog({ midi, verdict, onKeep, onUndo }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  const [what, setWhat] = useState<Turned | null>(null);
  const [way, setWay] = useState<string | null>(null);
  const [eighths, setEighths] = useState<number | null>(null);
  const [millimetres, setMillimetres] = useState<number | null>(null);
  const [words, setWords] = useState('');
  useEffect(() => dialog.current!.showModal(), []);
  const inUnit = useLengths();
  const turn = what && TURN[what];
  const length = millimetres === null ? null : `${millimetres} mm`;
  const kept = what && turnWords(what, what === 'other' ? words.trim() || null : way, eighths, length);
  const again = what && disturbedWords(what, midi);
  const choose = (next: Turned) => {
    setWhat(next);
    setWay(null);
    setEighths(null);
    setMillimetres(null);
  };
  return (
    <dialog ref={dialog} className="turn" aria-labelledby="turn-title" onCancel={() => onKeep(null)}>
      <form
        method="dialog"
        onSubmit={(event) => {
          event.preventDefault();
          onKeep(what && { what, way, eighths, millimetres, words: words.trim() });
        }}
      >
        <div className="turn-head">
          <span>optional, can wait</span>
          <button type="button" className="bare-word" onClick={() => onKeep(null)}>
            Skip
          </button>
        </div>
        <p className="turn-note">
          <NoteName midi={midi} stamp />
          {verdict && <VerdictMark verdict={verdict} />}
        </p>
        <h2 id="turn-title">What was turned?</h2>
        <Chips label="What was turned" of={TURNS} chosen={what} words={(one) => TURN[one].title} onChoose={choose} />
        {turn && turn.ways.length > 0 && (
          <>
            <h3>Which way</h3>
            <Chips label="Which way" of={turn.ways} chosen={way} words={(one) => one} onChoose={setWay} />
          </>
        )}
        {turn?.unit === 'eighths' && (
          <>
            <h3>How far, of a turn</h3>
            <Chips
              label="How far, of a turn"
              of={[1, 2, 3, 4, 5, 6, 7, 8]}
              chosen={eighths}
              words={(one) => EIGHTHS[one - 1]}
              onChoose={setEighths}
            />
          </>
        )}
        {turn?.unit === 'millimetres' && (
          <>
            <h3>How far</h3>
            <Chips
              label="How far"
              of={MILLIMETRES}
              chosen={millimetres}
              words={(one) => inUnit(`${one} mm`)}
              onChoose={setMillimetres}
            />
          </>
        )}
        {what === 'other' && (
          <label className="turn-words">
            What it was
            <input value={words} maxLength={200} onChange={({ target }) => setWords(target.value)} />
          </label>
        )}
        <p aria-live="polite">
          {kept && (
            <>
              Kept as <strong>{inUnit(kept)}</strong>. {again}
            </>
          )}
        </p>
        <div className="turn-foot">
          <button type="submit" className="act">
            Keep
          </button>
          <button type="button" className="other" data-takes-back onClick={onUndo}>
            Undo
          </button>
        </div>
      </form>
    </dialog>
  );
}

interface ChipsProps<T> {
  label: string;
  of: readonly T[];
  chosen: T | null;
  words: (one: T) => string;
  onChoose: (one: T) => void;
}

function Chips<T extends string | number>({ label, of, chosen, words, onChoose }: ChipsProps<T>) {
  return (
    <div className="turn-chips" role="group" aria-label={label}>
      {of.map((one) => (
        <button key={one} type="button" aria-pressed={one === chosen} onClick={() => onChoose(one)}>
          {words(one)}
        </button>
      ))}
    </div>
  );
}
