/** The screen "Listen": both hands are at the keys, so all of it is read from afar, and three buttons are enough. */

import { useState } from 'react';
import { Icon } from '../glyphs.tsx';
import { NoteName } from '../NoteName.tsx';
import { NoticeCards, PlayingNotice } from '../Notices.tsx';
import { AdjustedQuestion } from './AdjustedQuestion.tsx';
import { BigNote } from './BigNote.tsx';
import { ContactLine } from './ContactLine.tsx';
import { Lanes } from './Lanes.tsx';
import { LevelBar } from './LevelBar.tsx';
import { PausePanel } from './PausePanel.tsx';
import { PlanStrip } from './PlanStrip.tsx';
import { usePageKeys } from './pageKeys.ts';
import type { ListenActions, ListenView, Notice } from './view.ts';

interface Props {
  view: ListenView;
  actions: ListenActions;
}

export function ListenScreen({ view, actions }: Props) {
  usePageKeys(actions);
  /** The question that was put off; it waits on the worklist. */
  const [later, setLater] = useState<ListenView['ask']>(null);
  const { ask } = view;
  if (ask && ask.midi !== later?.midi && (view.state === 'listening' || view.state === 'done')) {
    return (
      <main className="listen-asked">
        <ListenHead view={view} />
        <AdjustedQuestion ask={ask} answer={actions.answer} later={() => setLater(ask)} />
        <Spoken view={view} />
      </main>
    );
  }
  const warned = view.state === 'listening' ? saidAtLength(view.notices) : 'none';
  return (
    <main className="listen" data-state={view.state} data-warned={warned}>
      <ListenHead view={view} />
      <BigNote note={view.note} />
      <Order view={view} />
      <div className="heard">
        <Middle view={view} actions={actions} />
      </div>
      <Next view={view} />
      <PlanStrip {...view} />
      <PlayingButtons state={view.state} actions={actions} />
      <Spoken view={view} />
    </main>
  );
}

function Spoken({ view: { announcement, notices } }: { view: ListenView }) {
  const stopping = notices.filter(({ stops }) => stops);
  return (
    <>
      <p className="unseen" aria-live="polite">
        {announcement}
      </p>
      <p className="unseen" role="alert">
        {stopping.map(({ title, text }) => `${title}. ${text}`).join(' ')}
      </p>
    </>
  );
}

/** More letters than this in a warning take four lines or more on a phone. */
const SHORT = 100;

function saidAtLength(notices: readonly Notice[]): 'none' | 'short' | 'long' {
  if (notices.length === 0) return 'none';
  return notices.length > 1 || notices[0].text.length > SHORT ? 'long' : 'short';
}

function ListenHead({ view: { round, plan, piano, room, progress, maySleep } }: { view: ListenView }) {
  return (
    <header className="listen-head" data-sleep={maySleep}>
      <p>
        <strong>Round {round}</strong>
        {plan && <span className="plan-name"> {plan}</span>}
        {piano && <span className="piano-name"> · {piano}</span>}
        {progress && (
          <span className="head-progress">
            {' '}
            · {progress.done} of {progress.of}
          </span>
        )}
        {maySleep && <span className="may-sleep"> Screen may sleep</span>}
      </p>
      <p className="room">
        <strong>{room.clipped ? 'Too loud' : room.word}</strong>
        <LevelBar room={room} />
      </p>
    </header>
  );
}

function Order({ view: { state, order } }: { view: ListenView }) {
  const { word, count, manner } = state === 'listening' ? order : STILL[state];
  return (
    <div className="orders">
      <p className={word.length > 5 ? 'order long' : 'order'}>
        <span>{word}</span>
        {count && (
          <>
            <span className="comma">, </span>
            <span>{count}</span>
          </>
        )}
      </p>
      <p className="manner">{manner}</p>
    </div>
  );
}

const STILL = {
  paused: { word: 'Paused', count: '', manner: 'nothing is heard until you go on' },
  stopped: { word: 'Stopped', count: '', manner: 'what was heard is kept' },
  done: { word: 'All heard', count: '', manner: 'every note of this plan has its take' },
} as const;

function Middle({ view, actions }: Props) {
  const { notices, contact, lanes } = view;
  switch (view.state) {
    case 'listening':
      return (
        <>
          <Lanes lanes={lanes} />
          {notices.length > 0 && contact.kind !== 'stray' ? (
            <PlayingNotice notices={notices} onAction={actions.notice} />
          ) : (
            <ContactLine contact={contact} tall={lanes.some(({ kind }) => kind === 'firm-slow-slow')} />
          )}
        </>
      );
    case 'paused':
      return <PausePanel view={view} actions={actions} />;
    case 'stopped':
      return <NoticeCards notices={notices} onAction={actions.notice} />;
    case 'done':
      return (
        <div className="done-panel">
          <NoticeCards notices={notices} onAction={actions.notice} />
          <p>Any note can be played again, and its strokes are added. The round stays open until you close it.</p>
          <button type="button" className="act start" onClick={actions.close}>
            See this round
          </button>
        </div>
      );
  }
}

function Next({ view: { state, next, progress } }: { view: ListenView }) {
  if (state !== 'listening' || (next === null && progress === null)) return null;
  return (
    <div className="next">
      {next && (
        <p className={next.length > 1 ? 'then three' : 'then'}>
          <span>then</span>
          <span className="next-notes">
            {next.map((midi) => (
              <NoteName key={midi} midi={midi} stamp />
            ))}
          </span>
        </p>
      )}
      {progress && (
        <p className="progress">
          <strong>
            {progress.done} of {progress.of}
          </strong>
          <span>about {progress.minutesLeft} min left</span>
        </p>
      )}
    </div>
  );
}

function PlayingButtons({ state, actions }: { state: ListenView['state']; actions: ListenActions }) {
  const still = state === 'paused' || state === 'stopped';
  return (
    <div className="playing-buttons" role="group" aria-label="While playing">
      <button type="button" onClick={actions.undo}>
        <Icon name="undo" />
        <span>
          Undo<span className="wide-only"> take</span>
        </span>
      </button>
      {still ? (
        <button type="button" className="act" onClick={actions.goOn}>
          <Icon name="goOn" />
          <span>Go on</span>
        </button>
      ) : (
        <button type="button" onClick={actions.pause}>
          <Icon name="pause" />
          <span>Pause</span>
        </button>
      )}
      <button type="button" onClick={actions.skip}>
        <span>Skip</span>
        <Icon name="skip" />
      </button>
    </div>
  );
}
