/** The charts of a note as tables: the same strokes and the same numbers, to be read. */

import type { FirmHand } from './firmBand.ts';
import { passagePlace, type AskedOf } from './fastStrokes.ts';
import { gentleStrokes } from './gentleStrokes.ts';
import { shapeOf, type Contact, type Stroke } from './heard.ts';
import { fastPassages } from './pulse.ts';
import { offBand, slowRows, type SlowOrder } from './slowStrokes.ts';
import { travelPoints } from './travel.ts';
import { figure, signed } from './words.ts';

export interface TableRow {
  /** The stroke that the row is about. */
  readonly stroke: Stroke;
  /** The first column: what the row is called. */
  readonly head: string;
  readonly cells: readonly string[];
}

export interface ChartTable {
  readonly caption: string;
  /** Names of all columns, that of the row's name first. */
  readonly columns: readonly string[];
  readonly rows: readonly TableRow[];
}

const NOT_KNOWN = 'not known';

/** The fast strokes, passage by passage; the gap is that before the stroke, off an even pulse. */
export function fastTable(strokes: readonly Stroke[], askedOf: AskedOf = () => null): ChartTable {
  const rows = fastPassages(strokes).flatMap((passage, at) =>
    passage.slots.map(({ stroke, doubles }, i): TableRow => {
      const gap = i === 0 ? undefined : passage.gapsMs[i - 1];
      const heard = doubles.length > 0 ? 'double' : heardAs(stroke);
      return {
        stroke,
        head: `${at + 1}.${i + 1}`,
        cells: [
          passagePlace(passage, askedOf),
          heard,
          levelOf(stroke),
          gap === undefined ? 'first' : gap === null ? NOT_KNOWN : signed(gap, 1),
        ],
      };
    }),
  );
  return {
    caption: 'Fast strokes: passage and stroke, loudness in dB of full scale, gap before it off an even pulse in ms',
    columns: ['Stroke', 'Return', 'Heard', 'Loudness', 'Gap'],
    rows,
  };
}

/** The gentle strokes as played. */
export function gentleTable(strokes: readonly Stroke[]): ChartTable {
  return {
    caption: 'Gentle strokes as played, loudness in dB of full scale',
    columns: ['Stroke', 'Heard', 'Loudness'],
    rows: gentleStrokes(strokes).map(({ stroke, doubles }, i) => ({
      stroke,
      head: String(i + 1),
      cells: [doubles.length > 0 ? 'double' : heardAs(stroke), levelOf(stroke)],
    })),
  };
}

/** The slow strokes in the chart's order; in brackets what does not count. */
export function slowTable(
  strokes: readonly Stroke[],
  order: SlowOrder,
  hand: FirmHand | null,
  all = false,
): ChartTable {
  const rows = slowRows(strokes, order, all);
  const off = offBand(rows, hand);
  return {
    caption:
      'Slow strokes: loudness in dB of full scale, finger to tone in ms (in brackets: not counted), ms off a firm note',
    columns: ['Stroke', 'Loudness', 'Finger to tone', 'Off', 'After'],
    rows: rows.map(({ stroke, contact }, i) => ({
      stroke,
      head: String(i + 1),
      cells: [levelOf(stroke), contactWords(contact), offWords(off[i], contact), afterWords(stroke)],
    })),
  };
}

/** The strokes of "Loudness and travel", loud to soft. */
export function travelTable(strokes: readonly Stroke[]): ChartTable {
  const points = [...travelPoints(strokes)].sort((a, b) => b.levelDb - a.levelDb);
  return {
    caption: 'Loudness in dB of full scale and travel time in ms, loud to soft',
    columns: ['Stroke', 'Loudness', 'Travel', 'Played'],
    rows: points.map(({ stroke, levelDb, ms, firm }, i) => ({
      stroke,
      head: String(i + 1),
      cells: [figure(levelDb, 1), figure(ms, 1), firm ? 'firm' : (stroke.passage ?? NOT_KNOWN)],
    })),
  };
}

function heardAs(stroke: Stroke): string {
  const shape = shapeOf(stroke);
  return shape === 'sounded' ? 'spoke' : shape;
}

function levelOf({ levelDb }: Stroke): string {
  return levelDb === null ? NOT_KNOWN : figure(levelDb, 1);
}

function contactWords(contact: Contact): string {
  if (contact.kind === 'absent') return contact.words;
  if (contact.kind === 'clear') return figure(contact.beforeMs, 1);
  const places = [contact.beforeMs].flat().map((ms) => figure(ms, 1));
  return places.length === 0 ? 'two places fit' : `(${places.join(' or ')})`;
}

function offWords(off: number | null, contact: Contact): string {
  if (contact.kind !== 'clear') return 'not counted';
  if (off === null) return NOT_KNOWN;
  return off === 0 ? 'within' : signed(off, 1);
}

function afterWords({ preceding: { kind } }: Stroke): string {
  return kind === 'none' ? 'first' : kind;
}
