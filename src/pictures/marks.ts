/**
 * The drawn marks: texts, lines, and what a stroke looks like on its shelf.
 *
 * sounded: a dot over its shelf, higher is louder. silent: a cross on the shelf. weak: a half disc on it. double: a second,
 * smaller dot. Each has its own shape, so that colour is never needed to tell them apart.
 */

import { drawn, filled, STAMP_CLASS, TEXT_CLASS, type Colour } from './colours.ts';
import { element, pathData, type PictureNode } from './element.ts';
import type { Shape } from './heard.ts';

export const AXIS_SIZE = 13;

interface TextOptions {
  readonly size?: number;
  readonly colour?: Colour;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly bold?: boolean;
  readonly stamp?: boolean;
}

/** A text on its baseline. */
export function text(x: number, y: number, words: string, options: TextOptions = {}): PictureNode {
  const { size = AXIS_SIZE, colour = 'ink3', anchor = 'start', bold = false, stamp = false } = options;
  return element(
    'text',
    {
      x,
      y,
      'font-size': size,
      'text-anchor': anchor === 'start' ? null : anchor,
      'font-weight': bold || stamp ? 700 : null,
      class: `${filled(colour)} ${stamp ? STAMP_CLASS : TEXT_CLASS}`,
    },
    words,
  );
}

interface LineOptions {
  readonly width?: number;
  readonly dash?: string;
  readonly round?: boolean;
}

/** A straight line. */
export function line(
  x1: number,
  y1: number,
  x2: number,
  y2: number,
  colour: Colour,
  { width = 1, dash, round = false }: LineOptions = {},
): PictureNode {
  return element('path', {
    d: pathData('M', x1, y1, 'L', x2, y2),
    class: drawn(colour),
    'stroke-width': width,
    'stroke-dasharray': dash,
    'stroke-linecap': round ? 'round' : null,
  });
}

/** A filled dot. */
export function dot(cx: number, cy: number, r: number, colour: Colour): PictureNode {
  return element('circle', { cx, cy, r, class: filled(colour) });
}

/** An open ring of outer radius `r`. */
export function ring(cx: number, cy: number, r: number, colour: Colour, width = 2): PictureNode {
  return element('circle', { cx, cy, r: Math.max(0.5, r - width / 2), class: drawn(colour), 'stroke-width': width });
}

/** The upper half of a disc on the line at `y`. */
export function halfDisc(cx: number, y: number, r: number, colour: Colour): PictureNode {
  return element('path', { d: pathData('M', cx - r, y, 'A', r, r, 0, 0, 1, cx + r, y, 'Z'), class: filled(colour) });
}

/** A cross whose lower end stands at `y`, of arms `arm` long. */
export function cross(cx: number, y: number, arm: number, colour: Colour, width: number): PictureNode {
  const d = pathData('M', cx - arm, y - 2 * arm, 'L', cx + arm, y, 'M', cx - arm, y, 'L', cx + arm, y - 2 * arm);
  return element('path', { d, class: drawn(colour), 'stroke-width': width, 'stroke-linecap': 'round' });
}

/** A stroke on its shelf. */
export interface StrokeMark {
  readonly x: number;
  readonly shelf: number;
  readonly shape: Shape;
  /** Height of the dot's middle over the shelf; null where the level is not known. */
  readonly rise: number | null;
  /** Half the width of the shelf, pixels; the marks shrink with it. */
  readonly reach: number;
  /** Drawn as a ring. */
  readonly doubtful: boolean;
}

/** Elements of a stroke on its shelf, its shelf first. `data-shape` tells readers of the tree what it is. */
export function strokeMark({ x, shelf, shape, rise, reach, doubtful }: StrokeMark): PictureNode {
  const full = Math.min(1, reach / 9);
  const radius = Math.max(1.4, 5.2 * full);
  const thick = reach < 3 ? 1.5 : 3;
  const inner = reach < 3 ? reach : reach - thick / 2;
  const parts: PictureNode[] = [];
  const floor = (colour: Colour): PictureNode =>
    line(x - inner, shelf, x + inner, shelf, colour, { width: thick, round: reach >= 3 });
  if (shape === 'silent') {
    const arm = Math.max(2, 4.5 * full);
    parts.push(floor('ember'), cross(x, shelf - 5, arm, 'ember', full < 0.6 ? 1.5 : 2.4));
  } else if (shape === 'weak') {
    parts.push(floor('ink'), halfDisc(x, shelf - thick / 2, Math.max(2, 6.5 * full), 'ember'));
  } else if (shape === 'double') {
    parts.push(dot(x, shelf - (rise ?? 8), Math.max(1.2, 0.62 * radius), 'ember'));
  } else {
    const top = shelf - (rise ?? radius + thick / 2);
    if (rise !== null) parts.push(line(x, shelf - thick / 2, x, top + radius, 'ink3', { width: full < 0.6 ? 1 : 1.5 }));
    parts.push(floor('ink'), doubtful ? ring(x, top, radius, 'ink', full < 0.6 ? 1 : 2) : dot(x, top, radius, 'ink'));
  }
  return element('g', { 'data-shape': shape, 'data-x': x }, ...parts);
}
