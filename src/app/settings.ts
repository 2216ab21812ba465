/** What the reader set: the theme and the hand. Kept by whoever is called back; shown by data attributes on the root. */

import { useLayoutEffect } from 'react';

/** Closed lists, in the order in which they are offered. */
export const THEMES = ['device', 'stage', 'room'] as const;
export const HANDS = ['right', 'left'] as const;

export interface Settings {
  /** Stage is dark, Room is light; `device` follows the system. */
  readonly theme: (typeof THEMES)[number];
  /** `left` puts the playing buttons at the left edge. */
  readonly hand: (typeof HANDS)[number];
}

export const FIRST_SETTINGS: Settings = { theme: 'device', hand: 'right' };

/** Puts the settings on the root of the page (`data-theme`, `data-hand`), where the style sheets read them. */
export function useShownSettings({ theme, hand }: Settings): void {
  useLayoutEffect(() => {
    const { dataset } = document.documentElement;
    if (theme === 'device') delete dataset.theme;
    else dataset.theme = theme;
    dataset.hand = hand;
  }, [theme, hand]);
}
