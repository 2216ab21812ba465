/** Notes picked by tapping keys or by writing their names. */

import { useEffect, useId, useRef, useState, type KeyboardEvent } from 'react';
import { HIGHEST_KEY, LOWEST_KEY, isBlackKey, keyName, parseKeyName } from '../../piano/keys.ts';
import { spokenName } from '../words.ts';
import type { MidiNote } from '../../units.ts';

interface Props {
  /** What is picked, in rising order. */
  picked: readonly MidiNote[];
  /** One note at most, or as many as wanted. */
  one: boolean;
  onPick: (picked: readonly MidiNote[]) => void;
}

const KEYS: readonly MidiNote[] = Array.from({ length: HIGHEST_KEY - LOWEST_KEY + 1 }, (_, i) => LOWEST_KEY + i);
const MIDDLE: MidiNote = 60;

/** Where a key stands on a grid of half white keys: a black one over the joint of its neighbours. */
function columnOf(midi: MidiNote): string {
  const whites = KEYS.filter((other) => other < midi && !isBlackKey(other)).length;
  return `${2 * whites + (isBlackKey(midi) ? 0 : 1)} / span 2`;
}

export function KeyPicker({ picked, one, onPick }: Props) {
  const toggle = (midi: MidiNote) => {
    const had = picked.includes(midi);
    if (one) onPick(had ? [] : [midi]);
    else onPick(had ? picked.filter((other) => other !== midi) : rising([...picked, midi]));
  };
  return (
    <div className="key-picker">
      <Keyboard picked={picked} start={picked[0] ?? MIDDLE} onToggle={toggle} />
      <NamesField picked={picked} one={one} onPick={onPick} />
    </div>
  );
}

function rising(midis: readonly MidiNote[]): readonly MidiNote[] {
  return [...new Set(midis)].sort((a, b) => a - b);
}

interface KeyboardProps {
  picked: readonly MidiNote[];
  /** The key that stands in the middle at first, and the first to have the focus. */
  start: MidiNote;
  onToggle: (midi: MidiNote) => void;
}

/** One stop of the tab key; arrows go from key to key. */
function Keyboard({ picked, start, onToggle }: KeyboardProps) {
  const frame = useRef<HTMLDivElement>(null);
  const [at, setAt] = useState(start);
  // Only at first: afterwards it stays where the finger left it.
  const first = useRef(start);
  useEffect(() => {
    const { clientWidth } = frame.current!;
    const key = keyOf(frame.current!, first.current);
    frame.current!.scrollLeft = key.offsetLeft - clientWidth / 2;
  }, []);
  const go = (event: KeyboardEvent) => {
    const steps: Record<string, number> = { ArrowLeft: -1, ArrowRight: 1, ArrowDown: -12, ArrowUp: 12 };
    const step = steps[event.key];
    if (!step) return;
    event.preventDefault();
    const to = Math.min(HIGHEST_KEY, Math.max(LOWEST_KEY, at + step));
    setAt(to);
    keyOf(frame.current!, to).focus();
  };
  return (
    <div className="keyboard" ref={frame} role="group" aria-label="Keys, arrows go from key to key" onKeyDown={go}>
      {KEYS.map((midi) => (
        <button
          type="button"
          key={midi}
          data-midi={midi}
          className={isBlackKey(midi) ? 'black-key' : 'white-key'}
          style={{ gridColumn: columnOf(midi) }}
          tabIndex={midi === at ? 0 : -1}
          aria-label={spokenName(midi)}
          aria-pressed={picked.includes(midi)}
          onFocus={() => setAt(midi)}
          onClick={() => onToggle(midi)}
        >
          {midi % 12 === 0 || midi === LOWEST_KEY ? keyName(midi) : ''}
        </button>
      ))}
    </div>
  );
}

function keyOf(frame: HTMLElement, midi: MidiNote): HTMLElement {
  return frame.querySelector<HTMLElement>(`[data-midi="${midi}"]`)!;
}

function NamesField({ picked, one, onPick }: Props) {
  const id = useId();
  const names = picked.map(keyName).join(', ');
  const [typed, setTyped] = useState<string | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const take = () => {
    if (typed === null) return;
    const read = readNames(typed);
    if (typeof read === 'string') return setWrong(read);
    if (one && read.length > 1) return setWrong('One note only: leave the others out.');
    setWrong(null);
    setTyped(null);
    onPick(read);
  };
  return (
    <div>
      <label className="field-name" htmlFor={id}>
        {one ? 'Or write its name' : 'Or write their names'}
      </label>
      <input
        id={id}
        type="text"
        value={typed ?? names}
        placeholder={one ? 'A4' : 'A4, C#5'}
        autoComplete="off"
        aria-invalid={wrong !== null}
        aria-describedby={`${id}-wrong`}
        onChange={({ target }) => setTyped(target.value)}
        onBlur={take}
        onKeyDown={(event) => {
          if (event.key === 'Enter') take();
        }}
      />
      <p className="wrong" id={`${id}-wrong`} role="alert">
        {wrong}
      </p>
    </div>
  );
}

/** The notes of a list of names, rising; or in words why it cannot be read. */
function readNames(text: string): readonly MidiNote[] | string {
  const names = text.split(/[\s,;]+/).filter((name) => name !== '');
  try {
    return rising(names.map(parseKeyName));
  } catch (error) {
    if (error instanceof RangeError) return `${error.message.charAt(0).toUpperCase()}${error.message.slice(1)}.`;
    throw error;
  }
}
