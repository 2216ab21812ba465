/** The gentle strokes in the order played: each on its shelf, as soft as it spoke; crosses, and second dots. */

import type { MidiNote } from '../units.ts';
import type { Chart, Spot } from './chart.ts';
import type { PictureNode } from './element.ts';
import { shapeOf, type Stroke } from './heard.ts';
import { dot, strokeMark } from './marks.ts';
import { levelRange } from './scale.ts';
import { counted, spokenNote } from './words.ts';

const MARKS = 52;
const SHELF = 46;
const LOWEST = 10;
const HIGHEST = 30;
const LEAST_SLOT = 20;
const MOST_SLOT = 44;

/** A gentle stroke with the double strikes that came with it. */
export interface GentleStroke {
  readonly stroke: Stroke;
  readonly doubles: readonly Stroke[];
}

/** The gentle strokes among those of one note, in the order given. */
export function gentleStrokes(strokes: readonly Stroke[]): GentleStroke[] {
  const found: { stroke: Stroke; doubles: Stroke[] }[] = [];
  for (const stroke of strokes) {
    if (stroke.passage !== 'gentle') continue;
    if (stroke.kind === 'double') found.at(-1)?.doubles.push(stroke);
    else found.push({ stroke, doubles: [] });
  }
  return found;
}

/** The chart of a note's gentle strokes, `width` pixels wide; null where there are none. */
export function gentleChart(midi: MidiNote, strokes: readonly Stroke[], width: number): Chart | null {
  const gentle = gentleStrokes(strokes);
  if (gentle.length === 0) return null;
  const range = levelRange(gentle.map(({ stroke }) => stroke.levelDb));
  const riseOf = (level: number | null): number | null =>
    level === null || range === null
      ? null
      : LOWEST + ((level - range[0]) / (range[1] - range[0])) * (HIGHEST - LOWEST);
  const slot = Math.min(MOST_SLOT, Math.max(LEAST_SLOT, width / gentle.length));
  const perRow = Math.max(1, Math.floor(width / slot));
  const reach = Math.min(14, slot / 2 - 2);
  const marks: PictureNode[] = [];
  const spots: Spot[] = [];
  gentle.forEach(({ stroke, doubles }, i) => {
    const x = ((i % perRow) + 0.5) * slot;
    const shelf = Math.floor(i / perRow) * MARKS + SHELF;
    const rise = riseOf(stroke.levelDb);
    marks.push(strokeMark({ x, shelf, shape: shapeOf(stroke), rise, reach, doubtful: false }));
    doubles.forEach((_, k) => marks.push(dot(x + 9 + 3 * k, shelf - Math.max(7, (rise ?? LOWEST) - 5), 3.2, 'ember')));
    spots.push({ x, y: shelf - (rise ?? 8), stroke });
  });
  const silent = gentle.filter(({ stroke }) => shapeOf(stroke) === 'silent').length;
  const doubled = gentle.filter(({ doubles }) => doubles.length > 0).length;
  const faults = [...(silent > 0 ? [`${silent} silent`] : []), ...(doubled > 0 ? [`${doubled} double`] : [])];
  const words = faults.join(', ') || (gentle.length === 1 ? 'it spoke' : 'all spoke, none doubled');
  return {
    title: 'Gentle strokes',
    aside: `${gentle.length}, as soft as will speak`,
    result: `${counted(gentle.length, 'gentle stroke')} of ${spokenNote(midi)}: ${words}.`,
    below: [...(silent > 0 ? ['Cross: silent.'] : []), ...(doubled > 0 ? ['Two dots: double.'] : [])],
    width,
    height: Math.ceil(gentle.length / perRow) * MARKS,
    marks,
    spots,
  };
}
