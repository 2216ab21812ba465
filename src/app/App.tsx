/** The whole page: whichever screen is on the desk, with what it shows and does. */

import { lazy, Suspense, useEffect, useRef, useState, useSyncExternalStore } from 'react';
import { SoundCheckScreen } from './check/SoundCheckScreen.tsx';
import type { Desk } from './desk/desk.ts';
import { homeView, roundView } from './desk/homeView.ts';
import { leaveForm, openChosenPiano, openVisitForm, startRound } from './desk/forms.ts';
import { keptSettings, keepSettings } from './desk/keptSettings.ts';
import { openReport } from './desk/reportActions.ts';
import { answerWhilePlaying, backFromNote, openWork } from './desk/workActions.ts';
import { offersOf } from './desk/plans.ts';
import { hearProposed } from './desk/sampledNext.ts';
import { useDroppedFiles } from './droppedFile.ts';
import { useAtOnce } from './fields/useAtOnce.ts';
import { useFocusKept } from './focusKept.ts';
import { HomeScreen } from './home/HomeScreen.tsx';
import { StartScreen } from './home/StartScreen.tsx';
import { ListenScreen } from './listen/ListenScreen.tsx';
import type { ListenActions } from './listen/view.ts';
import { RoundScreen } from './round/RoundScreen.tsx';
import type { RoundView } from './round/view.ts';
import { useShownSettings, type Settings } from './settings.ts';
import { Shell } from './Shell.tsx';
import type { Tab, TabsView } from './Tabs.tsx';
import { WaitingNotice } from './update/WaitingNotice.tsx';

/** Files and their decoders come when they are asked for: listening needs none of them. */
const Page = lazy(async () => ({ default: (await import('./Page.tsx')).Page }));

const CompassOf = lazy(async () => ({ default: (await import('./RoundScreens.tsx')).CompassOf }));
const NoteOf = lazy(async () => ({ default: (await import('./RoundScreens.tsx')).NoteOf }));
const WorkOf = lazy(async () => ({ default: (await import('./WorkOf.tsx')).WorkOf }));
const FormsOf = lazy(async () => ({ default: (await import('./FormsOf.tsx')).FormsOf }));
const ReportOf = lazy(async () => ({ default: (await import('./ReportOf.tsx')).ReportOf }));
const SeasonsOf = lazy(async () => ({ default: (await import('./SeasonsOf.tsx')).SeasonsOf }));
const BackupOf = lazy(async () => ({ default: (await import('./BackupOf.tsx')).BackupOf }));

/** A file dropped where none is read must not take the place of the page, and of a sitting with it. */
const LEFT_ALONE = () => undefined;

export function App({ desk }: { desk: Desk }) {
  useSyncExternalStore(desk.subscribe, desk.snapshot);
  const [settings, setSettings] = useState(keptSettings);
  useShownSettings(settings);
  useDroppedFiles(LEFT_ALONE);
  useFocusKept(desk.screen);
  useEffect(() => void desk.open(), [desk]);
  const frame = {
    settings,
    onSettings: (next: Settings) => {
      setSettings(next);
      keepSettings(next);
    },
  };
  const home = () => void desk.home();
  switch (desk.screen) {
    case 'home':
      return (
        <Shell
          title={null}
          onBack={null}
          {...frame}
          aside={
            <button type="button" className="bare-word" onClick={() => desk.go('backup')}>
              Backup
            </button>
          }
        >
          <WaitingNotice />
          <Home desk={desk} />
        </Shell>
      );
    case 'file':
      return (
        <Suspense fallback={null}>
          <Page onBack={home} files={desk.files} onRound={(read, signal) => void desk.openRecorded(read, signal)} />
        </Suspense>
      );
    case 'start':
      return (
        <Shell title="Before you start" onBack={home} {...frame}>
          <Start desk={desk} unit={settings.lengths} />
        </Shell>
      );
    case 'check':
      return (
        <Shell title="Sound check" onBack={() => void desk.stopListening()} {...frame}>
          {desk.check && (
            <SoundCheckScreen
              view={desk.check.view(desk.microphones)}
              actions={{
                choose: (microphone) => void desk.chooseMicrophone(microphone),
                start: () => desk.beginListening(),
                notice: () => void desk.again(),
              }}
            />
          )}
        </Shell>
      );
    case 'listen':
      return desk.view && <ListenScreen view={desk.view} actions={listenActions(desk)} />;
    case 'compass':
      return (
        <Shell title="Compass" onBack={home} tabs={tabsOf(desk, 'compass')} {...frame}>
          <Suspense fallback={null}>
            <CompassOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'note':
      return (
        <Shell
          title={`Round ${desk.sitting?.book.round.number ?? ''}`}
          onBack={() => void backFromNote(desk)}
          {...frame}
        >
          <Suspense fallback={null}>
            <NoteOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'work':
      return (
        <Shell title="Worklist" onBack={home} tabs={tabsOf(desk, 'work')} {...frame}>
          <Suspense fallback={null}>
            <WorkOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'piano':
    case 'visit':
    case 'gauges':
      return (
        <Shell title={FORM_TITLES[desk.screen]} onBack={() => void leaveForm(desk)} {...frame}>
          <Suspense fallback={null}>
            <FormsOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'report':
      return (
        <Shell title="Report" onBack={home} tabs={tabsOf(desk, 'report')} {...frame}>
          <Suspense fallback={null}>
            <ReportOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'seasons':
      return (
        <Shell title="Seasons" onBack={() => desk.go('round')} {...frame}>
          <Suspense fallback={null}>
            <SeasonsOf desk={desk} />
          </Suspense>
        </Shell>
      );
    case 'backup':
      return (
        <Shell title="Backup" onBack={home} {...frame}>
          <Suspense fallback={null}>{desk.store && <BackupOf desk={desk} store={desk.store} />}</Suspense>
        </Shell>
      );
    case 'round':
      return (
        <Shell
          title={`Round ${desk.sitting?.book.round.number ?? ''}`}
          onBack={home}
          tabs={tabsOf(desk, 'listen')}
          {...frame}
        >
          <RoundOf desk={desk} />
        </Shell>
      );
  }
}

function Start({ desk, unit }: { desk: Desk; unit: Settings['lengths'] }) {
  const [choices, onChange] = useAtOnce(desk.choices, (chosen) => desk.choose(chosen));
  return (
    <StartScreen
      offers={offersOf(choices, desk.shelves, desk.notices, new Date().toISOString())}
      choices={choices}
      onChange={onChange}
      onStart={() => void startRound(desk)}
      onNotice={(code) => desk.dismiss(code)}
      onHandFile={(file) => void desk.takeHand(file)}
      onPiano={() => void openChosenPiano(desk, unit)}
    />
  );
}

/** The places of the visit on the desk. */
function tabsOf(desk: Desk, chosen: Tab): TabsView {
  return {
    chosen,
    home: () => void desk.home(),
    go: {
      listen: () => desk.go('round'),
      compass: () => desk.go('compass'),
      work: () => void openWork(desk),
      report: () => void openReport(desk),
    },
  };
}

const FORM_TITLES = { piano: 'This piano', visit: 'This visit', gauges: 'Gauge readings' } as const;

function Home({ desk }: { desk: Desk }) {
  return (
    <HomeScreen
      view={homeView(desk, new Date())}
      actions={{
        start: () => desk.go('start'),
        openFiles: (files) => desk.openFiles(files),
        openVisit: (id) => void desk.openVisit(id),
        demo: () => void desk.openDemo(),
        notice: (code) => desk.dismiss(code),
      }}
    />
  );
}

function RoundOf({ desk }: { desk: Desk }) {
  const before = useRef<RoundView>(null);
  const view = roundView(desk, before.current);
  useEffect(() => {
    before.current = view;
  });
  if (!view) return null;
  return (
    <RoundScreen
      view={view}
      actions={{
        goOn: () => void desk.listen('listen'),
        playAgain: (midi) => void desk.playAgain(midi),
        openNote: (midi) => desk.openNote(midi),
        visit: () => openVisitForm(desk),
        seasons: () => desk.go('seasons'),
        closeRound: () => void desk.closeRound(),
        hearNext: () => void hearProposed(desk),
        undo: () => void desk.undo(),
        keepHand: (name) => void desk.keepHand(name),
        keepRound: (choice) => void desk.keepRound(choice),
        notice: (code, action) => {
          if (action === 'take-over') void desk.takeOver();
          else if (action === 'work') void openWork(desk);
          else desk.dismiss(code);
        },
      }}
    />
  );
}

function listenActions(desk: Desk): ListenActions {
  const sitting = desk.sitting!;
  return {
    undo: () => void desk.undo(),
    pause: () => sitting.pause(),
    goOn: () => sitting.goOn(),
    skip: () => sitting.skip(),
    jams: () => sitting.jams(),
    ask: (asked) => {
      const midi = desk.view?.note?.midis[0];
      if (midi !== undefined) sitting.ask({ midi, asked });
    },
    close: () => void desk.stopListening(),
    answer: (midi, adjusted) => void answerWhilePlaying(desk, midi, adjusted),
    notice: (code, action) => {
      if (action === 'again') void desk.again();
      else if (action === 'save') void desk.saveHeld();
      else if (action === 'retry') void sitting.retry();
      else if (code === 'rest') sitting.goOn();
    },
  };
}
