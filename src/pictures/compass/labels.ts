/**
 * Direct labels over keys: names and counts. A name is one text whose letters are placed singly, so that the drawn sharp
 * stands between them; the sharps of many names are one element.
 */

import { keyName } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';
import { drawn, filled, TEXT_CLASS, type Colour } from '../colours.ts';
import { element, pathData, type PictureNode } from '../element.ts';

/** Advance of the bold capitals, of a figure, and of the sharp between them, ems. */
const LETTERS: Readonly<Record<string, number>> = { A: 0.67, B: 0.66, C: 0.66, D: 0.7, E: 0.59, F: 0.57, G: 0.71 };
const FIGURE = 0.6;
const SHARP = 0.48;

/** Width of a name that is `size` high. */
export function nameWidth(midi: MidiNote, size: number): number {
  const name = keyName(midi);
  return size * (LETTERS[name[0]] + FIGURE + (name.includes('#') ? SHARP : 0));
}

/** Names with their sharps, bold unless another weight is asked for, each about `x` on its baseline `y`. */
export function names(
  placed: readonly { readonly midi: MidiNote; readonly x: number; readonly y: number }[],
  size: number,
  colour: Colour = 'ink',
  weight = 700,
): PictureNode[] {
  const sharps: string[] = [];
  const texts = placed.map(({ midi, x, y }) => {
    const name = keyName(midi);
    const start = x - nameWidth(midi, size) / 2;
    const sharp = name.includes('#');
    const letter = LETTERS[name[0]] * size;
    if (sharp) sharps.push(sharpAt(start + letter, y, size));
    return element(
      'text',
      {
        x: pathData(start, start + letter + (sharp ? SHARP * size : 0)),
        y,
        'font-size': size,
        'font-weight': weight,
        class: `${filled(colour)} ${TEXT_CLASS}`,
      },
      `${name[0]}${name.slice(-1)}`,
    );
  });
  return sharps.length === 0
    ? texts
    : [
        ...texts,
        element('path', {
          d: sharps.join(' '),
          class: drawn(colour),
          'stroke-width': (weight < 600 ? 0.07 : 0.09) * size,
        }),
      ];
}

function sharpAt(x: number, y: number, size: number): string {
  const unit = (0.72 * size) / 20;
  const at = (px: number, py: number) => pathData(x + px * unit, y - 0.75 * size + py * unit);
  return `M ${at(3.9, 2)} L ${at(3.9, 19)} M ${at(8.1, 1)} L ${at(8.1, 18)} M ${at(1, 8.3)} L ${at(11, 5.7)} M ${at(1, 14.3)} L ${at(11, 11.7)}`;
}

/** Keeps a label of so wide within `left` to `right`. */
export function held(x: number, width: number, left: number, right: number): number {
  return Math.min(right - width / 2, Math.max(left + width / 2, x));
}

interface Wish {
  readonly x: number;
  readonly width: number;
  /** Greater is placed first. */
  readonly weight: number;
}

/** Those that fit beside one another, the weightier first; the others go without a label. */
export function withoutOverlap<W extends Wish>(wishes: readonly W[], gap = 4): W[] {
  const kept: W[] = [];
  for (const wish of [...wishes].sort((a, b) => b.weight - a.weight || a.x - b.x)) {
    const apart = kept.every((other) => Math.abs(other.x - wish.x) >= (other.width + wish.width) / 2 + gap);
    if (apart) kept.push(wish);
  }
  return kept;
}
