/** What stands under "Pause": a key that jams, other ways to play the note, what to mind, the way out. */

import type { Pattern } from '../../piano/plan.ts';
import { Sentence } from '../NoteName.tsx';
import { NoticeCards } from '../Notices.tsx';
import type { ListenActions, ListenView } from './view.ts';

/** The ways to ask for, with the words of the menu; slow and fast is what is asked without asking. */
const WAYS: readonly (readonly [Exclude<Pattern, 'slow-fast'>, string, string])[] = [
  ['open', 'Open', 'one firm, two slow, six times; then fast'],
  ['gentle', 'Gentle', 'as soft as will still speak'],
  ['full-return', 'Full return', 'fast, the key let right up'],
  ['bar', 'Bar', 'three keys under one bar'],
  ['just-over-half', 'Just over half', '8 a second, let up just over half'],
];

const CAUTIONS = [
  'Stop on a note that jams or clicks: do not force the key.',
  'Fast strokes beside an open piano are loud: mind your hearing.',
  'Rest your hand before it tires.',
  'Lay nothing loose above the action: no phone, no tool, no bar.',
];

export function PausePanel({ view, actions }: { view: ListenView; actions: ListenActions }) {
  const { note, asked, notices } = view;
  return (
    <div className="pause-panel">
      <NoticeCards notices={notices} onAction={actions.notice} />
      {note && (
        <>
          <h2>
            Play <Sentence words={[{ midi: note.midis[note.midis.length >> 1] }]} />
          </h2>
          <div className="ways">
            {WAYS.map(([pattern, label, how]) => (
              <button type="button" key={pattern} aria-pressed={asked === pattern} onClick={() => actions.ask(pattern)}>
                <strong>{label}</strong>
                <small>{how}</small>
              </button>
            ))}
          </div>
          <button type="button" className="jams" onClick={actions.jams}>
            This key jams
          </button>
        </>
      )}
      <h2>To mind</h2>
      <ul className="told cautions">
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <button type="button" onClick={actions.close}>
        See this round
      </button>
    </div>
  );
}
