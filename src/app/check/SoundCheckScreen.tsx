/** The sound check: where the phone stands, what the microphone does, how quiet the room, how clear the finger. */

import { Icon } from '../glyphs.tsx';
import { LevelBar } from '../listen/LevelBar.tsx';
import { NoticeCards } from '../Notices.tsx';
import { checkLines, type CheckLine } from './checkLines.ts';
import { PlacePicture } from './PlacePicture.tsx';
import type { SoundCheckActions, SoundCheckView } from './view.ts';

interface Props {
  view: SoundCheckView;
  actions: SoundCheckActions;
}

export function SoundCheckScreen({ view, actions }: Props) {
  const lines = checkLines(view);
  const sound = lines.every(({ state }) => state === 'good');
  return (
    <main className="sound-check">
      <section className="card place">
        <PlacePicture />
        <p>On a stand or cloth beside the keys, never loose above an open action. The same place in every round.</p>
      </section>
      <div className="check-side">
        <NoticeCards notices={view.notices} onAction={actions.notice} />
        <ul className="check-lines">
          {lines.map((line) => (
            <Line key={line.what} line={line} view={view} actions={actions} />
          ))}
        </ul>
        <button type="button" className="act start" disabled={view.microphone === null} onClick={actions.start}>
          {sound ? 'Start' : 'Start all the same'}
        </button>
      </div>
      <p className="unseen" aria-live="polite">
        {lines
          .filter(({ state, what }) => state !== 'waiting' && what !== 'microphone')
          .map(({ title }) => `${title}.`)
          .join(' ')}
      </p>
    </main>
  );
}

/** Where there are several to choose from, the picker stands for the microphone's name. */
function MicrophonePicker({ view, actions }: Props) {
  return (
    <select
      className="microphones"
      aria-label="Microphone"
      value={view.chosen ?? ''}
      onChange={({ target }) => actions.choose(target.value)}
    >
      {view.chosen === null && <option value="">Microphone</option>}
      {view.microphones.map(({ id, label }) => (
        <option key={id} value={id}>
          {label}
        </option>
      ))}
    </select>
  );
}

const ICON_OF = { waiting: 'waiting', good: 'check', warning: 'warning' } as const;
const STATE_WORDS = { waiting: 'Not yet', good: 'In order', warning: 'To mind' } as const;

function Line({ line: { what, state, title, value, text }, view, actions }: Props & { line: CheckLine }) {
  const picked = what === 'microphone' && view.microphones.length > 1;
  return (
    <li className={`check-line ${state}`}>
      <Icon name={ICON_OF[state]} />
      <div>
        <p className="check-head">
          <span className="unseen">{STATE_WORDS[state]}: </span>
          {picked ? <MicrophonePicker view={view} actions={actions} /> : <strong>{title}</strong>}
          {value && <span className="check-value">{value}</span>}
        </p>
        {text && <p className="check-text">{text}</p>}
        {what === 'room' && <LevelBar room={view.level} />}
      </div>
    </li>
  );
}
