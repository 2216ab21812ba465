/** Every screen by name in the address, from invented data; not shipped. What the actions were is written on the root. */

import { useState, useSyncExternalStore } from 'react';
import { createRoot } from 'react-dom/client';
import { BackupScreen } from '../../../src/app/backup/BackupScreen.tsx';
import { SoundCheckScreen } from '../../../src/app/check/SoundCheckScreen.tsx';
import { CompassScreen } from '../../../src/app/compass/CompassScreen.tsx';
import { HomeScreen } from '../../../src/app/home/HomeScreen.tsx';
import { StartScreen } from '../../../src/app/home/StartScreen.tsx';
import { ListenScreen } from '../../../src/app/listen/ListenScreen.tsx';
import type { ListenView } from '../../../src/app/listen/view.ts';
import { NoteScreen } from '../../../src/app/note/NoteScreen.tsx';
import type { SoundPlace } from '../../../src/app/note/view.ts';
import { Page } from '../../../src/app/Page.tsx';
import { ReportScreen } from '../../../src/app/report/ReportScreen.tsx';
import { RoundScreen } from '../../../src/app/round/RoundScreen.tsx';
import { SeasonsScreen } from '../../../src/app/seasons/SeasonsScreen.tsx';
import { SEASONS_VIEWS } from './seasonsViews.ts';
import { FIRST_SETTINGS, useShownSettings } from '../../../src/app/settings.ts';
import { Shell } from '../../../src/app/Shell.tsx';
import { TABS, type Tab } from '../../../src/app/Tabs.tsx';
import { UpdateNotice } from '../../../src/app/update/UpdateNotice.tsx';
import { WorkScreen } from '../../../src/app/work/WorkScreen.tsx';
import { COMPASS_VIEWS } from './compassViews.ts';
import { BACKUP_VIEWS, UPDATE_VIEWS } from './keepingViews.ts';
import { FormAlive } from './FormAlive.tsx';
import { LISTEN_VIEWS } from './listenViews.ts';
import { NOTE_VIEWS, NOTE_WORK } from './noteViews.ts';
import { CHECK_VIEWS, HOME_VIEWS, OFFERS, ROUND_VIEWS, START_CHOICES } from './otherViews.ts';
import { REPORT_VIEWS } from './reportViews.ts';
import { WORK_VIEWS } from './workViews.ts';

function acted(...words: readonly unknown[]): void {
  const { dataset } = document.documentElement;
  dataset.acted = `${dataset.acted ?? ''}${words.map((word) => JSON.stringify(word)).join(' ')};`;
}

/** An action that only says that it was asked for. */
const says =
  (name: string) =>
  (...given: readonly unknown[]) =>
    acted(name, ...given);

const LISTEN_ACTIONS = {
  undo: () => acted('undo'),
  pause: () => acted('pause'),
  goOn: () => acted('goOn'),
  skip: () => acted('skip'),
  jams: () => acted('jams'),
  ask: says('ask'),
  close: () => acted('close'),
  answer: says('answer'),
  notice: says('notice'),
};

const HOME_ACTIONS = {
  start: () => acted('start'),
  openFiles: () => acted('openFiles'),
  openVisit: says('openVisit'),
  demo: () => acted('demo'),
  notice: says('notice'),
};

const BACKUP_ACTIONS = {
  choose: says('choose'),
  save: () => acted('save'),
  restore: (file: File) => acted('restore', file.name),
  ask: () => acted('ask'),
  keep: () => acted('keep'),
  remove: () => acted('remove'),
  stop: () => acted('stop'),
  notice: says('notice'),
};

const REPORT_ACTIONS = {
  print: () => acted('print'),
  save: () => acted('save'),
  saveTables: () => acted('saveTables'),
  saveVisit: () => acted('saveVisit'),
  saveSound: () => acted('saveSound'),
};

function BackupWord() {
  return (
    <button type="button" className="bare-word" onClick={() => acted('backup')}>
      Backup
    </button>
  );
}

function useHash(): string {
  return useSyncExternalStore(
    (changed) => {
      window.addEventListener('hashchange', changed);
      return () => window.removeEventListener('hashchange', changed);
    },
    () => location.hash.slice(1),
  );
}

function Gallery() {
  const [screen, name, midi] = useHash().split('/');
  const [settings, setSettings] = useState(FIRST_SETTINGS);
  useShownSettings(settings);
  const frame = { settings, onSettings: setSettings };
  const WORK_ACTIONS = {
    order: says('order'),
    adjusted: says('adjusted'),
    turned: says('turned'),
    undo: says('undoTurn'),
    mark: says('mark'),
    answer: says('answer'),
    time: says('time'),
    open: says('open'),
    gauge: says('gauge'),
    hear: () => acted('hear'),
    hearFresh: () => acted('hearFresh'),
  };

  const back = () => acted('back');
  const tabs = (chosen: Tab) => ({
    chosen,
    home: () => acted('home'),
    go: Object.fromEntries(TABS.map((tab) => [tab, () => acted('tab', tab)])),
  });
  switch (screen) {
    case 'listen':
      return <ListenScreen view={listenView(name, midi)} actions={LISTEN_ACTIONS} />;
    case 'home':
      return (
        <Shell title={null} onBack={null} {...frame}>
          <HomeScreen view={HOME_VIEWS[name]} actions={{ ...HOME_ACTIONS, demo: null }} />
        </Shell>
      );
    case 'update':
      return (
        <Shell title={null} onBack={null} {...frame} aside={<BackupWord />}>
          <UpdateNotice
            {...UPDATE_VIEWS[name]}
            onApply={() => acted('update', 'now')}
            onLater={() => acted('update', 'later')}
          />
          <HomeScreen view={HOME_VIEWS.visits} actions={HOME_ACTIONS} />
        </Shell>
      );
    case 'backup':
      return (
        <Shell title="Backup" onBack={back} {...frame}>
          <BackupScreen view={BACKUP_VIEWS[name]} actions={BACKUP_ACTIONS} />
        </Shell>
      );
    case 'start':
      return (
        <Shell title="Before you start" onBack={back} {...frame}>
          <StartScreenAlive key={name} name={name} />
        </Shell>
      );
    case 'check': {
      const props = {
        view: CHECK_VIEWS[name],
        actions: { choose: says('choose'), start: () => acted('start'), notice: says('notice') },
      };
      return (
        <Shell title="Sound check" onBack={back} {...frame}>
          <SoundCheckScreen {...props} />
        </Shell>
      );
    }
    case 'round':
      return (
        <Shell title="Round 1" onBack={back} tabs={tabs('listen')} {...frame}>
          <RoundScreen
            view={ROUND_VIEWS[name]}
            actions={{
              goOn: () => acted('goOn'),
              playAgain: says('playAgain'),
              closeRound: () => acted('closeRound'),
              hearNext: () => acted('hearNext'),
              keepHand: says('keepHand'),
              keepRound: says('keepRound'),
              openNote: says('openNote'),
              visit: () => acted('visit'),
              seasons: () => acted('seasons'),
              undo: () => acted('undo'),
              notice: says('notice'),
            }}
          />
        </Shell>
      );
    case 'report':
      return (
        <Shell title="Report" onBack={back} tabs={tabs('report')} {...frame}>
          <ReportScreen key={name} view={REPORT_VIEWS[name]} actions={REPORT_ACTIONS} />
        </Shell>
      );
    case 'work':
      return (
        <Shell title="Worklist" onBack={back} tabs={tabs('work')} {...frame}>
          <WorkScreen key={name} view={WORK_VIEWS[name]} actions={WORK_ACTIONS} />
        </Shell>
      );
    case 'seasons':
      return (
        <Shell title="Seasons" onBack={back} {...frame}>
          <SeasonsScreen view={SEASONS_VIEWS[name]} actions={{ open: says('open') }} />
        </Shell>
      );
    case 'compass':
      return (
        <Shell title="Compass" onBack={back} tabs={tabs('compass')} {...frame}>
          <CompassScreen
            key={name}
            view={COMPASS_VIEWS[name]}
            actions={{ open: says('open'), chooseRound: says('chooseRound') }}
          />
        </Shell>
      );
    case 'note':
      return (
        <Shell title="Round 1" onBack={back} {...frame}>
          <NoteScreenAlive key={name} name={name} />
        </Shell>
      );
    case 'piano':
    case 'visit':
    case 'gauges':
      return (
        <Shell title="Forms" onBack={back} {...frame}>
          <FormAlive key={`${screen} ${name}`} screen={screen} name={name} acted={acted} />
        </Shell>
      );
    case 'file':
      return <Page onBack={back} onRound={() => acted('round')} />;
    default:
      return <p>{screen ? `no screen "${screen}"` : 'name a screen after #'}</p>;
  }
}

/** The view of that name, with another note where a third part of the address names one. */
function listenView(name: string, midi: string | undefined): ListenView {
  const view: ListenView = (LISTEN_VIEWS as Record<string, ListenView>)[name];
  return midi === undefined ? view : { ...view, note: { midis: [Number(midi)], heard: true, section: null } };
}

function StartScreenAlive({ name }: { name: string }) {
  const [choices, setChoices] = useState(START_CHOICES[name]);
  return (
    <StartScreen
      offers={OFFERS}
      choices={choices}
      onChange={setChoices}
      onStart={() => acted('start', choices.plan, choices.picked)}
      onNotice={says('notice')}
      onHandFile={(file) => acted('handFile', file.name)}
      onPiano={() => acted('piano')}
    />
  );
}

function NoteScreenAlive({ name }: { name: string }) {
  const [playing, setPlaying] = useState<SoundPlace | null>(null);
  return (
    <NoteScreen
      view={NOTE_VIEWS[name]}
      playing={playing}
      work={NOTE_WORK[name] ?? null}
      actions={{
        onPlay: (takeId, seconds) => {
          acted('onPlay', takeId, seconds);
          setPlaying({ takeId, seconds });
        },
        onStop: () => {
          acted('onStop');
          setPlaying(null);
        },
        open: says('open'),
        playAgain: says('playAgain'),
        adjusted: says('adjusted'),
        leaveAsIs: says('leaveAsIs'),
        gauge: says('gauge'),
      }}
    />
  );
}

createRoot(document.getElementById('page')!).render(<Gallery />);
