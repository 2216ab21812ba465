/** Backup: what to save or remove, and bringing one in. */

import { useEffect, useRef } from 'react';
import { Icon } from '../glyphs.tsx';
import { NoticeCards } from '../Notices.tsx';
import { Choice } from '../Shell.tsx';
import type { BackupActions, BackupView } from './view.ts';

export function BackupScreen({ view, actions }: { view: BackupView; actions: BackupActions }) {
  const input = useRef<HTMLInputElement>(null);
  const { choices, chosen, removable, asked, busy, outcome, notices } = view;
  const act = (code: string, action: string) => {
    actions.notice(code, action);
    if (action === 'choose') input.current!.click();
  };
  return (
    <main className="backup-screen">
      <NoticeCards notices={notices} onAction={act} />
      <p className="backup-outcome" role="status">
        {outcome}
      </p>
      {busy && <Busy busy={busy} onStop={actions.stop} />}
      <div className="backup-columns">
        <section className="backup-part" aria-labelledby="backup-save">
          <h2 id="backup-save">Save or remove</h2>
          <fieldset disabled={busy !== null}>
            <legend className="unseen">What to save or remove</legend>
            {choices.map(({ id, words, size }) => (
              <Choice
                key={id}
                group="backup"
                words={words}
                detail={size ?? 'Counting'}
                chosen={chosen === id}
                onChoose={() => actions.choose(id)}
              />
            ))}
          </fieldset>
          <p className="second">
            One ZIP file: what was heard and done, and the sound of each take as a WAV file. Keep it away from this
            device.
          </p>
          <button type="button" className="act" disabled={busy !== null} onClick={actions.save}>
            Save backup
          </button>
          {removable && asked === null && (
            <button type="button" className="other" disabled={busy !== null} onClick={actions.ask}>
              Remove this visit
            </button>
          )}
          {asked !== null && <Removal asked={asked} busy={busy !== null} actions={actions} />}
        </section>
        <section className="backup-part" aria-labelledby="backup-restore">
          <h2 id="backup-restore">Bring in</h2>
          <p className="second">
            A backup, or one visit without its sound (JSON). What is missing here is added. What is here stays as it is.
            To have a visit as it was saved, remove it here first.
          </p>
          <label className="chooser other">
            <input
              ref={input}
              type="file"
              className="unseen"
              accept=".zip,.json,application/zip,application/json"
              disabled={busy !== null}
              onChange={({ target }) => {
                const file = target.files?.[0];
                if (file) actions.restore(file);
                // Emptied, so that choosing the same file again is a choice again.
                target.value = '';
              }}
            />
            <Icon name="file" />
            <span>Choose a backup or a visit</span>
          </label>
        </section>
      </div>
    </main>
  );
}

/** Asked once, with a backup offered first. */
function Removal({ asked, busy, actions }: { asked: string; busy: boolean; actions: BackupActions }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current!.focus(), []);
  return (
    <section className="notice-card stops" aria-labelledby="removal-title">
      <h3 id="removal-title" ref={heading} tabIndex={-1}>
        Remove this visit?
      </h3>
      <p>{asked}</p>
      <div className="notice-actions">
        <button type="button" className="act" disabled={busy} onClick={actions.save}>
          Save a backup first
        </button>
        <button type="button" className="other" disabled={busy} onClick={actions.remove}>
          Remove
        </button>
        <button type="button" className="other" disabled={busy} onClick={actions.keep}>
          Keep it
        </button>
      </div>
    </section>
  );
}

const BUSY_WORDS = { saving: 'Saving', restoring: 'Bringing in', removing: 'Removing' } as const;

function Busy({ busy, onStop }: { busy: NonNullable<BackupView['busy']>; onStop: () => void }) {
  return (
    <div className="backup-busy">
      <label>
        <span>{BUSY_WORDS[busy.what]}</span>
        <progress max={1} value={busy.share} />
      </label>
      {/* A removal is one step. */}
      {busy.what !== 'removing' && (
        <button type="button" className="other" onClick={onStop}>
          Stop
        </button>
      )}
    </div>
  );
}
