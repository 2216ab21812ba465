/**
 * The fast passages as strips: equal slots, a mark a stroke; below, how far each gap lies off an even pulse.
 *
 * A gap is a shelf between its two strokes: over the line it is long, under it short, at most 20 ms either way; one that
 * is further off lies at the edge with its number. A gap beside a miss is dotted on the line: it is not known.
 */

import type { MidiNote } from '../units.ts';
import type { Chart, Spot } from './chart.ts';
import type { PictureNode } from './element.ts';
import { shapeOf, type Stroke } from './heard.ts';
import { AXIS_SIZE, dot, line, strokeMark, text } from './marks.ts';
import { fastPassages, type FastPassage, type Slot } from './pulse.ts';
import { levelRange } from './scale.ts';
import { counted, figure, spokenNote, textWidth } from './words.ts';

const LEFT = 34;
const LABELS = 18;
const MARKS = 52;
const GAPS = 52;
const BELOW = 12;
const STRIP_MS = 20;
const LEAST_SLOT = 15;
const MOST_SLOT = 34;
const LOWEST = 12;
const HIGHEST = 38;

/** What a take was played as, by its number; null where it is not known. */
export type AskedOf = (take: number) => string | null;

/** How far the key was to be let up, by what a take was asked for; null where that says nothing. */
export function returnWords(asked: string | null): string | null {
  return asked === null ? null : (RETURN_WORDS[asked] ?? null);
}

const RETURN_WORDS: Readonly<Record<string, string>> = {
  'slow-fast': 'not quite half-way',
  open: 'open note',
  'just-over-half': 'just over half',
  'full-return': 'right up',
};

/**
 * The chart of all fast strokes of a note; null where there are none. Where `askedOf` knows what a take was asked for, its
 * passages are named by the return of the key, else by their time.
 */
export function fastChart(
  midi: MidiNote,
  strokes: readonly Stroke[],
  width: number,
  askedOf: AskedOf = () => null,
): Chart | null {
  const passages = fastPassages(strokes);
  if (passages.length === 0) return null;
  const range = levelRange(passages.flatMap(({ slots }) => slots.map(({ stroke }) => stroke.levelDb)));
  const riseOf = ({ levelDb }: Stroke): number | null =>
    levelDb === null || range === null
      ? null
      : LOWEST + ((levelDb - range[0]) / (range[1] - range[0])) * (HIGHEST - LOWEST);
  const longest = Math.max(...passages.map(({ slots }) => slots.length));
  const room = width - LEFT;
  const slotWidth = Math.min(MOST_SLOT, Math.max(LEAST_SLOT, room / (longest + 0.5)));
  const perRow = Math.max(1, Math.floor(room / slotWidth - 0.5));
  const marks: PictureNode[] = [];
  const spots: Spot[] = [];
  let top = 0;
  passages.forEach((passage) => {
    const place = passagePlace(passage, askedOf);
    const head = headOf(passage, place, width);
    const beside = textWidth(head, AXIS_SIZE) <= width - 12 - 1.1 * textWidth(place, AXIS_SIZE);
    marks.push(text(0, top + 13, place, { colour: 'ink', bold: true }));
    // In little room, as with large letters, what was counted stands under the name.
    if (!beside) top += LABELS;
    marks.push(text(beside ? width : 0, top + 13, head, { anchor: beside ? 'end' : 'start', colour: 'ink2' }));
    top += LABELS;
    const rows = Math.ceil(passage.slots.length / perRow);
    const each = Math.ceil(passage.slots.length / rows);
    for (let first = 0; first < passage.slots.length; first += each) {
      const slots = passage.slots.slice(first, first + each);
      const gaps = passage.gapsMs.slice(first, first + each);
      marks.push(...strip(slots, gaps, top, slotWidth, riseOf));
      const shelf = top + MARKS - 4;
      slots.forEach(({ stroke }, i) =>
        spots.push({ x: LEFT + (i + 0.5) * slotWidth, y: shelf - (riseOf(stroke) ?? LOWEST), stroke }),
      );
      top += MARKS + GAPS + BELOW;
    }
  });
  const known = passages.flatMap(({ gapsMs }) => gapsMs.flatMap((gap) => (gap === null ? [] : [Math.abs(gap)])));
  const missed = passages.some(({ slots }) => slots.some(({ stroke }) => shapeOf(stroke) === 'silent'));
  return {
    title: 'Fast strokes',
    aside: keyOf(passages),
    result: `${resultOf(midi, passages)}${known.length > 0 ? ` The gaps lie up to ${figure(Math.max(...known))} ms off an even pulse.` : ''}`,
    below: [
      known.length > 0
        ? 'Lower shelves: gaps off an even pulse, in ms, drift taken out; over the line is late.'
        : 'Too few gaps in a row to compare with an even pulse.',
      ...(missed && known.length > 0 ? ['Dotted: beside a silent stroke, not known.'] : []),
    ],
    width,
    height: top,
    marks,
    spots,
  };
}

/** Numbers of the strokes that are not plain. */
function faultsIn(slots: readonly Slot[]): { silent: number; weak: number; double: number } {
  const count = (shape: string) => slots.filter(({ stroke }) => shapeOf(stroke) === shape).length;
  return {
    silent: count('silent'),
    weak: count('weak'),
    double: slots.filter(({ doubles }) => doubles.length > 0).length,
  };
}

function faultWords(slots: readonly Slot[]): string {
  return Object.entries(faultsIn(slots))
    .filter(([, n]) => n > 0)
    .map(([word, n]) => `${n} ${word}`)
    .join(', ');
}

/** How a passage is named: by the return asked for, else by where it stands. */
export function passagePlace({ slots: [{ stroke }] }: FastPassage, askedOf: AskedOf = () => null): string {
  const asked = returnWords(askedOf(stroke.take));
  if (asked !== null) return asked;
  const recording = stroke.source === undefined ? '' : `${stroke.source + 1}. `;
  return `${recording}from ${figure(stroke.timeSeconds, 1)} s`;
}

function headOf(passage: FastPassage, place: string, width: number): string {
  const { slots, ratePerSecond } = passage;
  const rate = ratePerSecond === null ? '' : `${figure(ratePerSecond, 1)} a second: `;
  const words = faultWords(slots) || (slots.length === 1 ? 'it spoke' : `all ${slots.length} spoke`);
  const whole = `${rate}${words}`;
  return textWidth(whole, AXIS_SIZE) > width - 12 - 1.1 * textWidth(place, AXIS_SIZE) ? words : whole;
}

function resultOf(midi: MidiNote, passages: readonly FastPassage[]): string {
  const slots = passages.flatMap((passage) => passage.slots);
  const rates = passages.flatMap(({ ratePerSecond }) => (ratePerSecond === null ? [] : [ratePerSecond]));
  const rate = rates.length > 0 ? `, ${figure(rates.reduce((a, b) => a + b) / rates.length, 1)} a second` : '';
  const words = faultWords(slots) || (slots.length === 1 ? 'it spoke' : 'all spoke');
  return `${counted(slots.length, 'fast stroke')} of ${spokenNote(midi)}${rate}: ${words}.`;
}

function keyOf(passages: readonly FastPassage[]): string {
  const { silent, weak, double } = faultsIn(passages.flatMap(({ slots }) => slots));
  const words = [
    ...(silent > 0 ? ['cross: silent'] : []),
    ...(weak > 0 ? ['half disc: weak'] : []),
    ...(double > 0 ? ['two dots: double'] : []),
  ];
  return words.length > 0 ? words.join(', ') : 'higher is louder';
}

function strip(
  slots: readonly Slot[],
  gaps: readonly (number | null)[],
  top: number,
  slotWidth: number,
  riseOf: (stroke: Stroke) => number | null,
): PictureNode[] {
  const shelf = top + MARKS - 4;
  const middle = top + MARKS + GAPS / 2;
  const half = GAPS / 2 - 8;
  const at = (slot: number) => LEFT + (slot + 0.5) * slotWidth;
  const reach = Math.min(12, slotWidth / 2 - 1.2);
  const marks: PictureNode[] = [];
  slots.forEach(({ stroke, doubles }, i) => {
    const shape = shapeOf(stroke);
    const rise = riseOf(stroke);
    marks.push(strokeMark({ x: at(i), shelf, shape, rise, reach, doubtful: false }));
    doubles.forEach((double, k) => {
      const x = at(i) + Math.min(8.5, 0.62 * reach + 1.5) + 3 * k;
      const y = shelf - Math.min(riseOf(double) ?? LOWEST, (rise ?? LOWEST) - 5);
      marks.push(dot(x, Math.min(y, shelf - 6), Math.min(3.4, 0.3 * reach), 'ember'));
    });
  });
  if (gaps.some((gap) => gap !== null)) {
    const end = at(slots.length - 1) + slotWidth / 2;
    for (const [ms, words] of [
      [STRIP_MS, '+20'],
      [-STRIP_MS, '\u221220'],
    ] as const) {
      const y = middle - (ms / STRIP_MS) * half;
      marks.push(line(LEFT, y, end, y, 'hair'), text(LEFT - 6, y + 4.5, words, { anchor: 'end' }));
    }
    marks.push(line(LEFT, middle, end, middle, 'hair'));
  }
  gaps.forEach((gap, i) => {
    const x = at(i + 0.5);
    const arm = 0.42 * slotWidth;
    if (gap === null) {
      marks.push(line(x - arm, middle, x + arm, middle, 'edge', { width: 2, dash: '2 3' }));
      return;
    }
    const kept = Math.max(-STRIP_MS, Math.min(STRIP_MS, gap));
    const y = middle - (kept / STRIP_MS) * half;
    marks.push(line(x - arm, y, x + arm, y, 'ink2', { width: 2.4 }));
    if (kept !== gap) marks.push(text(x, y + (gap > 0 ? 14 : -6), figure(gap), { anchor: 'middle', colour: 'ink2' }));
  });
  return marks;
}
