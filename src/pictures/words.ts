/**
 * Words and figures of the pictures. Minus is U+2212; a sharp is drawn, and "sharp" where it is read aloud.
 */

import type { Verdict } from '../analysis/document.ts';
import { keyName } from '../piano/keys.ts';
import type { MidiNote } from '../units.ts';

export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  steady: 'Steady',
  watch: 'Watch',
  unstable: 'Unstable',
  insufficient: 'Not enough yet',
};

/** A note's name as spoken: "A4", "A sharp 4". */
export function spokenNote(midi: MidiNote): string {
  return keyName(midi).replace(/#/, ' sharp ');
}

/** A number with so many decimals and a true minus; what rounds to nothing has no sign. */
export function figure(value: number, decimals = 0): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `\u2212${text}` : text;
}

/** With a plus where it is above nothing: "+20", "0", "−20". */
export function signed(value: number, decimals = 0): string {
  const text = figure(value, decimals);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

/** "3 strokes", "1 stroke". */
export function counted(n: number, thing: string): string {
  return `${n} ${thing}${n === 1 ? '' : 's'}`;
}

/** "48 ms" or "48 to 61 ms": the least and the greatest of values, rounded; empty without values. */
export function span(values: readonly number[], unit: string, decimals = 0): string {
  if (values.length === 0) return '';
  const [low, high] = [figure(Math.min(...values), decimals), figure(Math.max(...values), decimals)];
  return low === high ? `${low} ${unit}` : `${low} to ${high} ${unit}`;
}

/** Widths of letters in the widest of the usual text faces, ems: the face of the reader's system is not known. */
const WIDTHS: readonly (readonly [RegExp, number])[] = [
  [/[ijl.,:;'|!]/, 0.34],
  [/[ frt()[\]/-]/, 0.42],
  [/[mwMW@%&<>+=~\u2212]/, 0.98],
  [/[A-Z]/, 0.75],
  [/[ -\u024f\u2010-\u2026]/, 0.64],
];
const OTHER_LETTER = 1.05;

/** Width that a text of `size` pixels may take; bold a tenth more. */
export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const letter of text) ems += WIDTHS.find(([letters]) => letters.test(letter))?.[1] ?? OTHER_LETTER;
  return ems * size;
}

/** A text that is too wide for `width` pixels, cut with "\u2026" at its end. */
export function cutToFit(text: string, width: number, size: number): string {
  if (textWidth(text, size) <= width) return text;
  let kept = '';
  for (const letter of text) {
    if (textWidth(`${kept}${letter}\u2026`, size) > width) break;
    kept += letter;
  }
  return `${kept}\u2026`;
}

/** A text broken at blanks into lines that fit `width` pixels; a longer word stands alone and is cut with "\u2026". */
export function wrapped(text: string, width: number, size: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ').filter(Boolean)) {
    const longer = lines.length > 0 ? `${lines.at(-1)} ${word}` : null;
    if (longer !== null && textWidth(longer, size) <= width) lines[lines.length - 1] = longer;
    else lines.push(cutToFit(word, width, size));
  }
  return lines;
}
