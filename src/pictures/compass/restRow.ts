/**
 * Rest: each shelf one usable slow stroke, in 100 from its note's own middle at equal loudness; a rod joins the outermost. The
 * band is two spreads of a firm note. How many strokes there were is seen: a shelf each. Past the axis an arrow head with the
 * number. Keys narrower than 6 pixels have dashes, narrower than 3 a rod with its middle; notes that wander are never thinned.
 */

import type { Colour } from '../colours.ts';
import { element, type PictureNode } from '../element.ts';
import { drawn, filled } from '../colours.ts';
import { text } from '../marks.ts';
import { scale } from '../scale.ts';
import { figure, signed } from '../words.ts';
import type { CompassNote } from './compassNote.ts';
import { held, nameWidth, names, withoutOverlap } from './labels.ts';
import { axisNumbers, type CompassLayout } from './layout.ts';
import { markMiddle, markWidth, type Manner } from './repeatsRow.ts';
import { draw, fill, stretch } from './shapes.ts';
import { arrow } from './timingRow.ts';

/** In 100, either way. */
const EDGE = 20;
const LINE = 15;
const DASHES_UNDER = 6;
const RODS_UNDER = 3;
/** Fewer strokes have no spread to speak of. */
const LEAST_STROKES = 3;

/** Height over the note's own middle. */
export function restScale({ rowRest, text: size }: CompassLayout): (percent: number) => number {
  const y = scale(-EDGE, EDGE, rowRest.bottom - 1, rowRest.top + size + 4);
  return (percent) => y(Math.max(-EDGE, Math.min(EDGE, percent)));
}

/** Lines, numbers and the band. */
export function restAxis(layout: CompassLayout, band: number | null): PictureNode[] {
  const y = restScale(layout);
  const { left, right, text: size } = layout;
  const marks: PictureNode[] = [];
  if (band !== null) {
    const box = { x: left, y: y(band), width: right - left, height: y(-band) - y(band), rx: 2 };
    marks.push(
      element('rect', { ...box, class: filled('band') }),
      element('rect', { ...box, class: drawn('edge'), 'stroke-width': 1 }),
    );
  }
  const lines = [LINE, -LINE].filter((percent) => band === null || Math.abs(Math.abs(percent) - band) > 1);
  return [
    ...draw(
      lines.map((percent) => stretch(left, y(percent), right, y(percent))),
      'hair',
      1,
    ),
    ...marks,
    ...axisNumbers(LINE, y, size).map((percent) =>
      text(left - 8, y(percent) + 0.36 * size, signed(percent), { anchor: 'end', size }),
    ),
  ];
}

/** Shelves and rods: one element a note, the rods of the quiet ones together. */
export function restMarks(notes: readonly CompassNote[], layout: CompassLayout, manner: Manner): PictureNode[] {
  const y = restScale(layout);
  const { key } = layout;
  const rods: string[] = [];
  const heads: string[] = [];
  const loud: PictureNode[] = [];
  const quiet: PictureNode[] = [];
  for (const { midi, offsets, colours } of notes) {
    if (offsets.length === 0) continue;
    const flagged = colours.rest !== 'ink3';
    const at = markMiddle(midi, layout, manner);
    const width =
      (flagged && manner === 'usual' ? 1.3 : 1) * Math.max(1.5, Math.min(20, 0.86 * markWidth(key, manner)));
    const within = offsets.filter((offset) => Math.abs(offset) <= EDGE);
    const [high, low] = [Math.max(...offsets), Math.min(...offsets)];
    const thinned = key < DASHES_UNDER && !flagged && manner === 'usual';
    const colour: Colour = manner === 'after' ? 'dusk' : manner === 'before' ? 'ink2' : colours.rest;
    const middle = key < RODS_UNDER && thinned;
    const shelves = (middle ? [0] : within).map((offset) =>
      stretch(at - width / 2, y(offset), at + width / 2, y(offset)),
    );
    if ((!thinned || middle) && offsets.length > 1) rods.push(stretch(at, y(high), at, y(low)));
    if (high > EDGE) heads.push(arrow(at, y(high), 1, 3));
    if (low < -EDGE) heads.push(arrow(at, y(low), -1, 3));
    const weight = manner === 'after' ? 2.2 : flagged && manner === 'usual' ? 3 : thinned ? 1 : 1.4;
    const few: Record<string, string> = offsets.length < LEAST_STROKES ? { 'stroke-dasharray': '2 1.5' } : {};
    (flagged ? loud : quiet).push(...draw(shelves, colour, weight, { ...few, 'data-key': midi }));
  }
  return [
    ...draw(rods, 'edge', 1, { opacity: 0.7 }),
    ...quiet,
    ...fill(heads, manner === 'after' ? 'dusk' : 'ink2'),
    ...loud,
  ];
}

/** Names over the notes that wander, and the numbers of strokes past the axis. */
export function restLabels(
  notes: readonly CompassNote[],
  layout: CompassLayout,
  also: (note: CompassNote) => boolean = () => false,
): PictureNode[] {
  const { x, left, right, text: size, rowRest } = layout;
  const named = withoutOverlap(
    notes
      .filter((note) => note.offsets.length > 0 && (note.colours.rest !== 'ink3' || also(note)))
      .map((note) => {
        const width = nameWidth(note.midi, size + 2);
        return { midi: note.midi, x: held(x(note.midi), width, left, right), width, weight: note.restRatio ?? 0 };
      }),
  ).map((one) => ({ ...one, y: rowRest.top + size - 2 }));
  const past = notes.flatMap(({ midi, offsets }) => {
    const numbers = [Math.max(0, ...offsets), Math.min(0, ...offsets)].filter((offset) => Math.abs(offset) > EDGE);
    return numbers.map((offset) => {
      const width = 1.3 * size;
      const y = offset > 0 ? rowRest.top + size + 12 : rowRest.bottom - 2;
      const beside = x(midi) + width / 2 + 5;
      const at = beside + width / 2 > right ? x(midi) - width / 2 - 5 : beside;
      return { offset, x: at, y, width, weight: Math.abs(offset) };
    });
  });
  const numbers = [true, false].flatMap((above) => withoutOverlap(past.filter(({ offset }) => offset > 0 === above)));
  return [
    ...names(named, size + 2),
    ...numbers.map(({ offset, x: at, y }) =>
      text(held(at, 1.3 * size, left, right), y, figure(offset).replace('\u2212', ''), {
        anchor: 'middle',
        size: size - 1,
        colour: 'ink2',
      }),
    ),
  ];
}
