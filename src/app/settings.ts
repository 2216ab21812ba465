/** What the reader set: the theme and the hand. Kept by whoever is called back; shown by data attributes on the root. */

import { useLayoutEffect } from 'react';

/** Closed lists, in the order in which they are offered. */
export const THEMES = ['device', 'stage', 'room'] as const;
export const HANDS = ['right', 'left'] as const;
export const LENGTHS = ['mm', 'inch'] as const;

export interface Settings {
  /** Stage is dark, Room is light; `device` follows the system. */
  readonly theme: (typeof THEMES)[number];
  /** `left` puts the playing buttons at the left edge. */
  readonly hand: (typeof HANDS)[number];
  /** What lengths are read in; kept are millimetres. */
  readonly lengths: (typeof LENGTHS)[number];
}

export const FIRST_SETTINGS: Settings = { theme: 'device', hand: 'right', lengths: 'mm' };

/** Under which system setting each theme is the device's own. */
const DEVICE_MEDIA = { stage: '(prefers-color-scheme: dark)', room: '(prefers-color-scheme: light)' } as const;

/**
 * Puts the settings on the root of the page (`data-theme`, `data-hand`), where the style sheets read them. The frame that the
 * browser draws around the page takes the colour of the theme as well (`theme-color` of `index.html`).
 */
export function useShownSettings({ theme, hand }: Settings): void {
  useLayoutEffect(() => {
    const { dataset } = document.documentElement;
    if (theme === 'device') delete dataset.theme;
    else dataset.theme = theme;
    dataset.hand = hand;
    for (const name of ['stage', 'room'] as const) {
      const meta = document.querySelector<HTMLMetaElement>(`meta[name="theme-color"][data-of="${name}"]`);
      if (meta) meta.media = theme === 'device' ? DEVICE_MEDIA[name] : theme === name ? 'all' : 'not all';
    }
  }, [theme, hand]);
}
