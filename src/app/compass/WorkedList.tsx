/** The notes heard again, one below the other, each with the one measure that was off: before at the left, after at the right. */

import { useMemo } from 'react';
import { pairPicture } from '../../pictures/compass/pairPicture.ts';
import type { MidiNote } from '../../units.ts';
import { NoteName } from '../NoteName.tsx';
import { ChartPicture } from '../pictures/Picture.tsx';
import { ChangeMark } from './ChangeMark.tsx';
import type { WorkedEntry } from './view.ts';

interface Props {
  title: string;
  worked: readonly WorkedEntry[];
  onOpen: (midi: MidiNote) => void;
}

export function WorkedList({ title, worked, onOpen }: Props) {
  return (
    <section aria-label="Before and after">
      <p className="worked-head">
        <span>{title}</span>
        <span>before, after</span>
      </p>
      <ul className="worked">
        {worked.map((entry) => (
          <li key={entry.midi}>
            <button type="button" onClick={() => onOpen(entry.midi)}>
              <NoteName midi={entry.midi} stamp />
              <span className="worked-words">
                {entry.words} <ChangeMark change={entry.change} />
              </span>
              <Pair entry={entry} />
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What became of the whole piano, a sentence each; nothing where there is none. */
export function WholeWords({ sentences }: { sentences: readonly string[] }) {
  if (sentences.length === 0) return null;
  return (
    <section className="worked-whole" aria-label="The whole piano, before and after">
      <h2>The whole piano</h2>
      {sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </section>
  );
}

function Pair({ entry: { before, after, measure } }: { entry: WorkedEntry }) {
  const chart = useMemo(
    () => (measure === null ? null : pairPicture(before, after, measure)),
    [before, after, measure],
  );
  if (chart === null) return <span className="worked-none" />;
  // The words beside it say the same.
  return (
    <span aria-hidden="true">
      <ChartPicture chart={chart} />
    </span>
  );
}
