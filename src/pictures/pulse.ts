/**
 * The fast passages of one note, stroke by stroke, and how far each gap strays from an even pulse.
 *
 * The pulse is a straight line through the gaps between neighbouring sounded strokes in their order, so that a tempo which
 * drifts counts as even; a robust one, so that one gap far off does not put the others off. A gap beside a silent stroke
 * is not known.
 */

import type { Seconds } from '../units.ts';

import { shapeOf, type Stroke } from './heard.ts';
import { robustLine } from './robustLine.ts';

/** One place of a passage: its stroke, and the double strikes that came with it. */
export interface Slot {
  readonly stroke: Stroke;
  readonly doubles: readonly Stroke[];
}

export interface FastPassage {
  /** At least one. */
  readonly slots: readonly Slot[];
  /** One less than slots: off the even pulse, milliseconds, late positive; null beside a miss or with too few gaps. */
  readonly gapsMs: readonly (number | null)[];
  /** Strokes a second by the median gap; null without a known gap. */
  readonly ratePerSecond: number | null;
}

/** A longer time between two strokes parts two passages: quick repeats come at most so far apart. */
const APART: Seconds = 0.4;
/** Fewer known gaps say nothing about a pulse. */
const LEAST_GAPS = 3;

/** The fast passages among the strokes of one note, in the order given (time within a file, file by file). */
export function fastPassages(strokes: readonly Stroke[]): FastPassage[] {
  const passages: { stroke: Stroke; doubles: Stroke[] }[][] = [];
  let before: Stroke | null = null;
  for (const stroke of strokes) {
    const current = passages.at(-1);
    if (stroke.kind === 'double') {
      if (stroke.passage === 'fast' && before?.passage === 'fast') current?.at(-1)?.doubles.push(stroke);
      continue;
    }
    if (stroke.passage === 'fast') {
      if (current && before && joined(before, stroke)) current.push({ stroke, doubles: [] });
      else passages.push([{ stroke, doubles: [] }]);
    }
    before = stroke;
  }
  return passages.map((slots) => ({ slots, ...pulseOf(slots) }));
}

function joined(a: Stroke, b: Stroke): boolean {
  return a.passage === 'fast' && a.source === b.source && a.take === b.take && b.timeSeconds - a.timeSeconds <= APART;
}

function pulseOf(slots: readonly Slot[]): Pick<FastPassage, 'gapsMs' | 'ratePerSecond'> {
  const gaps = slots.slice(1).map(({ stroke }, i) => gapBetween(slots[i].stroke, stroke));
  const known = gaps.flatMap((gap, at) => (gap === null ? [] : [{ at, gap }]));
  if (known.length === 0) return { gapsMs: gaps.map(() => null), ratePerSecond: null };
  const sorted = known.map(({ gap }) => gap).sort((a, b) => a - b);
  const ratePerSecond = 2 / (sorted[(sorted.length - 1) >> 1] + sorted[sorted.length >> 1]);
  const pulse = known.length < LEAST_GAPS ? null : robustLine(known.map(({ at, gap }) => ({ x: at, y: gap })));
  if (pulse === null) return { gapsMs: gaps.map(() => null), ratePerSecond };
  const even = (at: number): Seconds => pulse.intercept + pulse.slope * at;
  return { gapsMs: gaps.map((gap, at) => (gap === null ? null : 1000 * (gap - even(at)))), ratePerSecond };
}

function gapBetween(a: Stroke, b: Stroke): Seconds | null {
  const silent = shapeOf(a) === 'silent' || shapeOf(b) === 'silent';
  if (silent || a.onsetSeconds === null || b.onsetSeconds === null) return null;
  // Two onsets at one time would make an endless rate; a string cannot be struck so.
  return b.onsetSeconds > a.onsetSeconds ? b.onsetSeconds - a.onsetSeconds : null;
}
