/** The note that is wanted or being played, to be read from 1.5 m; under a bar its three notes. */

import { isBlackKey } from '../../piano/keys.ts';
import { KeyNumber, NoteName } from '../NoteName.tsx';
import type { ListenView } from './view.ts';

export function BigNote({ note }: { note: ListenView['note'] }) {
  if (note === null) return <h1 className="any-note">Any note</h1>;
  const { midis, heard, section } = note;
  const under = midis.length > 1;
  const sharp = midis.some(isBlackKey);
  return (
    <div className={`big-note ${under ? 'under-bar' : ''} ${sharp ? 'with-sharp' : ''}`} data-heard={heard}>
      {under && <DrawnBar />}
      <h1 className="far">
        {midis.map((midi) => (
          <NoteName key={midi} midi={midi} stamp outlined={!heard} />
        ))}
      </h1>
      <p className="where">
        {!under && <KeyNumber midi={midis[0]} />}
        {section && <span>{section}</span>}
      </p>
    </div>
  );
}

/** The bar from the front, with the dimple where the fingertip presses. */
function DrawnBar() {
  return (
    <svg className="drawn-bar" viewBox="0 0 350 44" aria-hidden="true">
      <path className="press" d="M167 3l8 9 8-9" />
      <rect x="1.5" y="21.500" width="347" height="16" rx="8" />
      <circle cx="175" cy="29.500" r="5" />
    </svg>
  );
}
