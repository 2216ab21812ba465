/**
 * The compass: repeats, timing and rest of all keys on one key axis, with the keyboard below.
 *
 * Notes left out of a choice stand behind the others, faint. With an earlier round, the notes that both have are drawn twice:
 * before hollow or thin at the left, after solid at the right; the others are faint. At most some 300 elements for 88 notes of
 * 40 strokes: one a note and weight.
 */

import { KEYS_88, sectionsOf, USUAL_BREAKS, type Section } from '../../piano/sections.ts';
import type { MidiNote } from '../../units.ts';
import type { Chart } from '../chart.ts';
import type { PictureNode } from '../element.ts';
import { text } from '../marks.ts';
import { failedOf, type CompassNote, type CompassRound } from './compassNote.ts';
import { keyboardMarks, verdictMarks } from './keyboard.ts';
import { held } from './labels.ts';
import { compassLayout, type CompassLayout, type CompassSizes, type Row } from './layout.ts';
import { repeatsLabels, repeatsMarks, repeatsScale } from './repeatsRow.ts';
import { restAxis, restLabels, restMarks } from './restRow.ts';
import { rowSentences } from './sentences.ts';
import { box, draw, faint, fill } from './shapes.ts';
import { timingAxis, timingLabels, timingMarks } from './timingRow.ts';

/** Beside the sizes: what is drawn of the round. */
export interface CompassOptions {
  /** First keys of the sections after the lowest, rising; the usual ones where they are not known. */
  readonly breaks?: readonly MidiNote[];
  /** The notes in front; null: all. */
  readonly chosen?: ReadonlySet<MidiNote> | null;
  /** The round before, to compare with: the chosen notes that it has are drawn twice. */
  readonly before?: CompassRound | null;
}

export interface CompassChart extends Chart {
  readonly layout: CompassLayout;
  /** One sentence a row. */
  readonly sentences: { readonly repeats: string; readonly timing: string; readonly rest: string };
}

const FAINT = 0.34;

/** Draws a round. @throws RangeError as {@link compassLayout}. */
export function compassChart(
  round: CompassRound,
  sizes: CompassSizes,
  { breaks = USUAL_BREAKS, chosen = null, before = null }: CompassOptions = {},
): CompassChart {
  const layout = compassLayout(sizes, before !== null);
  const { from, to } = sizes;
  const shown = round.notes.filter(({ midi }) => midi >= from && midi <= to);
  const earlier = before === null ? null : new Map(before.notes.map((note) => [note.midi, note]));
  const inFront = ({ midi }: CompassNote) =>
    (chosen === null || chosen.has(midi)) && (earlier === null || earlier.has(midi));
  const front = shown.filter(inFront);
  const behind = shown.filter((note) => !inFront(note));
  // What the later round left out is known from the earlier one only.
  const unheard = earlier
    ? [...earlier.values()].filter(
        ({ midi }) => midi >= from && midi <= to && round.notes.every((note) => note.midi !== midi),
      )
    : [];
  const back = [...behind, ...unheard];
  const sections = sectionsOf(breaks, KEYS_88);
  const was = earlier ? front.map(({ midi }) => earlier.get(midi)!) : [];
  const scale = repeatsScale([...shown, ...was, ...unheard], layout);
  const now = earlier ? 'after' : 'usual';
  const band = round.band ?? before?.band ?? null;
  const sentences = rowSentences(round);
  const marks: PictureNode[] = [
    ...[layout.rowRepeats, layout.rowTiming, layout.rowRest].flatMap((row) => head(row, layout)),
    ...draw(sectionLines(sections, layout), 'edge', 1.4, { 'stroke-dasharray': '1.5 4' }),
    ...repeatsAxis(layout, scale.shelf),
    ...timingAxis(layout, spans(sections, layout)),
    ...restAxis(layout, band),
    ...faint(
      [
        ...repeatsMarks(back, layout, scale, 'usual'),
        ...timingMarks(back, layout, 'usual'),
        ...restMarks(back, layout, 'usual'),
        ...(earlier ? [] : verdictMarks(back, layout)),
      ],
      FAINT,
    ),
    ...keyboardMarks(layout, sections),
    ...(earlier ? fill(clearing(front, layout), 'bg', { opacity: 0.85 }) : []),
    ...repeatsMarks(was, layout, scale, 'before'),
    ...timingMarks(was, layout, 'before'),
    ...restMarks(was, layout, 'before'),
    ...repeatsMarks(front, layout, scale, now),
    ...timingMarks(front, layout, now),
    ...restMarks(front, layout, now),
    ...verdictMarks(front, layout),
    ...repeatsLabels(front, layout, scale, earlier),
    ...timingLabels(earlier ? was : front, layout),
    ...restLabels(earlier ? was : front, layout),
  ];
  return {
    title: 'Compass',
    aside: 'repeats, timing, rest',
    result: [sentences.repeats, sentences.timing, sentences.rest].join(' '),
    below: [],
    width: sizes.width,
    height: layout.height,
    marks,
    layout,
    sentences,
  };
}

function head({ title, titleY, aside }: Row, { right, text: size }: CompassLayout): PictureNode[] {
  return [
    text(0, titleY, title, { size: size + 2, colour: 'ink', bold: true }),
    ...aside.map(({ words, y }) =>
      y === titleY ? text(right, y, words, { size, anchor: 'end' }) : text(0, y, words, { size }),
    ),
  ];
}

function repeatsAxis({ left, text: size }: CompassLayout, shelf: number): PictureNode[] {
  return [
    text(left - 8, shelf - 5, 'fast', { anchor: 'end', size }),
    text(left - 8, shelf + size + 2, 'gentle', { anchor: 'end', size }),
  ];
}

/** Upright rules at the breaks, through all rows. */
function sectionLines(sections: readonly Section[], layout: CompassLayout): string[] {
  const { from, to, x, key } = layout;
  return sections
    .slice(1)
    .filter(({ lowest }) => lowest > from && lowest <= to)
    .map(({ lowest }) => {
      const at = (x(lowest) - key / 2).toFixed(2);
      const rows = [layout.rowRepeats, layout.rowTiming, layout.rowRest];
      return rows.map(({ top, bottom }) => `M ${at} ${top.toFixed(2)} V ${bottom.toFixed(2)}`).join(' ');
    });
}

/** Where the sections lie, with a little between them. */
function spans(sections: readonly Section[], { from, to, x, key, left, right }: CompassLayout): [number, number][] {
  return sections.flatMap(({ lowest, highest }): [number, number][] => {
    if (highest < from || lowest > to) return [];
    const start = lowest <= from ? left : x(lowest) - key / 2 + 3;
    const end = highest >= to ? right : x(highest) + key / 2 - 3;
    return [[start, end]];
  });
}

/** What two marks side by side cover of their neighbours' faint ones. */
function clearing(
  notes: readonly CompassNote[],
  { x, key, left, right, rowTiming, rowRest, rowRepeats }: CompassLayout,
): string[] {
  const half = Math.max(7, Math.min(16, key));
  return notes.flatMap((note) => {
    const from = held(x(note.midi), 2 * half, left, right) - half;
    const over = ({ top, bottom }: CompassLayout['rowRest']) => box(from, top, 2 * half, bottom - top);
    const failed = note.repeats !== null && failedOf(note.repeats) > 0;
    return [...(failed ? [over(rowRepeats)] : []), over(rowTiming), over(rowRest)];
  });
}
