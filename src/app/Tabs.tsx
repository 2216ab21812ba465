/** The four places of a visit: at the foot of a phone, at the left edge of anything wider. */

import { HammerMark, Icon, type IconName } from './glyphs.tsx';

/** Places of a visit, in the order of the work. */
export const TABS = ['listen', 'compass', 'work', 'report'] as const;
export type Tab = (typeof TABS)[number];

const WORDS: Readonly<Record<Tab, readonly [string, IconName]>> = {
  listen: ['Listen', 'sound'],
  compass: ['Compass', 'visit'],
  work: ['Work', 'list'],
  report: ['Report', 'sheet'],
};

export interface TabsView {
  readonly chosen: Tab;
  /** Those that can be gone to. */
  readonly go: Partial<Readonly<Record<Tab, () => void>>>;
  readonly home: () => void;
}

export function Tabs({ chosen, go, home }: TabsView) {
  return (
    <nav className="tabs" aria-label="This visit">
      <button type="button" className="tabs-home" aria-label="Home" onClick={home}>
        <HammerMark />
      </button>
      {TABS.filter((tab) => go[tab]).map((tab) => (
        <button key={tab} type="button" aria-current={tab === chosen ? 'page' : undefined} onClick={go[tab]}>
          <Icon name={WORDS[tab][1]} />
          <span>{WORDS[tab][0]}</span>
        </button>
      ))}
    </nav>
  );
}
