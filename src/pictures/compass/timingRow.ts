/**
 * Timing: a dot a note, in 100 off its neighbours at one loudness, with a whisker where it lies 9 times in 10; above is late.
 * A note that is not judged is a ring with a dashed whisker; where nothing can be said, nothing is drawn.
 */

import type { MidiNote } from '../../units.ts';
import type { Colour } from '../colours.ts';
import type { PictureNode } from '../element.ts';
import { text } from '../marks.ts';
import { scale } from '../scale.ts';
import { signed } from '../words.ts';
import type { CompassNote, Timing } from './compassNote.ts';
import { held, nameWidth, names, withoutOverlap } from './labels.ts';
import { axisNumbers, type CompassLayout } from './layout.ts';
import { markMiddle, type Manner } from './repeatsRow.ts';
import { disc, draw, fill, stretch } from './shapes.ts';

/** In 100, either way; further ones stand at the edge with an arrow head. */
const EDGE = 9;
const LINE = 6;

/** Height over the neighbours' line. */
export function timingScale({ rowTiming }: CompassLayout): (percent: number) => number {
  const y = scale(-EDGE, EDGE, rowTiming.bottom - 2, rowTiming.top + 2);
  return (percent) => y(Math.max(-EDGE, Math.min(EDGE, percent)));
}

/** Lines, numbers, and the zero shelf, broken where the sections part. */
export function timingAxis(layout: CompassLayout, sections: readonly (readonly [number, number])[]): PictureNode[] {
  const y = timingScale(layout);
  const { left, right, text: size } = layout;
  return [
    ...draw(
      [LINE, -LINE].map((percent) => stretch(left, y(percent), right, y(percent))),
      'hair',
      1,
    ),
    ...draw(
      sections.map(([from, to]) => stretch(from, y(0), to, y(0))),
      'edge',
      1.5,
    ),
    ...axisNumbers(LINE, y, size).map((percent) =>
      text(left - 8, y(percent) + 0.36 * size, signed(percent), { anchor: 'end', size }),
    ),
  ];
}

interface Placed extends Timing {
  readonly midi: MidiNote;
  readonly at: number;
  readonly ringed: boolean;
  readonly colour: Colour;
}

/** Dots and whiskers, one element for all of a weight. */
export function timingMarks(notes: readonly CompassNote[], layout: CompassLayout, manner: Manner): PictureNode[] {
  const y = timingScale(layout);
  const { key } = layout;
  const radius = Math.max(1.2, Math.min(4.5, 0.36 * key));
  const placed = notes.flatMap(({ midi, timing, verdict, colours }): Placed[] => {
    if (timing === null) return [];
    const colour = manner === 'after' ? 'dusk' : manner === 'before' ? 'ink2' : colours.timing;
    const ringed = manner === 'before' || verdict === 'insufficient';
    return [{ ...timing, midi, at: markMiddle(midi, layout, manner), ringed, colour }];
  });
  const whiskers = ({ at, value, low, high }: Placed): string[] => {
    const middle = y(value);
    const [top, foot] = [y(high), y(low)];
    return [
      ...(top < middle - radius ? [stretch(at, top, at, middle - radius)] : []),
      ...(foot > middle + radius ? [stretch(at, middle + radius, at, foot)] : []),
    ];
  };
  const mark = ({ at, value, ringed }: Placed): string => {
    if (Math.abs(value) > EDGE) return arrow(at, y(value), Math.sign(value), radius + 1);
    return disc(at, y(value), ringed ? radius - 0.8 : radius);
  };
  const colours = [...new Set(placed.map(({ colour }) => colour))];
  return colours.flatMap((colour) => {
    const own = placed.filter((one) => one.colour === colour);
    const [rings, dots] = [own.filter(({ ringed }) => ringed), own.filter(({ ringed }) => !ringed)];
    return [
      ...draw(dots.flatMap(whiskers), colour === 'ink' ? 'ink3' : colour, 1.5),
      ...draw(rings.flatMap(whiskers), 'ink3', 1.5, manner === 'before' ? {} : { 'stroke-dasharray': '1.5 2.5' }),
      ...draw(rings.map(mark), colour === 'ink' ? 'ink2' : colour, 1.6),
      ...fill(dots.map(mark), colour),
    ];
  });
}

/** An arrow head whose tip points past the edge. */
export function arrow(x: number, y: number, way: number, reach: number): string {
  return `${stretch(x - reach, y + way * 1.4 * reach, x, y)} L ${(x + reach).toFixed(2)} ${(y + way * 1.4 * reach).toFixed(2)} Z`;
}

/** Names of the notes that lie off, beside their dots; a number where they lie past the edge. */
export function timingLabels(notes: readonly CompassNote[], layout: CompassLayout): PictureNode[] {
  const { x, key, left, right, text: size, rowTiming } = layout;
  const y = timingScale(layout);
  const wished = notes.flatMap(({ midi, timing, colours }) => {
    if (timing === null || colours.timing !== 'amber') return [];
    const past = Math.abs(timing.value) > EDGE ? ` ${signed(timing.value)}` : '';
    const width = nameWidth(midi, size + 2) + 0.62 * size * past.length;
    const beside = x(midi) + 0.5 * key + 4 + width / 2;
    const at = beside + width / 2 > right ? x(midi) - 0.5 * key - 4 - width / 2 : beside;
    const baseline = Math.min(rowTiming.bottom - 1, Math.max(rowTiming.top + size, y(timing.value) + 0.36 * size));
    return [
      {
        midi,
        past,
        x: held(at, width, left, right),
        y: baseline,
        width,
        late: timing.value > 0 ? 1 : -1,
        weight: Math.abs(timing.value),
      },
    ];
  });
  const found = [1, -1].flatMap((way) => withoutOverlap(wished.filter(({ late }) => late === way)));
  return [
    ...names(
      found.map(({ midi, x: at, y: baseline, width }) => ({
        midi,
        x: at - width / 2 + nameWidth(midi, size + 2) / 2,
        y: baseline,
      })),
      size + 2,
    ),
    ...found.flatMap(({ past, x: at, y: baseline, width }) =>
      past === '' ? [] : [text(at + width / 2, baseline, past.trim(), { anchor: 'end', size, colour: 'ink' })],
    ),
  ];
}
