/**
 * Repeats: one shelf a key; on it what failed of the fast strokes, under it of the gentle ones. Block: silent; half block: weak;
 * two dots: double. All failures have one height in a row, so that towers compare; none is left out.
 */

import type { MidiNote } from '../../units.ts';
import type { Colour } from '../colours.ts';
import type { PictureNode } from '../element.ts';
import { text } from '../marks.ts';
import { textWidth } from '../words.ts';
import { failedOf, type CompassNote, type RepeatCount } from './compassNote.ts';
import { held, nameWidth, names, withoutOverlap } from './labels.ts';
import type { CompassLayout } from './layout.ts';
import { box, disc, draw, fill } from './shapes.ts';

/** How notes are drawn: as they are; a note twice: hollow at the left before, solid at the right after. */
export type Manner = 'usual' | 'before' | 'after';

/** Share of a block's height. */
const HALF = 0.42;
const DOUBLE = 0.8;
const GAP = 2;

/** Height of a tower in blocks, and in gaps between them. */
function storeys({ silent, weak, double }: RepeatCount): { blocks: number; gaps: number } {
  return { blocks: silent + HALF * weak + DOUBLE * double, gaps: silent + weak + double };
}

/** What the row gives the towers: the shelf, and the height of a block on it and under it. */
export interface RepeatsScale {
  readonly shelf: number;
  readonly block: number;
  readonly gentleBlock: number;
}

/** One scale for all notes of a chart, so that towers compare. Labels keep their room above and below. */
export function repeatsScale(notes: readonly CompassNote[], layout: CompassLayout): RepeatsScale {
  const { rowRepeats, text: size, key } = layout;
  const height = rowRepeats.bottom - rowRepeats.top;
  const shelf = rowRepeats.top + Math.max(0.73 * height, 2 * size + 22);
  const most = key > 10 ? 11 : Math.max(3, 1.1 * key);
  const fit = (room: number, counts: readonly (RepeatCount | null)[]) =>
    Math.min(
      most,
      ...counts.flatMap((count) => {
        const { blocks, gaps } = count ? storeys(count) : { blocks: 0, gaps: 0 };
        return blocks === 0 ? [] : [Math.max(0.6, (room - GAP * gaps) / blocks)];
      }),
    );
  return {
    shelf,
    block: fit(
      shelf - rowRepeats.top - 2 * (size + 4) - 4,
      notes.map(({ repeats }) => repeats),
    ),
    gentleBlock: fit(
      rowRepeats.bottom - shelf - 4 - (size + 4),
      notes.map(({ gentle }) => gentle),
    ),
  };
}

/** Width of a note's marks. */
export function markWidth(key: number, manner: Manner): number {
  return manner === 'usual' ? Math.min(20, Math.max(1, key - 2)) : Math.max(4, Math.min(14, 0.8 * key));
}

/** Middle of a note's marks: beside its column where it is drawn twice; the pair of the last key stays within the rows. */
export function markMiddle(midi: MidiNote, { key, x, right }: CompassLayout, manner: Manner): number {
  if (manner === 'usual') return x(midi);
  const aside = markWidth(key, manner) / 2 + 1;
  const middle = Math.min(x(midi), right - 2 * aside);
  return manner === 'before' ? middle - aside : middle + aside;
}

/** A tower's pieces from the shelf upward, or hanging under it; each failure one piece or two dots. */
export function tower(
  count: RepeatCount,
  x: number,
  shelf: number,
  width: number,
  block: number,
  way: 'up' | 'down',
): { pieces: string[]; end: number } {
  const pieces: string[] = [];
  let y = way === 'up' ? shelf - 3 : shelf + 3;
  // Many failures in little room: the gaps give way before the blocks.
  const gap = Math.min(GAP, 0.5 * block);
  const take = (height: number): number => {
    const top = way === 'up' ? y - height : y;
    y += way === 'up' ? -height - gap : height + gap;
    return top;
  };
  for (let i = 0; i < count.silent; i++) pieces.push(box(x - width / 2, take(block), width, block));
  for (let i = 0; i < count.weak; i++) pieces.push(box(x - width / 2, take(HALF * block), width, HALF * block));
  for (let i = 0; i < count.double; i++) {
    const height = DOUBLE * block;
    const top = take(height);
    // Seen even where many stand in little room: then they touch.
    const radius = Math.min(Math.max(height / 2, 1.3), 0.3 * width);
    pieces.push(disc(x - 0.2 * width, top + radius, radius), disc(x + 0.28 * width, top + 1.2 * radius, 0.65 * radius));
  }
  return { pieces, end: y };
}

/** Shelves of the notes played fast or gently, and what failed on and under them. */
export function repeatsMarks(
  notes: readonly CompassNote[],
  layout: CompassLayout,
  scale: RepeatsScale,
  manner: Manner,
): PictureNode[] {
  const { key, x } = layout;
  const { shelf } = scale;
  const half = Math.max(0.5, key / 2 - (key > 6 ? 1.5 : 0.5));
  const shelves = (own: readonly CompassNote[]) =>
    own.map(({ midi }) => box(x(midi) - half, shelf - 1.25, 2 * half, 2.5));
  const played = notes.filter(({ repeats, gentle }) => repeats !== null || gentle !== null);
  const colourOf = (colour: Colour): Colour => (manner === 'after' ? 'dusk' : manner === 'before' ? 'ink3' : colour);
  const floors = fill(shelves(played), manner === 'after' ? 'ink' : 'ink2');
  const towers = played.flatMap(({ midi, repeats, gentle, colours }): PictureNode[] => {
    const middle = markMiddle(midi, layout, manner);
    const width = markWidth(key, manner);
    const up = repeats ? tower(repeats, middle, shelf, width, scale.block, 'up').pieces : [];
    const down = gentle ? tower(gentle, middle, shelf, width, scale.gentleBlock, 'down').pieces : [];
    const put = (pieces: readonly string[], colour: Colour) =>
      manner === 'before' ? draw(pieces, colour, 1.2) : fill(pieces, colour);
    if (colours.repeats === colours.gentle || up.length === 0 || down.length === 0) {
      return put([...up, ...down], colourOf(up.length > 0 ? colours.repeats : colours.gentle));
    }
    return [...put(up, colourOf(colours.repeats)), ...put(down, colourOf(colours.gentle))];
  });
  return [...(manner === 'before' ? [] : floors), ...towers];
}

interface Told {
  readonly midi: MidiNote;
  readonly over: string | null;
  readonly under: string | null;
  /** Upper end of the tower, lower end of what hangs. */
  readonly top: number;
  readonly foot: number;
  readonly weight: number;
}

/** Names and counts: "7/24" from two failures on; "7→1" where a note was heard again. */
export function repeatsLabels(
  notes: readonly CompassNote[],
  layout: CompassLayout,
  scale: RepeatsScale,
  earlier: ReadonlyMap<MidiNote, CompassNote> | null,
): PictureNode[] {
  const { x, left, right, text: size, key } = layout;
  const told = notes.flatMap((note): Told[] => {
    const before = earlier?.get(note.midi) ?? null;
    const words = (now: RepeatCount | null, then: RepeatCount | null): string | null => {
      const [failed, was] = [now ? failedOf(now) : 0, then ? failedOf(then) : 0];
      if (earlier) return now && then && Math.max(failed, was) >= 2 ? `${was}\u2192${failed}` : null;
      return now && failed >= 2 ? `${failed}/${now.of}` : null;
    };
    const over = words(note.repeats, before?.repeats ?? null);
    const under = words(note.gentle, before?.gentle ?? null);
    if (over === null && under === null) return [];
    const ends = (of: 'repeats' | 'gentle', block: number, way: 'up' | 'down') =>
      [note[of], before?.[of] ?? null].flatMap((count) =>
        count ? [tower(count, 0, scale.shelf, 1, block, way).end] : [],
      );
    return [
      {
        midi: note.midi,
        over,
        under,
        top: Math.min(scale.shelf - 4, ...ends('repeats', scale.block, 'up')),
        foot: Math.max(scale.shelf + 4, ...ends('gentle', scale.gentleBlock, 'down')),
        weight: (note.verdict === 'unstable' ? 100 : 0) + (note.repeats ? failedOf(note.repeats) : 0),
      },
    ];
  });
  const kept = withoutOverlap(
    told.map((one) => {
      const counts = Math.max(...[one.over, one.under].map((words) => 1.05 * textWidth(words ?? '', size)));
      return { ...one, x: x(one.midi), width: Math.max(nameWidth(one.midi, size + 2), counts) };
    }),
    Math.min(4, key),
  );
  const line = size + 3;
  const named = kept.map(({ midi, over, top, x: at, width }) => ({
    midi,
    x: held(at, width, left, right),
    y: Math.max(layout.rowRepeats.top + line, top - 3 - (over === null ? 0 : line)),
  }));
  const counts = kept.flatMap(({ over, under, top, foot, x: at, width }) => {
    const place = held(at, width, left, right);
    const bold = { size, colour: 'ink', anchor: 'middle', bold: true } as const;
    return [
      ...(over === null ? [] : [text(place, Math.max(layout.rowRepeats.top + 2 * line, top - 3), over, bold)]),
      ...(under === null ? [] : [text(place, foot + size - 1, under, bold)]),
    ];
  });
  return [...names(named, size + 2), ...counts];
}
