/** Which keys the compass shows, and which key comes next. Formatting of places only: no pixels are measured here. */

import { HIGHEST_KEY, LOWEST_KEY } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';

/** The keys shown, both ends included. */
export interface KeyWindow {
  readonly from: MidiNote;
  readonly to: MidiNote;
}

const ALL = HIGHEST_KEY - LOWEST_KEY + 1;
/** Keys left beside the selected one where the window moves by itself. */
const MARGIN = 2;
/** From this width on all keys have room, CSS pixels with text of its usual size. */
const WIDE = 640;
/** From here on text counts as large: half as many keys are drawn. */
const LARGE_TEXT = 1.5;

/** True where text is so large that half the keys are drawn and the table is offered first. */
export function isLargeText(textTimes: number): boolean {
  return textTimes >= LARGE_TEXT;
}

/** True where all keys stand side by side. */
export function isWide(width: number, textTimes: number): boolean {
  return width >= WIDE && !isLargeText(textTimes);
}

/** How many keys a width has room for: 22 on a phone, 88 on a laptop; half as many with large text. */
export function keysFor(width: number, textTimes: number): number {
  const usual = width >= WIDE ? ALL : 22;
  return isLargeText(textTimes) ? usual / 2 : usual;
}

/** The window of so many keys that holds the selected key, moved from where it was no further than needed. */
export function windowAround(selected: MidiNote, from: MidiNote, keys: number): KeyWindow {
  const margin = Math.min(MARGIN, Math.floor((keys - 1) / 2));
  const least = Math.max(from, selected + margin - keys + 1);
  const start = Math.min(least, selected - margin);
  const held = Math.max(LOWEST_KEY, Math.min(HIGHEST_KEY - keys + 1, start));
  return { from: held, to: held + keys - 1 };
}

/** The nearest of some keys above or below; null where there is none. */
export function nextOf(midis: readonly MidiNote[], from: MidiNote, way: 1 | -1): MidiNote | null {
  const beyond = midis.filter((midi) => (way === 1 ? midi > from : midi < from));
  if (beyond.length === 0) return null;
  return way === 1 ? Math.min(...beyond) : Math.max(...beyond);
}

/** The key that a press of a key of the keyboard leads to; null for keys that do nothing here. */
export function keyAfter(pressed: string, selected: MidiNote, flagged: readonly MidiNote[]): MidiNote | null {
  const held = (midi: MidiNote) => Math.max(LOWEST_KEY, Math.min(HIGHEST_KEY, midi));
  switch (pressed) {
    case 'ArrowRight':
    case 'ArrowUp':
      return held(selected + 1);
    case 'ArrowLeft':
    case 'ArrowDown':
      return held(selected - 1);
    case 'PageUp':
      return nextOf(flagged, selected, 1) ?? selected;
    case 'PageDown':
      return nextOf(flagged, selected, -1) ?? selected;
    case 'Home':
      return LOWEST_KEY;
    case 'End':
      return HIGHEST_KEY;
    default:
      return null;
  }
}
