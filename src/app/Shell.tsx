/** What stands around every screen but "Listen": mark, title, the way back, settings. */

import { useEffect, useRef, type ReactNode } from 'react';
import { BackButton } from './BackButton.tsx';
import { HammerMark, Icon } from './glyphs.tsx';
import { LengthsIn } from './lengths.ts';
import { Tabs, type TabsView } from './Tabs.tsx';
import { HANDS, LENGTHS, THEMES, type Settings } from './settings.ts';

interface Props {
  /** Null: the program's name with its mark. */
  title: string | null;
  /** Null: nowhere to go back to. */
  onBack: (() => void) | null;
  settings: Settings;
  onSettings: (settings: Settings) => void;
  /** Stands at the right of the title. */
  aside?: ReactNode;
  /** The places of the visit on the desk; none where there is no visit, or nothing should lead away. */
  tabs?: TabsView;
  children: ReactNode;
}

export function Shell({ title, onBack, settings, onSettings, aside, tabs, children }: Props) {
  const dialog = useRef<HTMLDialogElement>(null);
  return (
    <div className={tabs ? 'shell with-tabs' : 'shell'}>
      <header className="shell-head">
        {onBack && <BackButton onBack={onBack} leads={tabs && 'Home'} />}
        {title === null && <HammerMark />}
        <h1>{title ?? 'Evenfall'}</h1>
        {aside}
        <button type="button" className="bare" aria-label="Settings" onClick={() => dialog.current!.showModal()}>
          <Icon name="more" />
        </button>
      </header>
      <LengthsIn value={settings.lengths}>{children}</LengthsIn>
      {tabs && <Tabs {...tabs} />}
      <SettingsDialog dialog={dialog} settings={settings} onSettings={onSettings} />
    </div>
  );
}

const THEME_WORDS = { device: 'As the device', stage: 'Stage (dark)', room: 'Room (light)' } as const;
const LENGTH_WORDS = { mm: 'Millimetres', inch: 'Inches' } as const;
const HAND_WORDS = { right: 'At the right', left: 'At the left' } as const;

interface DialogProps {
  dialog: React.RefObject<HTMLDialogElement | null>;
  settings: Settings;
  onSettings: (settings: Settings) => void;
}

function SettingsDialog({ dialog, settings, onSettings }: DialogProps) {
  // A press beside the dialog closes it, as Escape does.
  useEffect(() => {
    const own = dialog.current!;
    const pressed = ({ target }: Event) => {
      if (target === own) own.close();
    };
    own.addEventListener('click', pressed);
    return () => own.removeEventListener('click', pressed);
  }, [dialog]);
  return (
    <dialog ref={dialog} className="settings" aria-labelledby="settings-title">
      <form method="dialog">
        <h2 id="settings-title">Settings</h2>
        <fieldset>
          <legend>Light</legend>
          {THEMES.map((theme) => (
            <Choice
              key={theme}
              group="theme"
              words={THEME_WORDS[theme]}
              chosen={settings.theme === theme}
              onChoose={() => onSettings({ ...settings, theme })}
            />
          ))}
        </fieldset>
        <fieldset>
          <legend>Buttons while playing</legend>
          {HANDS.map((hand) => (
            <Choice
              key={hand}
              group="hand"
              words={HAND_WORDS[hand]}
              chosen={settings.hand === hand}
              onChoose={() => onSettings({ ...settings, hand })}
            />
          ))}
        </fieldset>
        <fieldset>
          <legend>Lengths</legend>
          {LENGTHS.map((lengths) => (
            <Choice
              key={lengths}
              group="lengths"
              words={LENGTH_WORDS[lengths]}
              chosen={settings.lengths === lengths}
              onChoose={() => onSettings({ ...settings, lengths })}
            />
          ))}
        </fieldset>
        <button type="submit" className="act">
          Done
        </button>
      </form>
    </dialog>
  );
}

interface ChoiceProps {
  /** Name of the group that it is one of. */
  group: string;
  words: string;
  /** A second line. */
  detail?: string | null;
  chosen: boolean;
  onChoose: () => void;
}

/** One of several, as a row to tap. */
export function Choice({ group, words, detail = null, chosen, onChoose }: ChoiceProps) {
  return (
    <label className="choice">
      <input type="radio" name={group} checked={chosen} onChange={onChoose} />
      <span>
        {words}
        {detail && <small>{detail}</small>}
      </span>
    </label>
  );
}
