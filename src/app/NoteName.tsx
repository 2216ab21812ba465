/** Notes as they are read: the letter, a drawn sharp, the octave; spoken as "A sharp 4". */

import { Fragment } from 'react';
import { keyName, keyNumber } from '../piano/keys.ts';
import type { MidiNote } from '../units.ts';
import { spokenName, type Words } from './words.ts';

interface NameProps {
  midi: MidiNote;
  /** Heavy letters with a smaller octave figure; else as a word in a sentence. */
  stamp?: boolean;
  /** The sharp gets what its outline needs; letters need nothing. */
  outlined?: boolean;
}

/** A note's name. */
export function NoteName({ midi, stamp = false, outlined = false }: NameProps) {
  const name = keyName(midi);
  return (
    <span className={stamp ? 'note stamp' : 'note'}>
      <span aria-hidden="true">
        {name[0]}
        {name.includes('#') && (
          <svg className="sharp" viewBox="0 0 12 20">
            {outlined && (
              <g className="under">
                <path d="M3.9 1.500v18M8.1 .5v18" strokeWidth="2.900" />
                <path d="M.5 8.440l11-2.860M.5 14.440l11-2.860" strokeWidth="4.3" />
              </g>
            )}
            <path d="M3.9 2v17M8.1 1v17" strokeWidth="1.9" />
            <path d="M1 8.3l10-2.6M1 14.3l10-2.6" strokeWidth="3.3" />
          </svg>
        )}
        <span className="octave">{name.slice(-1)}</span>
      </span>
      <span className="unseen">{spokenName(midi)}</span>
    </span>
  );
}

/** The key's number, small, beside its name. */
export function KeyNumber({ midi }: { midi: MidiNote }) {
  return <span className="key-number">key {keyNumber(midi)}</span>;
}

/** A sentence with its notes drawn. */
export function Sentence({ words }: { words: Words }) {
  return words.map((part, i) => (
    <Fragment key={i}>{typeof part === 'string' ? part : <NoteName midi={part.midi} />}</Fragment>
  ));
}
