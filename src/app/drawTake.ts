/**
 * Draws a take on a canvas: the sound as the extremes of every pixel column, an upright at every onset, and below it
 * each stroke as a dot on its shelf: a ring where it is doubtful, a cross on the shelf where it stayed silent.
 */

import type { AnalysisDocument } from '../analysis/document.ts';
import { levelRange, marksOf, type ChartLayout, type Lane, type Mark } from './chartLayout.ts';
import type { Envelope } from './envelope.ts';
import { axisTimes, type View } from './view.ts';
import { counted, figure, passageWord } from './words.ts';

/** Colours as CSS texts, by the names of the tokens. */
export type Palette = Readonly<Record<'ink' | 'ink2' | 'ink3' | 'edge' | 'hair' | 'ember', string>>;

/** What the picture is drawn into: a context already scaled to CSS pixels. */
export interface Surface {
  readonly context: CanvasRenderingContext2D;
  readonly width: number;
  /** Device pixels a CSS pixel. */
  readonly ratio: number;
  readonly rem: number;
  readonly font: string;
  readonly palette: Palette;
}

/** Uprights closer than this, in pixels, are drawn as ticks of this length. */
const CLOSE = 6;
const TICK = 12;

/** Draws everything anew. */
export function drawTake(
  surface: Surface,
  layout: ChartLayout,
  analysis: AnalysisDocument,
  envelope: Envelope,
  view: View,
): void {
  const { context, width } = surface;
  context.clearRect(0, 0, width, layout.height);
  drawSound(surface, layout, envelope, view, analysis.source.sampleRate);
  const range = levelRange(analysis.strokes);
  for (const lane of layout.lanes) {
    const marks = marksOf(lane, view, width, range);
    drawLaneWords(surface, lane);
    for (const mark of marks) drawUpright(surface, layout, mark);
    for (const mark of marks) drawMark(surface, lane.shelf, mark);
  }
  drawAxis(surface, layout, view);
}

function drawSound(surface: Surface, layout: ChartLayout, envelope: Envelope, view: View, sampleRate: number): void {
  const { context, width, ratio, palette } = surface;
  const { top, bottom } = layout.wave;
  const middle = (top + bottom) / 2;
  const half = (bottom - top) / 2 - 2;
  const scale = envelope.peak > 0 ? half / envelope.peak : 0;
  const count = Math.max(1, Math.round(width * ratio));
  const { low, high } = envelope.columns(view.from * sampleRate, view.to * sampleRate, count);
  context.fillStyle = palette.edge;
  const least = 1 / ratio;
  for (let column = 0; column < count; column++) {
    const y = middle - high[column] * scale;
    context.fillRect((column * width) / count, y, width / count, Math.max(least, (high[column] - low[column]) * scale));
  }
}

function drawUpright({ context, palette }: Surface, { wave }: ChartLayout, { stroke, x, room }: Mark): void {
  const silent = stroke.kind === 'silent';
  context.strokeStyle = silent ? palette.ember : palette.ink;
  context.lineWidth = 1;
  context.setLineDash(silent ? [3, 4] : []);
  // Where strokes stand close the sound must stay visible: a tick at either edge in place of the whole upright.
  if (room >= CLOSE) line(context, x, wave.top, x, wave.bottom);
  else {
    line(context, x, wave.top, x, wave.top + TICK);
    line(context, x, wave.bottom - TICK, x, wave.bottom);
  }
  context.setLineDash([]);
}

function drawMark(surface: Surface, shelf: number, mark: Mark): void {
  const { context, palette } = surface;
  const { stroke, x, rise, reach, radius } = mark;
  const silent = stroke.kind === 'silent';
  const colour = silent || stroke.kind === 'double' ? palette.ember : palette.ink;
  // Round ends would eat up the shortest shelves.
  const round = reach >= 3;
  context.lineCap = round ? 'round' : 'butt';
  context.strokeStyle = colour;
  context.lineWidth = 3;
  const inner = round ? reach - 1.5 : reach;
  line(context, x - inner, shelf, x + inner, shelf);
  if (silent) {
    const arm = Math.min(5, Math.max(2, reach));
    context.lineWidth = arm < 4 ? 1.5 : 2.5;
    line(context, x - arm, shelf - 8 - 2 * arm, x + arm, shelf - 8);
    line(context, x - arm, shelf - 8, x + arm, shelf - 8 - 2 * arm);
    return;
  }
  context.lineCap = 'butt';
  context.strokeStyle = palette.ink3;
  context.lineWidth = radius < 3 ? 1 : 1.5;
  line(context, x, shelf - 1.5, x, shelf - rise + radius);
  context.beginPath();
  if (stroke.doubt.length > 0) {
    context.strokeStyle = colour;
    context.lineWidth = radius < 3 ? 1 : 2;
    context.arc(x, shelf - rise, Math.max(1.2, radius - context.lineWidth / 2), 0, 2 * Math.PI);
    context.stroke();
  } else {
    context.fillStyle = colour;
    context.arc(x, shelf - rise, radius, 0, 2 * Math.PI);
    context.fill();
  }
}

function drawLaneWords({ context, width, rem, font, palette }: Surface, lane: Lane): void {
  context.fillStyle = palette.hair;
  context.fillRect(0, Math.round(lane.top), width, 1);
  const base = lane.top + 1.5 * rem;
  context.textAlign = 'left';
  context.font = `600 ${rem}px ${font}`;
  context.fillStyle = palette.ink2;
  context.fillText(passageWord(lane.passage), 0, base);
  const silent = lane.strokes.filter(({ kind }) => kind === 'silent').length;
  context.textAlign = 'right';
  context.font = `${rem}px ${font}`;
  const count = counted(lane.strokes.length, 'stroke');
  context.fillText(silent > 0 ? `${count}, ${silent} silent` : count, width, base);
}

function drawAxis({ context, width, rem, font, palette }: Surface, { axis }: ChartLayout, view: View): void {
  context.fillStyle = palette.edge;
  context.fillRect(0, Math.round(axis), width, 1);
  context.font = `${0.8125 * rem}px ${font}`;
  context.fillStyle = palette.ink3;
  const { times, decimals } = axisTimes(view, width / (4.5 * rem));
  for (const time of times) {
    const x = ((time - view.from) / (view.to - view.from)) * width;
    const text = figure(time, decimals);
    const half = context.measureText(text).width / 2;
    context.fillRect(Math.min(width - 1, Math.round(x)), Math.round(axis), 1, 5);
    // Labels at the edges move inwards rather than being cut.
    context.textAlign = 'center';
    context.fillText(text, Math.min(width - half, Math.max(half, x)), axis + 6 + rem);
  }
}

function line(context: CanvasRenderingContext2D, x1: number, y1: number, x2: number, y2: number): void {
  context.beginPath();
  context.moveTo(x1, y1);
  context.lineTo(x2, y2);
  context.stroke();
}
