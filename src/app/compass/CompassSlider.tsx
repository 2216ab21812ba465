/**
 * The compass drawn: one slider over all keys. Arrows step a key, Page keys to the next flagged one; a tap or a drag picks the
 * nearest key, so that no narrow column has to be hit.
 */

import { useId, useMemo, type KeyboardEvent, type PointerEvent } from 'react';
import type { CompassChart } from '../../pictures/compass/compassChart.ts';
import { keySentence } from '../../pictures/compass/sentences.ts';
import { HIGHEST_KEY, keyNumber, LOWEST_KEY } from '../../piano/keys.ts';
import type { MidiNote } from '../../units.ts';
import { PictureNodes } from '../pictures/Picture.tsx';
import { keyAfter } from './keyWindow.ts';
import type { CompassEntry } from './view.ts';

interface Props {
  chart: CompassChart;
  entries: ReadonlyMap<MidiNote, CompassEntry>;
  selected: MidiNote;
  flagged: readonly MidiNote[];
  /** By key: the window follows. By finger: it stays, or the keys would move away under it. */
  onSelect: (midi: MidiNote, by: 'key' | 'finger') => void;
}

export function CompassSlider({ chart, entries, selected, flagged, onSelect }: Props) {
  const told = useId();
  const { layout, sentences, width, height, marks } = chart;
  const pressed = (event: KeyboardEvent) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const next = keyAfter(event.key, selected, flagged);
    if (next === null) return;
    event.preventDefault();
    onSelect(next, 'key');
  };
  const picked = (event: PointerEvent<HTMLDivElement>) => {
    const { left, width: shown } = event.currentTarget.getBoundingClientRect();
    const place = ((event.clientX - left) * width) / shown;
    const column = Math.floor((place - layout.left) / layout.key);
    onSelect(Math.max(layout.from, Math.min(layout.to, layout.from + column)), 'finger');
  };
  const drawn = useMemo(() => <PictureNodes nodes={marks} />, [marks]);
  const middle = layout.x(selected);
  const half = Math.max(5, layout.key / 2);
  return (
    <>
      <div
        className="compass-slider"
        role="slider"
        tabIndex={0}
        aria-label="Key"
        aria-orientation="horizontal"
        aria-valuemin={keyNumber(LOWEST_KEY)}
        aria-valuemax={keyNumber(HIGHEST_KEY)}
        aria-valuenow={keyNumber(selected)}
        aria-valuetext={keySentence(selected, entries.get(selected)?.note ?? null)}
        aria-describedby={told}
        onKeyDown={pressed}
        onPointerDown={(event) => {
          if (event.button !== 0) return;
          event.currentTarget.setPointerCapture(event.pointerId);
          picked(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) picked(event);
        }}
      >
        <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
          <rect
            className="compass-cursor"
            x={middle - half}
            y={layout.rowRepeats.top}
            width={2 * half}
            height={layout.keys.bottom - layout.rowRepeats.top}
            rx="3"
          />
          {drawn}
          <rect
            className="compass-picked"
            x={middle - half}
            y={layout.keys.top - 1}
            width={2 * half}
            height={layout.keys.bottom - layout.keys.top + 2}
            rx="3"
          />
        </svg>
      </div>
      <p className="unseen" id={told}>
        {sentences.repeats} {sentences.timing} {sentences.rest}
      </p>
    </>
  );
}
