/** The reader's settings, kept by the browser beside the record: they belong to the device, not to a piano. */

import { FIRST_SETTINGS, HANDS, LENGTHS, THEMES, type Settings } from '../settings.ts';

const NAME = 'evenfall-settings';

/** As kept last; the first ones where nothing is kept, or nothing that can be read. */
export function keptSettings(): Settings {
  try {
    const kept = JSON.parse(localStorage.getItem(NAME) ?? '{}') as Partial<Record<keyof Settings, unknown>>;
    return {
      theme: THEMES.find((theme) => theme === kept.theme) ?? FIRST_SETTINGS.theme,
      hand: HANDS.find((hand) => hand === kept.hand) ?? FIRST_SETTINGS.hand,
      lengths: LENGTHS.find((lengths) => lengths === kept.lengths) ?? FIRST_SETTINGS.lengths,
    };
  } catch {
    return FIRST_SETTINGS;
  }
}

/** Keeps them; where the browser keeps nothing, they last as long as the page. */
export function keepSettings(settings: Settings): void {
  try {
    localStorage.setItem(NAME, JSON.stringify(settings));
  } catch {
    // Nothing is kept in this browser: said already, where the record is opened.
  }
}
