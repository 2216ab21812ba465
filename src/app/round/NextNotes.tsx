/** After a round of sampled notes: what it says of the piano, and which notes to hear next. */

import { counted } from '../words.ts';
import type { SampledNext } from './view.ts';

interface Props {
  next: SampledNext;
  /** The round is closed: there is nothing else to do in it. */
  closed: boolean;
  /** Null: the visit can only be read. */
  onHear: (() => void) | null;
}

export function NextNotes({ next: { share, reason, notes, minutes }, closed, onHear }: Props) {
  return (
    <section className="round-next" aria-labelledby="round-next">
      <h2 id="round-next">What to hear next</h2>
      {share && <p>{share}</p>}
      <p>{reason}</p>
      {onHear && (
        <button type="button" className={closed ? 'act' : 'other'} onClick={onHear}>
          Hear {counted(notes, 'note')}, about {counted(minutes, 'minute')}
        </button>
      )}
    </section>
  );
}
