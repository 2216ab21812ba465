/** Pieces of path data, so that many marks of one weight are one element. Lengths in pixels. */

import { drawn, filled, type Colour } from '../colours.ts';
import { element, pathData, type PictureNode } from '../element.ts';

/** A rectangle from its upper left corner. */
export function box(x: number, y: number, width: number, height: number): string {
  return pathData('M', x, y, 'h', width, 'v', height, 'h', -width, 'Z');
}

/** A disc about its middle. */
export function disc(x: number, y: number, radius: number): string {
  return pathData(
    'M',
    x - radius,
    y,
    'a',
    radius,
    radius,
    0,
    1,
    0,
    2 * radius,
    0,
    'a',
    radius,
    radius,
    0,
    1,
    0,
    -2 * radius,
    0,
    'Z',
  );
}

/** A straight line. */
export function stretch(x1: number, y1: number, x2: number, y2: number): string {
  return pathData('M', x1, y1, 'L', x2, y2);
}

/** One filled element of many pieces; none without pieces. */
export function fill(
  pieces: readonly string[],
  colour: Colour,
  more: Readonly<Record<string, string | number>> = {},
): PictureNode[] {
  return pieces.length === 0 ? [] : [element('path', { d: pieces.join(' '), class: filled(colour), ...more })];
}

/** One drawn element of many pieces; none without pieces. */
export function draw(
  pieces: readonly string[],
  colour: Colour,
  width: number,
  more: Readonly<Record<string, string | number>> = {},
): PictureNode[] {
  return pieces.length === 0
    ? []
    : [element('path', { d: pieces.join(' '), class: drawn(colour), 'stroke-width': width, ...more })];
}

/** Marks put behind the others. */
export function faint(marks: readonly PictureNode[], opacity: number): PictureNode[] {
  return marks.length === 0 ? [] : [element('g', { opacity }, ...marks)];
}
