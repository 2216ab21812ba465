/**
 * Slow strokes one over the other, loud to soft, in line at the tone: when the finger met the key before it.
 *
 * A row a stroke: the contact is a tick at minus its travel time. A faint contact stands in a dotted row, two places where
 * it may be are two rings; where none was heard the row says so. None of these three is counted. The wedge after the
 * tone is the loudness.
 */

import type { MidiNote } from '../units.ts';
import type { Chart } from './chart.ts';
import { element, pathData, type PictureNode } from './element.ts';
import { filled } from './colours.ts';
import { contactOf, shapeOf, type Contact, type Stroke } from './heard.ts';
import { AXIS_SIZE, halfDisc, line, ring, text } from './marks.ts';
import { levelRange, roundPlaces, scale } from './scale.ts';
import { counted, figure, span, spokenNote, textWidth } from './words.ts';

/** More rows than this are not told apart: the last ones played are kept. */
const MOST_ROWS = 24;
const ROW = 17;
const TOP = 24;
const LEFT = 24;
const WEDGE = 34;

interface Row {
  readonly stroke: Stroke;
  readonly contact: Contact;
}

/** The chart of a note's slow strokes that spoke; null where there are none. */
export function slowChart(midi: MidiNote, strokes: readonly Stroke[], width: number): Chart | null {
  const slow = strokes.filter(({ passage, kind }) => passage === 'slow' && kind !== 'double');
  const spoke = slow.filter(({ kind, onsetSeconds }) => kind === 'sounded' && onsetSeconds !== null);
  if (spoke.length === 0) return null;
  const rows = spoke
    .slice(-MOST_ROWS)
    .sort((a, b) => (b.levelDb ?? -Infinity) - (a.levelDb ?? -Infinity) || a.timeSeconds - b.timeSeconds)
    .map((stroke): Row => ({ stroke, contact: contactOf(stroke) }));
  const tone = width - WEDGE - 2;
  const places = rows.flatMap(({ contact }) => ('beforeMs' in contact ? [contact.beforeMs].flat() : []));
  // Never less than 25 ms either way, so that equal strokes stand in line and are not spread over the whole width.
  const longest = Math.max(50, ...places.map((ms) => 1.06 * ms));
  const x = scale(-longest, 0, LEFT, tone);
  const foot = TOP + rows.length * ROW;
  const marks: PictureNode[] = [text(LEFT, 13, places.length > 0 ? 'finger meets key, ms' : 'no contact known')];
  if (places.length > 0) {
    for (const ms of roundPlaces(-longest, -1e-6).filter((place) => place <= -5)) {
      marks.push(line(x(ms), TOP - 4, x(ms), foot + 4, 'hair'));
      marks.push(text(x(ms), foot + 19, figure(ms), { anchor: 'middle' }));
    }
  }
  rows.forEach((row, i) => marks.push(...rowMarks(row, TOP + (i + 0.5) * ROW, x, tone)));
  marks.push(...wedges(rows, tone));
  marks.push(line(tone, TOP - 6, tone, foot + 4, 'ink', { width: 2 }));
  marks.push(text(tone, foot + 19, 'tone', { anchor: 'middle' }));
  if (rows.length >= 5) marks.push(upright('loud', TOP + 18), upright('soft', foot - 18));
  return {
    title: 'Slow strokes',
    aside: 'in line at the tone, loud to soft',
    ...wordsOf(midi, rows, slow.length - spoke.length, spoke.length),
    width,
    height: foot + 24,
    marks,
  };
}

function upright(words: string, y: number): PictureNode {
  return element('g', { transform: `rotate(-90 11 ${y})` }, text(11, y + 4, words, { anchor: 'middle' }));
}

function rowMarks({ contact }: Row, y: number, x: (ms: number) => number, tone: number): PictureNode[] {
  if (contact.kind === 'absent' || (contact.kind === 'two-places' && contact.beforeMs.length === 0)) {
    const words = contact.kind === 'absent' ? contact.words : 'two places fit';
    const end = tone - 10;
    // The letters part the row: the line would run through them.
    const clear = end - textWidth(words, AXIS_SIZE) - 6;
    return [
      ...(clear > LEFT ? [line(LEFT, y, clear, y, 'edge', { dash: '1 4', round: true })] : []),
      text(end, y + 4.5, words, { anchor: 'end' }),
    ];
  }
  if (contact.kind === 'two-places') {
    const places = contact.beforeMs.map((ms) => x(-ms));
    return [
      line(Math.min(...places), y, tone, y, 'hair', { width: 1.5 }),
      ...places.map((place) => ring(place, y, 4.2, 'ink3', 1.8)),
    ];
  }
  const place = x(-contact.beforeMs);
  if (contact.kind === 'faint') {
    return [
      line(place, y, tone, y, 'edge', { width: 1.5, dash: '1.5 4', round: true }),
      line(place, y - 4, place, y + 4, 'ink3', { width: 1.5 }),
    ];
  }
  return [
    line(place, y, tone, y, 'hair', { width: 1.5 }),
    line(place, y - 5.5, place, y + 5.5, 'ink', { width: 3.2, round: true }),
  ];
}

function wedges(rows: readonly Row[], tone: number): PictureNode[] {
  const range = levelRange(rows.map(({ stroke }) => stroke.levelDb));
  return rows.flatMap(({ stroke }, i): PictureNode[] => {
    const y = TOP + (i + 0.5) * ROW;
    if (shapeOf(stroke) === 'weak') return [halfDisc(tone + 9, y + 3, 6, 'ember')];
    if (stroke.levelDb === null || range === null) return [];
    const length = 7 + (21 * (stroke.levelDb - range[0])) / (range[1] - range[0]);
    const d = pathData('M', tone, y - 5, 'L', tone + length, y, 'L', tone, y + 5, 'Z');
    return [element('path', { d, class: filled('edge') })];
  });
}

function wordsOf(midi: MidiNote, rows: readonly Row[], silent: number, spoke: number): Pick<Chart, 'result' | 'below'> {
  const before = (kind: 'clear' | 'faint') =>
    rows.flatMap(({ contact }) => (contact.kind === kind ? [contact.beforeMs] : []));
  const [clear, faint] = [before('clear'), before('faint')];
  const two = rows.filter(({ contact }) => contact.kind === 'two-places').length;
  const none = rows.length - clear.length - faint.length - two;
  const parts = [
    clear.length > 0
      ? `contact clear in ${clear.length}, ${span(clear, 'ms')} before the tone`
      : 'no contact clear enough to count',
  ];
  if (faint.length > 0) parts.push(`faint in ${faint.length}`);
  if (two > 0) parts.push(`in two possible places in ${two}`);
  if (none > 0) parts.push(`not known in ${none}`);
  const shown = spoke > rows.length ? `The last ${rows.length} of ${spoke}` : String(rows.length);
  const strokes = counted(rows.length, 'slow stroke').replace(/^\d+ /, '');
  return {
    result: `${shown} ${strokes} of ${spokenNote(midi)}: ${parts.join('; ')}.`,
    below: [
      ...(faint.length > 0 ? ['Dotted: contact too faint.'] : []),
      ...(two > 0 ? ['Two rings: two possible contacts.'] : []),
      ...(faint.length + two > 0 ? ['These are not counted.'] : []),
      ...(rows.some(({ stroke }) => shapeOf(stroke) === 'weak') ? ['Half disc: weak.'] : []),
      ...(silent > 0
        ? [`${counted(silent, 'slow stroke')} stayed silent and ${silent === 1 ? 'has' : 'have'} no row.`]
        : []),
    ],
  };
}
