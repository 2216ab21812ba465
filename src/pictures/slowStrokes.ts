/**
 * Slow strokes one over the other, loud to soft, in line at the tone: when the finger met the key before it.
 *
 * A row a stroke: the contact is a tick at minus its travel time. A faint contact stands in a dotted row, two places where
 * it may be are two rings; where none was heard the row says so. None of these three is counted. The wedge after the
 * tone is the loudness.
 */

import type { NoteResult } from '../analysis/document.ts';
import type { MidiNote } from '../units.ts';
import type { Chart, Spot } from './chart.ts';
import { element, pathData, type PictureNode } from './element.ts';
import { drawn, filled, type Colour } from './colours.ts';
import { firmBand, type FirmBand, type FirmHand } from './firmBand.ts';
import { contactOf, shapeOf, type Contact, type Stroke } from './heard.ts';
import { AXIS_SIZE, halfDisc, line, ring, text } from './marks.ts';
import { levelRange, roundPlaces, scale } from './scale.ts';
import { counted, figure, signed, span, spokenNote, textWidth } from './words.ts';

/** More rows than this stand closer; more than {@link CLOSE_ROWS} would stand higher than these, and only the last ones are kept. */
const WIDE_ROWS = 24;
const CLOSE_ROWS = 34;
const WIDE_ROW = 17;
const CLOSE_ROW = 12;
const TOP = 24;
const LEFT = 24;
const WEDGE = 34;
/** Room at the right for what lies off the band. */
const OFF = 30;

/** A slow stroke and what was heard of its contact. */
export interface Row {
  readonly stroke: Stroke;
  readonly contact: Contact;
}

/** `loudness`: loud to soft; `played`: as played; `after`: those after a firm stroke, then after a slow one, then others. */
export type SlowOrder = 'loudness' | 'played' | 'after';

export interface SlowOptions {
  readonly order?: SlowOrder;
  /** The hand; with it the band of a firm note is drawn, and what is off it told. */
  readonly hand?: FirmHand | null;
  /** The spread calls the note unstable: what lies off the band is drawn in ember. */
  readonly unstable?: boolean;
  /** All rows, also where only the last ones would be kept. */
  readonly all?: boolean;
}

/** Whether a note is unstable because its rest wanders: what lies off the band is then drawn in ember. */
export function unstableByRest(note: Pick<NoteResult, 'verdict'> & Partial<Pick<NoteResult, 'findings'>>): boolean {
  return note.verdict === 'unstable' && (note.findings ?? []).some(({ kind }) => kind === 'wandering-rest');
}

/** The slow strokes that spoke, in the order asked for, each with its contact: what the chart and its table show. */
export function slowRows(strokes: readonly Stroke[], order: SlowOrder = 'loudness', all = false): readonly Row[] {
  const spoke = slowSpoken(strokes);
  const kept = all || spoke.length <= CLOSE_ROWS ? spoke : spoke.slice(-WIDE_ROWS);
  const rows = kept.map((stroke): Row => ({ stroke, contact: contactOf(stroke) }));
  const byLoudness = (a: Row, b: Row) =>
    (b.stroke.levelDb ?? -Infinity) - (a.stroke.levelDb ?? -Infinity) || a.stroke.timeSeconds - b.stroke.timeSeconds;
  if (order === 'played') return rows;
  if (order === 'loudness') return rows.sort(byLoudness);
  return rows.sort((a, b) => comingAfter(a.stroke) - comingAfter(b.stroke) || byLoudness(a, b));
}

function slowSpoken(strokes: readonly Stroke[]): readonly Stroke[] {
  return strokes.filter((s) => s.passage === 'slow' && s.kind === 'sounded' && s.onsetSeconds !== null);
}

/** How many slow strokes spoke, where more did than are shown unasked; null where all are shown. */
export function moreThanShown(strokes: readonly Stroke[]): number | null {
  const { length } = slowSpoken(strokes);
  return length > CLOSE_ROWS ? length : null;
}

/** Height of each of so many rows. */
function rowHeight({ length }: readonly Row[]): number {
  return length > WIDE_ROWS ? CLOSE_ROW : WIDE_ROW;
}

function comingAfter({ preceding: { kind } }: Stroke): number {
  return kind === 'firm' ? 0 : kind === 'slow' ? 1 : 2;
}

/** How far each row lies off the band of a firm note, ms, late positive; 0 within it, null without a band or where it is not counted. */
export function offBand(rows: readonly Row[], hand: FirmHand | null): readonly (number | null)[] {
  const bands = bandsOf(rows, hand);
  return rows.map(({ stroke, contact }) => {
    const band = bands(stroke);
    const { levelDb } = stroke;
    if (band === null || levelDb === null || contact.kind !== 'clear') return null;
    const ms = contact.beforeMs;
    const within = ms >= band.lowMs(levelDb) && ms <= band.highMs(levelDb);
    return within ? 0 : ms - band.middleMs(levelDb);
  });
}

/** A band for each recording, as the verdict takes each by its own middle; levels of one are not held against another's. */
type Bands = (stroke: Stroke) => FirmBand | null;

function bandsOf(rows: readonly Row[], hand: FirmHand | null): Bands {
  const bySource = new Map<number, { levelDb: number; ms: number }[]>();
  for (const { stroke, contact } of rows) {
    if (contact.kind !== 'clear' || contact.beforeMs <= 0 || stroke.levelDb === null) continue;
    const own = bySource.get(stroke.source ?? 0) ?? [];
    own.push({ levelDb: stroke.levelDb, ms: contact.beforeMs });
    bySource.set(stroke.source ?? 0, own);
  }
  const bands = new Map([...bySource].map(([source, points]) => [source, firmBand(points, hand)]));
  return ({ source = 0 }) => bands.get(source) ?? null;
}

const ASIDES: Readonly<Record<SlowOrder, string>> = {
  loudness: 'in line at the tone, loud to soft',
  played: 'in line at the tone, as played',
  after: 'in line at the tone, after firm, then after slow',
};

/** The chart of a note's slow strokes that spoke; null where there are none. */
export function slowChart(
  midi: MidiNote,
  strokes: readonly Stroke[],
  width: number,
  { order = 'loudness', hand = null, unstable = false, all = false }: SlowOptions = {},
): Chart | null {
  const slow = strokes.filter(({ passage, kind }) => passage === 'slow' && kind !== 'double');
  const spoke = slowSpoken(strokes);
  if (spoke.length === 0) return null;
  const rows = slowRows(strokes, order, all);
  const high = rowHeight(rows);
  const close = high === CLOSE_ROW;
  const bands = bandsOf(rows, hand);
  const banded = rows.some(({ stroke }) => bands(stroke) !== null);
  const off = offBand(rows, hand).map((far) => (far === 0 ? null : far));
  const tone = width - WEDGE - 2 - (banded ? OFF : 0);
  const edges = rows.flatMap(({ stroke }) => {
    const band = bands(stroke);
    return band === null || stroke.levelDb === null ? [] : [band.highMs(stroke.levelDb)];
  });
  const places = rows.flatMap(({ contact }) => ('beforeMs' in contact ? [contact.beforeMs].flat() : []));
  // Never less than 25 ms either way, so that equal strokes stand in line and are not spread over the whole width.
  const longest = Math.max(50, ...[...places, ...edges].map((ms) => 1.06 * ms));
  const x = scale(-longest, 0, LEFT, tone);
  const foot = TOP + rows.length * high;
  const marks: PictureNode[] = [text(LEFT, 13, places.length > 0 ? 'finger meets key, ms' : 'no contact known')];
  if (banded) marks.push(...bandMarks(rows, bands, x, order === 'loudness'));
  if (places.length > 0) {
    for (const ms of roundPlaces(-longest, -1e-6).filter((place) => place <= -5)) {
      marks.push(line(x(ms), TOP - 4, x(ms), foot + 4, 'hair'));
      marks.push(text(x(ms), foot + 19, figure(ms), { anchor: 'middle' }));
    }
  }
  const spots: Spot[] = [];
  rows.forEach((row, i) => {
    const y = TOP + (i + 0.5) * high;
    const far = off[i];
    marks.push(
      ...rowMarks(row, y, x, tone, { colour: far !== null && unstable ? 'ember' : 'ink', off: far !== null, close }),
    );
    if (far !== null) {
      const colour = unstable ? 'ember' : 'ink';
      marks.push(text(width, y + 4.5, signed(far), { anchor: 'end', bold: true, colour, size: letters(close) }));
    }
    spots.push({ x: 'beforeMs' in row.contact ? x(-[row.contact.beforeMs].flat()[0]) : tone, y, stroke: row.stroke });
  });
  marks.push(...wedges(rows, tone));
  marks.push(line(tone, TOP - 6, tone, foot + 4, 'ink', { width: 2 }));
  marks.push(text(tone, foot + 19, 'tone', { anchor: 'middle' }));
  if (banded && width > 260) marks.push(text(width, 13, 'ms off', { anchor: 'end' }));
  if (rows.length >= 5 && order === 'loudness') marks.push(upright('loud', TOP + 18), upright('soft', foot - 18));
  const words = wordsOf(midi, rows, slow.length - spoke.length, spoke.length);
  const outside = off.filter((far) => far !== null).length;
  return {
    title: 'Slow strokes',
    aside: ASIDES[order],
    result: banded ? `${words.result} ${outsideWords(outside)}` : words.result,
    below: [...(banded ? ['Shaded: where 19 in 20 strokes of a firm note stay.'] : []), ...words.below],
    width,
    height: foot + 24,
    marks,
    spots,
  };
}

function outsideWords(outside: number): string {
  if (outside === 0) return 'All clear ones lie where a firm note\u2019s strokes stay.';
  return `${outside} of the clear ones ${outside === 1 ? 'lies' : 'lie'} outside where a firm note\u2019s strokes stay.`;
}

/** The band, row by row; in one piece where rows stand by loudness, so that it has a straight way. */
function bandMarks(rows: readonly Row[], bands: Bands, x: (ms: number) => number, whole: boolean): PictureNode[] {
  const high = rowHeight(rows);
  const known = rows.flatMap(({ stroke }, i) => {
    const band = bands(stroke);
    const { levelDb } = stroke;
    if (band === null || levelDb === null) return [];
    return [{ y: TOP + (i + 0.5) * high, long: x(-band.highMs(levelDb)), short: x(-band.lowMs(levelDb)) }];
  });
  const shape = (parts: typeof known): PictureNode[] => {
    const down = parts.flatMap(({ y, long }) => ['L', long, y - high / 2, 'L', long, y + high / 2]);
    const up = [...parts].reverse().flatMap(({ y, short }) => ['L', short, y + high / 2, 'L', short, y - high / 2]);
    const d = pathData('M', ...down.slice(1), ...up, 'Z');
    return [
      element('path', { d, class: filled('band') }),
      element('path', { d, class: drawn('edge'), 'stroke-width': 1 }),
    ];
  };
  if (known.length === 0) return [];
  const one = new Set(rows.map(({ stroke }) => stroke.source)).size === 1;
  return whole && one && known.length === rows.length ? shape(known) : known.flatMap((part) => shape([part]));
}

function upright(words: string, y: number): PictureNode {
  return element('g', { transform: `rotate(-90 11 ${y})` }, text(11, y + 4, words, { anchor: 'middle' }));
}

/** Letters of a row: small ones where rows stand close, so that they do not run into each other. */
function letters(close: boolean): number {
  return close ? 11 : AXIS_SIZE;
}

interface RowLook {
  readonly colour: Colour;
  /** Off the band. */
  readonly off: boolean;
  readonly close: boolean;
}

function rowMarks(
  { contact }: Row,
  y: number,
  x: (ms: number) => number,
  tone: number,
  { colour, off, close }: RowLook,
): PictureNode[] {
  if (contact.kind === 'absent' || (contact.kind === 'two-places' && contact.beforeMs.length === 0)) {
    const words = contact.kind === 'absent' ? contact.words : 'two places fit';
    const end = tone - 10;
    // The letters part the row: the line would run through them.
    const clear = end - textWidth(words, letters(close)) - 6;
    return [
      ...(clear > LEFT ? [line(LEFT, y, clear, y, 'edge', { dash: '1 4', round: true })] : []),
      text(end, y + (close ? 4 : 4.5), words, { anchor: 'end', size: letters(close) }),
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
  const tick = close ? 3.4 : 5.5;
  if (contact.kind === 'faint') {
    return [
      line(place, y, tone, y, 'edge', { width: 1.5, dash: '1.5 4', round: true }),
      line(place, y - 4, place, y + 4, 'ink3', { width: 1.5 }),
    ];
  }
  return [
    line(place, y, tone, y, 'hair', { width: 1.5 }),
    line(place, y - tick, place, y + tick, colour, { width: off ? 5 : 3.2, round: true }),
  ];
}

function wedges(rows: readonly Row[], tone: number): PictureNode[] {
  const range = levelRange(rows.map(({ stroke }) => stroke.levelDb));
  return rows.flatMap(({ stroke }, i): PictureNode[] => {
    const y = TOP + (i + 0.5) * rowHeight(rows);
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
