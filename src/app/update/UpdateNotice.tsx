/** A newer version waits: what it changes in numbers, and the way to it. */

import { useId } from 'react';
import { Icon } from '../glyphs.tsx';
import type { WaitingUpdate } from './watchUpdates.ts';

interface Props {
  update: Pick<WaitingUpdate, 'from' | 'to' | 'changes'>;
  /** It was asked for, and a visit is held somewhere. */
  held: boolean;
  onApply: () => void;
  onLater: () => void;
}

/** More would bury the buttons; the changelog has them all. */
const MOST_LINES = 3;

export function UpdateNotice({ update, held, onApply, onLater }: Props) {
  const title = useId();
  const shown = update.changes.slice(0, MOST_LINES);
  const more = update.changes.length - shown.length;
  return (
    <section className="notice-card update-notice" aria-labelledby={title}>
      <h2 id={title}>
        <Icon name="in" />A newer Evenfall is ready
      </h2>
      <p>{numbersSentence(update)}</p>
      {shown.length > 0 && (
        <ul>
          {shown.map((line) => (
            <li key={line}>{line}</li>
          ))}
          {more > 0 && <li>And {more} more.</li>}
        </ul>
      )}
      <p role="status">
        {held
          ? 'A visit is open for listening, here or in another tab. Leave it first; nothing was changed.'
          : 'It waits until you say so. What is kept stays as it is.'}
      </p>
      <div className="notice-actions">
        <button type="button" className="act" onClick={onApply}>
          Update now
        </button>
        <button type="button" className="other" onClick={onLater}>
          Later
        </button>
      </div>
    </section>
  );
}

function numbersSentence({ from, to, changes }: Props['update']): string {
  if (to === null) return 'What it changes could not be asked without a network.';
  if (to === from) return 'It changes no number: results stay comparable.';
  const versions = `analysis ${to}, now ${from}`;
  return changes.length > 0
    ? `Some numbers come out otherwise (${versions}):`
    : `Some numbers may come out otherwise (${versions}).`;
}
