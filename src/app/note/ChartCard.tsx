/** A chart in its card: the picture or, by the switch, a table of the same numbers; a stroke is heard from either. */

import { useId, useLayoutEffect, useRef, useState, type MouseEvent, type ReactNode } from 'react';
import type { Chart } from '../../pictures/chart.ts';
import type { Stroke } from '../../pictures/heard.ts';
import type { ChartTable } from '../../pictures/noteTables.ts';
import { Icon } from '../glyphs.tsx';
import { ChartPicture } from '../pictures/Picture.tsx';
import { figure } from '../words.ts';

/** Hears a stroke; null where its sound is not kept. */
export type Hear = (stroke: Stroke) => (() => void) | null;

interface Props {
  id: string;
  /** Draws the chart so many pixels wide; letters are 13 of them. */
  draw: (width: number) => Chart;
  table: ChartTable;
  hear: Hear;
  children?: ReactNode;
}

/** Narrower than this the marks of a chart would run into each other. */
const LEAST_WIDTH = 210;
const USUAL_LETTER = 16;

export function ChartCard({ id, draw, table, hear, children }: Props) {
  const [asTable, setAsTable] = useState(false);
  const frame = useRef<HTMLDivElement>(null);
  const width = useDrawnWidth(frame);
  const chart = draw(width);
  const titled = useId();
  const audible = table.rows.some(({ stroke }) => hear(stroke) !== null);
  return (
    <section className="card note-card" id={id} aria-labelledby={titled}>
      <div className="card-head">
        <h2 id={titled}>{chart.title}</h2>
        <button type="button" className="other" aria-pressed={asTable} onClick={() => setAsTable(!asTable)}>
          Table<span className="unseen"> of {chart.title.toLowerCase()}</span>
        </button>
        <p className="unit">{chart.aside}</p>
      </div>
      {children}
      <div ref={frame} className="note-chart">
        {asTable ? (
          <StrokesTable table={table} hear={hear} label={`Table of ${chart.title.toLowerCase()}`} />
        ) : (
          <div
            className={audible ? 'chart-tapped audible' : 'chart-tapped'}
            onClick={(event) => tapped(event, chart, hear)}
          >
            <ChartPicture chart={chart} />
          </div>
        )}
      </div>
      {!asTable && (
        <p className="second">
          {[...chart.below, ...(audible ? ['Tap a stroke to hear it, or use its button in the table.'] : [])].join(' ')}
        </p>
      )}
    </section>
  );
}

/** The width to draw for, so that the picture, stretched to its frame, has letters that follow the reader's size. */
function useDrawnWidth(frame: React.RefObject<HTMLDivElement | null>): number {
  const [width, setWidth] = useState(324);
  useLayoutEffect(() => {
    const own = frame.current!;
    const measure = () => {
      const letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
      const room = own.clientWidth * (USUAL_LETTER / letter);
      if (own.clientWidth > 0) setWidth(Math.max(LEAST_WIDTH, Math.round(room)));
    };
    const observer = new ResizeObserver(measure);
    observer.observe(own);
    measure();
    return () => observer.disconnect();
  }, [frame]);
  return width;
}

/** Hears the stroke nearest to where the picture was tapped. */
function tapped({ currentTarget, clientX, clientY }: MouseEvent, chart: Chart, hear: Hear): void {
  const box = currentTarget.querySelector('svg')!.getBoundingClientRect();
  const scale = chart.width / box.width;
  const [x, y] = [(clientX - box.left) * scale, (clientY - box.top) * scale];
  const near = (chart.spots ?? []).map((spot) => ({ spot, far: Math.hypot(spot.x - x, spot.y - y) }));
  near.sort((a, b) => a.far - b.far);
  if (near.length > 0) hear(near[0].spot.stroke)?.();
}

function StrokesTable({ table, hear, label }: { table: ChartTable; hear: Hear; label: string }) {
  const { caption, columns, rows } = table;
  return (
    <div className="scrolled" tabIndex={0} role="region" aria-label={label}>
      <table>
        <caption>{caption}</caption>
        <thead>
          <tr>
            {columns.map((name) => (
              <th scope="col" key={name}>
                {name}
              </th>
            ))}
            <th scope="col">Hear</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ stroke, head, cells }) => {
            const play = hear(stroke);
            return (
              <tr key={head}>
                <th scope="row">{head}</th>
                {cells.map((cell, i) => (
                  <td key={columns[i + 1]}>{cell}</td>
                ))}
                <td>
                  {play === null ? (
                    'no sound kept'
                  ) : (
                    <button
                      type="button"
                      className="bare"
                      aria-label={`Hear stroke ${head}, at ${figure(stroke.timeSeconds, 1)} seconds`}
                      onClick={play}
                    >
                      <Icon name="goOn" />
                    </button>
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </div>
  );
}
