/**
 * One note on one page: its name, its verdict, its recordings, and the charts one below the other.
 */

import type { NoteResult, Verdict } from '../analysis/document.ts';
import { keyName, keyNumber } from '../piano/keys.ts';
import type { MidiNote } from '../units.ts';
import { chartElement, type Chart } from './chart.ts';
import { drawn, filled, standaloneRules, type Colour } from './colours.ts';
import { element, moved, pathData, svgText, type PictureNode } from './element.ts';
import { fastChart, type AskedOf } from './fastStrokes.ts';
import type { FirmHand } from './firmBand.ts';
import { gentleChart } from './gentleStrokes.ts';
import type { Stroke } from './heard.ts';
import { text } from './marks.ts';
import { slowChart, unstableByRest } from './slowStrokes.ts';
import type { Sound } from './stretches.ts';
import { travelChart } from './travel.ts';
import { waveformChart } from './waveform.ts';
import { spokenNote, textWidth, VERDICT_WORDS, wrapped } from './words.ts';

export interface NotePageInput {
  readonly note: Pick<NoteResult, 'midi' | 'verdict'> & Partial<Pick<NoteResult, 'findings'>>;
  /** The strokes of the document; those of other notes are passed over. */
  readonly strokes: readonly Stroke[];
  /** Names of the recordings, by the index of the source. */
  readonly files: readonly string[];
  /** Their sounds, null where one is not at hand. */
  readonly sounds: readonly (Sound | null)[];
  /** The hand of the document: with it stands the band of a firm note. */
  readonly hand?: FirmHand | null;
  /** What a take was asked for, by its number: passages are named by it. */
  readonly askedOf?: AskedOf;
}

/** Widths from here up have the wide margins. */
const WIDE = 600;
const BODY = 15;
const LINE = 20;

/** The charts of a note that have anything to show, in the order of the page, for charts of `width` pixels. */
export function noteCharts(input: NotePageInput, width: number): Chart[] {
  const { note, strokes, files, sounds, hand = null, askedOf } = input;
  const own = strokes.filter(({ midi }) => midi === note.midi);
  return [
    waveformChart(note.midi, own, sounds, width, files),
    fastChart(note.midi, own, width, askedOf),
    gentleChart(note.midi, own, width),
    slowChart(note.midi, own, width, { hand, unstable: unstableByRest(note) }),
    travelChart(note.midi, own, width, hand),
  ].filter((chart) => chart !== null);
}

/** The page as a picture of `width` pixels (at least 320). @throws RangeError for a narrower one. */
export function notePage(input: NotePageInput, width: number): PictureNode {
  if (!(width >= 320)) throw new RangeError(`a page ${width} pixels wide; expected at least 320`);
  const gutter = width >= WIDE ? 32 : 12;
  const padding = width >= WIDE ? 24 : 16;
  const { midi, verdict } = input.note;
  const parts: PictureNode[] = [];
  const head = header(input, width - 2 * gutter);
  parts.push(moved(gutter, 20, head.marks));
  let top = 20 + head.height + 12;
  const inner = width - 2 * gutter - 2 * padding;
  const charts = noteCharts(input, inner);
  if (charts.length === 0) {
    parts.push(text(gutter, top + BODY, 'No strokes of this note to draw.', { size: BODY, colour: 'ink2' }));
    top += 2 * LINE;
  }
  for (const chart of charts) {
    const card = cardOf(chart, padding);
    parts.push(moved(gutter, top, card.marks));
    top += card.height + 16;
  }
  const name = `${spokenNote(midi)}, ${VERDICT_WORDS[verdict].toLowerCase()}`;
  return element(
    'svg',
    { xmlns: 'http://www.w3.org/2000/svg', width, height: top + 8, viewBox: `0 0 ${width} ${Math.ceil(top + 8)}` },
    element('title', {}, `${name}: ${filesOf(input).join(', ')}`),
    element('rect', { width: '100%', height: '100%', class: filled('bg') }),
    ...parts,
  );
}

/** A picture as the text of a file that stands alone, light or dark as its reader prefers. */
export function svgFile(picture: PictureNode): string {
  const style = element('style', {}, standaloneRules());
  const whole = { ...picture, children: [style, ...picture.children] };
  return `<?xml version="1.0" encoding="UTF-8"?>\n${svgText(whole)}\n`;
}

const MOST_FILES = 6;

/** The recordings that a note was heard in; numbered where several are pooled. */
function filesOf({ note, strokes, files }: NotePageInput): string[] {
  const own = strokes.filter(({ midi }) => midi === note.midi);
  const pooled = strokes.some(({ source }) => source !== undefined);
  const heardIn = files.flatMap((file, index) => {
    const name = file === '-' ? 'standard input' : file;
    if (!pooled) return [name];
    return own.some(({ source }) => source === index) ? [`${index + 1}. ${name}`] : [];
  });
  const rest = heardIn.length - MOST_FILES;
  return rest > 0 ? [...heardIn.slice(0, MOST_FILES), `and ${rest} more`] : heardIn;
}

function header(input: NotePageInput, width: number): { marks: PictureNode[]; height: number } {
  const { note } = input;
  const name = noteName(note.midi, 56);
  const marks = [moved(0, 0, name.marks)];
  const pill = verdictPill(note.verdict);
  const keyed = name.width + 12;
  marks.push(text(keyed, 42, `key ${keyNumber(note.midi)}`, { size: BODY }));
  const after = keyed + 64;
  const beside = after + pill.width <= width;
  marks.push(beside ? moved(after, 16, pill.marks) : moved(0, 60, pill.marks));
  let y = beside ? 74 : 120;
  for (const file of filesOf(input)) {
    for (const words of wrapped(file, width, BODY)) {
      marks.push(text(0, y, words, { size: BODY, colour: 'ink2' }));
      y += LINE;
    }
  }
  return { marks, height: y - LINE + 6 };
}

/** Room for each letter in the widest of the stamp faces, ems. */
const LETTER_WIDTH: Readonly<Record<string, number>> = { A: 0.83, B: 0.84, C: 0.8, D: 0.89, E: 0.76, F: 0.73, G: 0.87 };

/** The stamped name: letter, a drawn sharp, the octave smaller. `size`: of the letter, pixels; it stands on 0.8 of it. */
function noteName(midi: MidiNote, size: number): { marks: PictureNode[]; width: number } {
  const name = keyName(midi);
  const base = 0.8 * size;
  const letter = text(0, base, name[0], { size, colour: 'ink', stamp: true });
  const marks: PictureNode[] = [element('title', {}, spokenNote(midi)), letter];
  let x = LETTER_WIDTH[name[0]] * size;
  if (name.includes('#')) {
    const unit = (0.62 * size) / 20;
    const bars = (d: string, width: number) =>
      element('path', { d, class: drawn('ink'), 'stroke-width': width * unit });
    const at = (px: number, py: number): string => pathData(x + px * unit, base - 0.78 * size + py * unit);
    marks.push(
      bars(`M ${at(3.9, 2)} L ${at(3.9, 19)} M ${at(8.1, 1)} L ${at(8.1, 18)}`, 1.9),
      bars(`M ${at(1, 8.3)} L ${at(11, 5.7)} M ${at(1, 14.3)} L ${at(11, 11.7)}`, 3.3),
    );
    x += 13 * unit;
  }
  marks.push(text(x, base, name.slice(-1), { size: 0.72 * size, colour: 'ink', stamp: true }));
  return { marks: [element('g', { role: 'img' }, ...marks)], width: x + 0.46 * size };
}

const PILL_COLOUR: Readonly<Record<Verdict, Colour>> = {
  steady: 'ink',
  watch: 'amber',
  unstable: 'on-ember',
  insufficient: 'ink2',
};

/** Shape and word; the frame grows heavier with the urgency: none, dashed, outline, filled. */
function verdictPill(verdict: Verdict): { marks: PictureNode[]; width: number } {
  const words = VERDICT_WORDS[verdict];
  const colour = PILL_COLOUR[verdict];
  // Bold letters are wider.
  const width = 42 + 1.1 * textWidth(words, 16) + 12;
  const frame = { x: 0, y: 0, width, height: 36, rx: 12 };
  const frames: Readonly<Record<Verdict, PictureNode[]>> = {
    steady: [],
    watch: [element('rect', { ...frame, class: drawn('amber'), 'stroke-width': 2 })],
    unstable: [element('rect', { ...frame, class: filled('ember') })],
    insufficient: [element('rect', { ...frame, class: drawn('edge'), 'stroke-width': 1.5, 'stroke-dasharray': '4 3' })],
  };
  return {
    width,
    marks: [
      ...frames[verdict],
      moved(11, 6, verdictShape(verdict, colour)),
      text(42, 23.5, words, { size: 16, colour, bold: true }),
    ],
  };
}

/** On a grid of 24: one shelf, and what stands on it. */
function verdictShape(verdict: Verdict, colour: Colour): PictureNode[] {
  const disc = (cx: number, cy: number, r: number) => element('circle', { cx, cy, r, class: filled(colour) });
  const stroke = (d: string, width: number, dash?: string) =>
    element('path', {
      d,
      class: drawn(colour),
      'stroke-width': width,
      'stroke-linecap': 'round',
      'stroke-dasharray': dash,
    });
  switch (verdict) {
    case 'steady':
      return [disc(12, 11, 4), stroke('M 4 18 H 20', 3)];
    case 'watch':
      return [
        disc(8.5, 9, 3.6),
        stroke('M 4 16.6 L 20 12.4', 3),
        element('path', { d: 'M 13 17.5 L 16 21.5 H 10 Z', class: filled(colour) }),
      ];
    case 'unstable':
      return [disc(7, 7, 3.2), disc(17, 12, 3.2), stroke('M 3 13.5 H 11 M 13 18.5 H 21', 3)];
    case 'insufficient':
      return [
        element('circle', {
          cx: 12,
          cy: 9.5,
          r: 4,
          class: drawn(colour),
          'stroke-width': 1.8,
          'stroke-dasharray': '2.2 2',
        }),
        stroke('M 3.500 18 H 6.500 M 10.500 18 H 13.500 M 17.500 18 H 20.500', 2.6),
      ];
  }
}

/** A chart on its card: heading, marks, and below them what they show. */
function cardOf(chart: Chart, padding: number): { marks: PictureNode[]; height: number } {
  const { title, aside, result, below, width } = chart;
  const beside = textWidth(title, 19) + textWidth(aside, 13) + 24 <= width;
  const marks: PictureNode[] = [text(padding, 34, title, { size: 19, colour: 'ink', stamp: true })];
  if (beside) marks.push(text(padding + width, 33, aside, { colour: 'ink2', anchor: 'end' }));
  else marks.push(text(padding, 54, aside, { colour: 'ink2' }));
  let y = beside ? 52 : 70;
  marks.push(chartElement(chart, padding, y));
  y += chart.height + 24;
  for (const words of wrapped(result, width, BODY)) {
    marks.push(text(padding, y, words, { size: BODY, colour: 'ink' }));
    y += LINE;
  }
  for (const words of wrapped(below.join(' '), width, BODY)) {
    marks.push(text(padding, y, words, { size: BODY, colour: 'ink2' }));
    y += LINE;
  }
  const height = y - LINE + 20;
  const frame = { x: 0.5, y: 0.5, width: width + 2 * padding - 1, height: height - 1, rx: 18 };
  return {
    marks: [
      element('rect', { ...frame, class: filled('card') }),
      element('rect', { ...frame, class: drawn('hair'), 'stroke-width': 1 }),
      ...marks,
    ],
    height,
  };
}
