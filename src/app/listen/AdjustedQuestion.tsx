/** Asked once when an open note was played in a later round: was it adjusted before? Playing on leaves it for the worklist. */

import { useEffect } from 'react';
import { Icon } from '../glyphs.tsx';
import { NoteName, Sentence } from '../NoteName.tsx';
import type { ListenActions, ListenView } from './view.ts';

interface Props {
  ask: NonNullable<ListenView['ask']>;
  answer: ListenActions['answer'];
  /** Leaves it for the worklist. */
  later: () => void;
}

export function AdjustedQuestion({ ask: { midi, round }, answer, later }: Props) {
  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      const adjusted = ANSWERS[event.key.toLowerCase()];
      if (adjusted === undefined || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
      event.preventDefault();
      answer(midi, adjusted);
    };
    window.addEventListener('keydown', pressed);
    return () => window.removeEventListener('keydown', pressed);
  }, [midi, answer]);
  return (
    <section className="adjusted-question" aria-labelledby="adjusted-question">
      <h1 className="adjusted-note">
        <NoteName midi={midi} stamp />
      </h1>
      <h2 id="adjusted-question">Adjusted since round {round}?</h2>
      <p className="adjusted-or">
        Or just keep playing: the strokes are kept and wait for your answer. With keys, press <strong>Y</strong> or{' '}
        <strong>N</strong>.
      </p>
      <div className="adjusted-answers">
        <button type="button" className="adjusted-later" onClick={later}>
          Later
        </button>
        <button type="button" className="act" onClick={() => answer(midi, true)}>
          <Icon name="check" />
          <span>
            <strong>Yes, adjusted</strong>
            <small>
              <Sentence words={['starts “after” for ', { midi }]} />
            </small>
          </span>
        </button>
        <button type="button" className="other" onClick={() => answer(midi, false)}>
          <Icon name="again" />
          <span>
            <strong>No, as it was</strong>
            <small>adds to “before”</small>
          </span>
        </button>
      </div>
    </section>
  );
}

const ANSWERS: Readonly<Record<string, boolean>> = { y: true, n: false };
