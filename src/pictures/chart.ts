/**
 * A chart: marks with a name, and one sentence that says with numbers what they show.
 */

import { element, type PictureNode } from './element.ts';
import type { Stroke } from './heard.ts';

/** Where a stroke stands in a chart, so that it can be pointed at. */
export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly stroke: Stroke;
}

export interface Chart {
  /** What is drawn, for a heading. */
  readonly title: string;
  /** Beside the heading: the unit in words, or how to read it. */
  readonly aside: string;
  /** One sentence with the numbers: what the chart shows. */
  readonly result: string;
  /** What else must be said below: what is left out, and how a mark is read. */
  readonly below: readonly string[];
  readonly width: number;
  readonly height: number;
  readonly marks: readonly PictureNode[];
  /** The strokes drawn, each where it stands; left out by charts that are not pointed at. */
  readonly spots?: readonly Spot[];
}

/** The chart as an image with its name and its result; put at `x`, `y` where it stands in another picture. */
export function chartElement(chart: Chart, x?: number, y?: number): PictureNode {
  const { title, result, width, height, marks } = chart;
  return element(
    'svg',
    { xmlns: 'http://www.w3.org/2000/svg', role: 'img', x, y, width, height, viewBox: `0 0 ${width} ${height}` },
    element('title', {}, title),
    element('desc', {}, result),
    ...marks,
  );
}
