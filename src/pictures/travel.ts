/**
 * Travel time against loudness: a dot a slow stroke with a clear contact, and the line through them where there are enough.
 *
 * The line is straight in the logarithm of the travel time: so much in 100 a decibel.
 */

import type { MidiNote } from '../units.ts';
import type { Chart, Spot } from './chart.ts';
import { drawn, filled } from './colours.ts';
import { element, pathData, type PictureNode } from './element.ts';
import { firmBand, type FirmBand, type FirmHand } from './firmBand.ts';
import { contactOf, type Stroke } from './heard.ts';
import { dot, line, text } from './marks.ts';
import { robustLine, type RobustLine } from './robustLine.ts';
import { roundPlaces, scale } from './scale.ts';
import { counted, figure, span, spokenNote } from './words.ts';

/** Common practice, no source: a slope through fewer points, or over less loudness, is the scatter's own. */
const LEAST_POINTS = 8;
const LEAST_RANGE_DB = 4;
const PLOT_HEIGHT = 168;
const TOP = 10;
const LEFT = 36;
const RIGHT = 12;

/** A stroke with a travel time and a level. */
export interface Point {
  readonly stroke: Stroke;
  readonly levelDb: number;
  readonly ms: number;
  readonly firm: boolean;
}

/** The points of the chart, and its table: from the middle of the contact's rise where all have one, else from its start. */
export function travelPoints(strokes: readonly Stroke[]): readonly Point[] {
  return pointsOf(playedSlowly(strokes)).points;
}

function playedSlowly(strokes: readonly Stroke[]): Stroke[] {
  return strokes.filter(({ passage, kind }) => (passage === 'slow' || passage === 'gentle') && kind === 'sounded');
}

/** The chart, with the band of a firm note where the hand is known; null where the note has no slow or gentle stroke at all. */
export function travelChart(
  midi: MidiNote,
  strokes: readonly Stroke[],
  width: number,
  hand: FirmHand | null = null,
): Chart | null {
  const played = playedSlowly(strokes);
  if (played.length === 0) return null;
  const { points, byRise } = pointsOf(played);
  const note = spokenNote(midi);
  const shared = { title: 'Loudness and travel', aside: 'travel time, ms', width };
  if (points.length === 0) {
    const none = `No travel time of ${note} is known: none of ${counted(played.length, 'slow stroke')} has a clear contact and a level.`;
    return { ...shared, result: none, below: [], height: 24, marks: [text(0, 16, 'No clear contact, so no dots.')] };
  }
  const levels = points.map(({ levelDb }) => levelDb);
  const spread = Math.max(...levels) - Math.min(...levels);
  const enough = points.length >= LEAST_POINTS && spread >= LEAST_RANGE_DB;
  const fit = enough ? robustLine(points.map(({ levelDb, ms }) => ({ x: levelDb, y: Math.log(ms) }))) : null;
  // Each recording has its own middle: a band around several would call sound strokes outside.
  const usual = points.filter(({ firm, stroke: { passage } }) => !firm && passage === 'slow');
  const one = new Set(usual.map(({ stroke: { source } }) => source)).size === 1;
  const band = one ? firmBand(usual, hand) : null;
  const drawnWords = `Drawn: ${byRise ? 'the middle of the contact\u2019s rise' : 'the contact\u2019s first start'} to the tone.`;
  const times = span(
    points.map(({ ms }) => ms),
    'ms',
  );
  return {
    ...shared,
    result: `${counted(points.length, 'stroke')} of ${note} took ${times} from key to string${fit ? `; ${slopeWords(fit)}` : ''}.`,
    below: [
      ...(fit || band ? [] : [whyNoLine(points.length, spread)]),
      ...(band ? ['Shaded: where 19 in 20 strokes of a firm note stay; diamond: outside.'] : []),
      drawnWords,
      ...(points.some(({ firm }) => firm) ? ['Open squares: firm strokes.'] : []),
    ],
    height: TOP + PLOT_HEIGHT + 40,
    ...plot(points, fit, width, band, hand?.referenceDb ?? null),
  };
}

function pointsOf(strokes: readonly Stroke[]): { points: Point[]; byRise: boolean } {
  const clear = strokes.flatMap((stroke) => {
    const contact = contactOf(stroke);
    const { levelDb } = stroke;
    return contact.kind === 'clear' && contact.beforeMs > 0 && levelDb !== null
      ? [{ stroke, levelDb, ms: contact.beforeMs }]
      : [];
  });
  const rises = clear.map(({ stroke }) => afterRise(stroke));
  const byRise = clear.length > 0 && rises.every((ms) => ms !== null);
  return {
    byRise,
    points: clear.map(({ stroke, levelDb, ms }, i) => ({
      stroke,
      levelDb,
      ms: byRise ? rises[i]! : ms,
      firm: stroke.force === 'firm',
    })),
  };
}

/** Milliseconds from the constant share of the contact's rise to the tone. */
function afterRise({ contactRiseSeconds: rise, onsetSeconds }: Stroke): number | null {
  return rise === null || onsetSeconds === null || rise >= onsetSeconds ? null : 1000 * (onsetSeconds - rise);
}

function slopeWords({ slope, interval, n }: RobustLine): string {
  // In 100 of the travel time that one decibel more takes away.
  const shorter = (value: number) => -100 * Math.expm1(value);
  const [a, b] = [shorter(interval[1]), shorter(interval[0])];
  return `a decibel more takes ${figure(shorter(slope), 1)} in 100 off it (${figure(a, 1)} to ${figure(b, 1)}, ${n} strokes)`;
}

function whyNoLine(n: number, spread: number): string {
  if (n < LEAST_POINTS)
    return `No line: it needs ${LEAST_POINTS} strokes with a clear contact, there ${n === 1 ? 'is 1' : `are ${n}`}.`;
  return `No line: the strokes differ by ${figure(spread, 1)} dB only, it needs ${LEAST_RANGE_DB}.`;
}

function plot(
  points: readonly Point[],
  fit: RobustLine | null,
  width: number,
  band: FirmBand | null,
  referenceDb: number | null,
): Pick<Chart, 'marks' | 'spots'> {
  const padded = (values: readonly number[], least: number): [number, number] => {
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const pad = Math.max(0.08 * (high - low), (least - (high - low)) / 2);
    return [low - pad, high + pad];
  };
  const [softest, loudest] = padded(
    points.map(({ levelDb }) => levelDb),
    4,
  );
  const edges = band === null ? [] : [band.lowMs(loudest), band.highMs(softest)];
  const [shortest, longest] = padded([...points.map(({ ms }) => ms), ...edges], 12);
  const foot = TOP + PLOT_HEIGHT;
  const x = scale(softest, loudest, LEFT, width - RIGHT);
  const y = scale(shortest, longest, foot, TOP);
  const marks: PictureNode[] = [];
  const steps = Array.from({ length: 25 }, (_, i) => softest + ((loudest - softest) * i) / 24);
  if (band !== null) {
    const over = steps.flatMap((level, i) => [i === 0 ? 'M' : 'L', x(level), y(band.highMs(level))]);
    const under = [...steps].reverse().flatMap((level) => ['L', x(level), y(band.lowMs(level))]);
    const d = pathData(...over, ...under, 'Z');
    marks.push(element('path', { d, class: filled('band') }));
    marks.push(element('path', { d, class: drawn('edge'), 'stroke-width': 1 }));
  }
  for (const ms of roundPlaces(shortest, longest)) {
    marks.push(line(LEFT, y(ms), width - RIGHT, y(ms), 'hair'));
    marks.push(text(LEFT - 8, y(ms) + 4.5, figure(ms, Number.isInteger(ms) ? 0 : 1), { anchor: 'end' }));
  }
  for (const level of roundPlaces(softest, loudest, width > 500 ? 6 : 4)) {
    marks.push(line(x(level), foot, x(level), foot + 4, 'edge'));
    marks.push(text(x(level), foot + 18, figure(level, Number.isInteger(level) ? 0 : 1), { anchor: 'middle' }));
  }
  marks.push(text(width - RIGHT, foot + 35, 'loudness, dB (louder \u2192)', { anchor: 'end' }));
  if (referenceDb !== null && referenceDb > softest && referenceDb < loudest) {
    marks.push(line(x(referenceDb), TOP, x(referenceDb), foot, 'edge', { dash: '2 4' }));
  }
  const lineAt = band ? band.middleMs : fit ? (level: number) => Math.exp(fit.intercept + fit.slope * level) : null;
  if (lineAt !== null) {
    const inside = steps
      .map((level): [number, number] => [level, lineAt(level)])
      .filter(([, ms]) => ms >= shortest && ms <= longest);
    const d = pathData(...inside.flatMap(([level, ms], i) => [i === 0 ? 'M' : 'L', x(level), y(ms)]));
    if (inside.length > 1) marks.push(element('path', { d, class: drawn('ink3'), 'stroke-width': 2 }));
  }
  const spots: Spot[] = [];
  for (const { stroke, levelDb, ms, firm } of points) {
    const [px, py] = [x(levelDb), y(ms)];
    spots.push({ x: px, y: py, stroke });
    if (band !== null) marks.push(line(px, py, px, y(band.middleMs(levelDb)), 'ink3'));
    const outside = band !== null && (ms < band.lowMs(levelDb) || ms > band.highMs(levelDb));
    if (outside && !firm) {
      const d = pathData('M', px, py - 6.5, 'L', px + 6.5, py, 'L', px, py + 6.5, 'L', px - 6.5, py, 'Z');
      marks.push(element('path', { d, class: filled('ink') }));
    } else if (firm) {
      const d = pathData('M', px - 4, py - 4, 'H', px + 4, 'V', py + 4, 'H', px - 4, 'Z');
      marks.push(element('path', { d, class: drawn('ink'), 'stroke-width': 2 }));
    } else marks.push(dot(px, py, 4.2, 'ink'));
  }
  return { marks, spots };
}
