/**
 * The platform line: one level shelf a note, all of them a horizon. On it stands what failed to repeat, under it hangs what failed
 * when played gently; below, fainter with depth, each note's slow strokes lie folded under their shelf like a reflection.
 */

import { HIGHEST_KEY, LOWEST_KEY } from '../../piano/keys.ts';
import type { Chart } from '../chart.ts';
import { drawn } from '../colours.ts';
import { element, type PictureNode } from '../element.ts';
import { isFlagged, type CompassNote } from './compassNote.ts';
import { held, nameWidth, names, withoutOverlap } from './labels.ts';
import { tower } from './repeatsRow.ts';
import { platformSentence } from './sentences.ts';
import { box, fill } from './shapes.ts';

export interface PlatformSizes {
  readonly width: number;
  readonly height: number;
  /** Height of one failure. */
  readonly cell: number;
  /** Height of the bold names over unstable notes; null: a thin strip without names. */
  readonly names: number | null;
  /** Height of the lighter names over notes to watch; they stand where the others leave room. None where it is left out. */
  readonly watched?: number;
}

export const PHONE_PLATFORM: PlatformSizes = { width: 350, height: 132, cell: 7.4, names: 15 };
export const LAPTOP_PLATFORM: PlatformSizes = { width: 1072, height: 194, cell: 10.6, names: 18 };
export const PRINT_PLATFORM: PlatformSizes = { width: 671, height: 110, cell: 6.2, names: 12, watched: 11 };
export const STRIP_PLATFORM: PlatformSizes = { width: 350, height: 54, cell: 4.4, names: null };

/** In 100 off the note's own middle: deeper ones lie at the bottom. */
const DEEPEST = 21;
/** Opacity from the shelf down, a step each. */
const DEPTHS = [0.62, 0.47, 0.31, 0.16] as const;

/** What the line shows of a note. */
export type LineMark = Pick<CompassNote, 'midi' | 'verdict' | 'repeats' | 'gentle' | 'offsets'> & {
  readonly colours: Pick<CompassNote['colours'], 'repeats' | 'gentle' | 'rest'>;
};

/** A name to be placed over a note. */
interface Label {
  readonly midi: number;
  readonly x: number;
  /** Of what stands on the note. */
  readonly top: number;
  readonly weight: number;
  readonly width: number;
  readonly size: number;
  readonly bold: boolean;
}

/** Draws the line of a round; keys that were not heard leave a gap. @throws RangeError below 60 x 30 pixels. */
export function platformLine(round: { readonly notes: readonly LineMark[] }, sizes: PlatformSizes): Chart {
  const { width, height, cell } = sizes;
  if (!(width >= 60 && height >= 30)) {
    throw new RangeError(`a platform line of ${width} x ${height} pixels; expected 60 x 30 or more`);
  }
  const key = width / (HIGHEST_KEY - LOWEST_KEY + 1);
  const x = (midi: number) => (midi - LOWEST_KEY + 0.5) * key;
  const shelf = Math.round(height * (sizes.names === null ? 0.48 : 0.58));
  const thick = Math.max(1.5, Math.min(4, 0.5 * key));
  const bar = Math.max(1, key - (key > 6 ? 2 : 1));
  const { notes } = round;
  const enough = notes.filter(({ verdict }) => verdict !== 'insufficient');
  const shelves = (own: readonly LineMark[], dashes = 1) =>
    own.map(({ midi }) => box(x(midi) - bar / 2, shelf - thick / 2, bar / dashes, thick));
  const marks: PictureNode[] = [
    ...reflection(notes, x, bar, shelf + thick, height - 1),
    ...fill(shelves(enough), 'ink'),
    ...fill(
      shelves(
        notes.filter((note) => !enough.includes(note)),
        2,
      ),
      'ink3',
    ),
  ];
  const labelled: Label[] = [];
  const tops: { x: number; top: number }[] = [];
  const width1 = Math.max(3, Math.min(1.4 * key, 14));
  for (const note of notes) {
    const { midi, repeats, gentle, colours } = note;
    const room = shelf - 4 - (sizes.names === null ? 1 : sizes.names + 6);
    const standing = repeats && tower(repeats, x(midi), shelf, width1, fitted(repeats, cell, room), 'up');
    const hanging = gentle && tower(gentle, x(midi), shelf, width1, fitted(gentle, cell, height - shelf - 6), 'down');
    if (standing) marks.push(...fill(standing.pieces, colours.repeats));
    if (hanging) marks.push(...fill(hanging.pieces, colours.gentle));
    const top = standing?.end ?? shelf - 3;
    tops.push({ x: x(midi), top });
    const bold = note.verdict === 'unstable';
    const size = bold ? sizes.names : note.verdict === 'watch' ? (sizes.watched ?? null) : null;
    if (size === null) continue;
    // Whatever stands on them, the unstable ones come first.
    const weight = (bold ? height : 0) + shelf - top;
    labelled.push({ midi, x: x(midi), top, weight, width: nameWidth(midi, size), size, bold });
  }
  // Over its own tower and over those of the neighbours that it covers.
  const over = ({ x: at, width: wide, top }: Label) =>
    Math.min(top, ...tops.filter((one) => Math.abs(one.x - at) < (wide + width1) / 2).map((one) => one.top));
  const placed = withoutOverlap(labelled.map((one) => ({ ...one, x: held(one.x, one.width, 0, width) }))).map(
    (one) => ({
      ...one,
      y: Math.max(one.size, Math.min(over(one), shelf - 3) - 5),
    }),
  );
  for (const bold of [false, true]) {
    const own = placed.filter((one) => one.bold === bold);
    if (own.length > 0) marks.push(...names(own, own[0].size, bold ? 'ink' : 'ink2', bold ? 700 : 400));
  }
  return { title: 'Platform line', aside: '', result: platformSentence(round), below: [], width, height, marks };
}

/** Height of a block, so that the whole tower stands in its room. */
function fitted(count: NonNullable<CompassNote['repeats']>, cell: number, room: number): number {
  const blocks = count.silent + 0.42 * count.weak + 0.8 * count.double;
  const gaps = count.silent + count.weak + count.double;
  if (blocks === 0) return cell - 2;
  // Gaps are two pixels, or half a block where blocks are small.
  return Math.max(0.2, Math.min(cell - 2, Math.max((room - 2 * gaps) / blocks, room / (blocks + 0.5 * gaps))));
}

function reflection(
  notes: readonly LineMark[],
  x: (midi: number) => number,
  bar: number,
  top: number,
  bottom: number,
): PictureNode[] {
  const depth = (offset: number) => Math.min(DEEPEST, Math.abs(offset)) / DEEPEST;
  const thick = Math.max(1, Math.min(2, (bottom - top) / 20));
  const at = (midi: number, offset: number): string =>
    box(x(midi) - bar / 2, top + thick + depth(offset) * (bottom - top - 2 * thick), bar, thick);
  const quiet = DEPTHS.flatMap((opacity, step) => {
    const pieces = notes
      .filter(({ colours }) => colours.rest === 'ink3')
      .flatMap(({ midi, offsets }) =>
        offsets
          .filter((offset) => Math.min(DEPTHS.length - 1, Math.floor(depth(offset) * DEPTHS.length)) === step)
          .map((offset) => at(midi, offset)),
      );
    return fill(pieces, 'ink3', { opacity });
  });
  const loud = notes
    .filter((note) => note.colours.rest !== 'ink3' && isFlagged(note))
    .flatMap(({ midi, offsets, colours }) =>
      fill(
        offsets.map((offset) => at(midi, offset)),
        colours.rest,
      ),
    );
  return [...quiet, ...loud];
}

/** The window of keys on a strip, drawn over it. */
export function windowMark(from: number, to: number, { width, height }: PlatformSizes): PictureNode {
  const key = width / (HIGHEST_KEY - LOWEST_KEY + 1);
  const left = Math.max(1, (from - LOWEST_KEY) * key);
  const right = Math.min(width - 1, (to - LOWEST_KEY + 1) * key);
  const frame = { x: left, y: 1, width: right - left, height: height - 2, rx: 4 };
  return element('rect', { ...frame, class: drawn('dusk'), 'stroke-width': 2 });
}
