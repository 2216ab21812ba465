/** Home: the question, the way to the piano, earlier visits. */

import { lazy, Suspense, type ReactNode } from 'react';
import { useDroppedFiles } from '../droppedFile.ts';
import { Icon } from '../glyphs.tsx';
import { NoticeCards } from '../Notices.tsx';
import type { HomeActions, HomeView, VisitRow } from './view.ts';

/** Pictures come when they are asked for: starting to listen needs none. */
const HomeLinePicture = lazy(async () => ({ default: (await import('./HomeLinePicture.tsx')).HomeLinePicture }));

export function HomeScreen({ view, actions }: { view: HomeView; actions: HomeActions }) {
  useDroppedFiles(actions.openFiles);
  const { visits, roomForVisits, notices } = view;
  return (
    <main className="home">
      <h2 className="question">
        <span>Does every hammer rest</span> <span>the same way, and repeat?</span>
      </h2>
      <NoticeCards notices={notices} onAction={actions.notice} />
      <div className="home-line">
        <Suspense fallback={null}>
          <HomeLinePicture line={view.line} demo={actions.demo !== null} />
        </Suspense>
      </div>
      <div className="home-columns">
        <div className="home-starts">
          <p className="home-lead">
            Play each note slowly, then fast, beside this device. Evenfall says which to see to first.
          </p>
          <button type="button" className="act start" onClick={actions.start}>
            <Icon name="microphone" />
            Start listening
          </button>
          <div className="home-others">
            {actions.demo && (
              <button type="button" onClick={actions.demo}>
                <Icon name="visit" />
                Demo visit
              </button>
            )}
            <button type="button" className="drop" onClick={() => actions.openFiles([])}>
              <Icon name="file" />
              <span className="narrow-only">Open a file</span>
              <span className="drop-words">
                <span>
                  Drop a recording here, or <strong>choose a file</strong>
                </span>
                <small>WAV, FLAC, MP3, Ogg, M4A</small>
              </span>
            </button>
          </div>
        </div>
        <section className="visits" aria-labelledby="visits-title">
          <h2 id="visits-title">Visits</h2>
          {visits.length === 0 ? (
            <NothingHeard />
          ) : (
            <ul>
              {visits.map((visit) => (
                <li key={visit.id}>
                  <button type="button" onClick={() => actions.openVisit(visit.id)}>
                    <span className="visit-words">
                      <strong>{visit.piano}</strong>
                      <span>{rowWords(visit)}</span>
                    </span>
                    <Icon name="later" />
                  </button>
                </li>
              ))}
            </ul>
          )}
        </section>
      </div>
      <p className="home-foot">
        <Icon name="lock" />
        <span>
          The sound stays on this device.
          {roomForVisits !== null && ` Room for about ${roomForVisits} more visit${roomForVisits === 1 ? '' : 's'}.`}
        </span>
      </p>
    </main>
  );
}

function NothingHeard() {
  return (
    <div className="nothing-heard">
      <h3>
        <Icon name="sound" />
        Nothing heard yet
      </h3>
      <p>Play any note slowly, eight times, letting the key right up. Evenfall names it and starts by itself.</p>
    </div>
  );
}

/** "Quillwater Hall, today · 4 unstable, 6 to watch"; only what asks for a hand, or else what was found in order. */
function rowWords({ place, day, notes, open }: VisitRow): ReactNode {
  const { steady, watch, unstable, insufficient } = notes;
  const told: ReactNode[] = [];
  if (unstable > 0) told.push(<strong className="ember">{unstable} unstable</strong>);
  if (watch > 0) told.push(`${watch} to watch`);
  if (told.length === 0 && steady > 0) told.push(`${steady} steady`);
  if (unstable + watch === 0 && insufficient > 0) told.push(`${insufficient} not enough`);
  if (told.length === 0) told.push('no notes yet');
  if (open) told.push('not closed');
  return (
    <>
      {place && `${place}, `}
      {day} ·{' '}
      {told.map((part, i) => (
        <span key={i}>
          {i > 0 && ', '}
          {part}
        </span>
      ))}
    </>
  );
}
