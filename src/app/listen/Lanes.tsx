/** The lanes: one shelf for every stroke wanted, and on it what was heard. */

import type { CSSProperties } from 'react';
import { StrokeMark } from './StrokeMark.tsx';
import type { Lane, Slot } from './view.ts';

/** More lanes than this are not drawn whole: a far eye reads two. */
const DRAWN = 2;

/** All lanes of the take; where there are more than two, the one being played and its neighbour are drawn, the others told. */
export function Lanes({ lanes }: { lanes: readonly Lane[] }) {
  const first = firstDrawn(lanes);
  return (
    <div className="lanes">
      {lanes.map((lane, i) => (
        <LaneRow key={`${i}-${lane.title}`} lane={lane} drawn={i >= first && i < first + DRAWN} />
      ))}
    </div>
  );
}

function firstDrawn(lanes: readonly Lane[]): number {
  const now = lanes.findIndex(({ slots }) => slots.some(({ state }) => state === 'now'));
  const open = now >= 0 ? now : lanes.findIndex(({ done, wanted }) => done < wanted);
  const present = open >= 0 ? open : lanes.length - 1;
  return Math.max(0, Math.min(present, lanes.length - DRAWN));
}

function LaneRow({ lane, drawn }: { lane: Lane; drawn: boolean }) {
  const { title, kind, done, wanted, slots, extra } = lane;
  return (
    <section className={`lane ${kind} ${drawn ? '' : 'folded'}`}>
      <div className="lane-head">
        <h2 className="lane-title">{title}</h2>
        <p className="lane-count">
          {done} of {wanted}
        </p>
      </div>
      {drawn && (
        <div className="slots" role="img" aria-label={`${title}: ${slotWords(slots, extra)}`}>
          {slots.map((slot, i) => (
            <SlotShelf
              key={`${i}-${slot.state}`}
              slot={slot}
              bar={kind === 'bar'}
              firm={kind === 'firm-slow-slow' && i % 3 === 0}
            />
          ))}
          {extra > 0 && <span className="extra">+{extra}</span>}
        </div>
      )}
    </section>
  );
}

function slotWords(slots: readonly Slot[], extra: number): string {
  const of = (test: (slot: Slot) => boolean) => slots.filter(test).length;
  const counts: readonly (readonly [number, string])[] = [
    [of((slot) => slot.state === 'sounded' || slot.state === 'bar'), 'sounded'],
    [of(({ state }) => state === 'silent'), 'silent'],
    [of(({ state }) => state === 'weak'), 'weak'],
    [of((slot) => slot.state === 'sounded' && slot.double), 'doubled'],
    [of((slot) => slot.state === 'bar' && !slot.counted), 'too fast'],
    [extra, 'more'],
  ];
  const told = counts.filter(([n]) => n > 0).map(([n, word]) => `${n} ${word}`);
  return told.length > 0 ? told.join(', ') : 'nothing yet';
}

interface ShelfProps {
  slot: Slot;
  bar: boolean;
  firm: boolean;
}

function SlotShelf({ slot, bar, firm }: ShelfProps) {
  const height = 'height' in slot ? ({ '--height': slot.height } as CSSProperties) : undefined;
  return (
    <span className={`slot ${slot.state} ${firm ? 'firm' : ''}`} style={height}>
      {firm && (slot.state === 'wanted' || slot.state === 'now') && <span className="upright" />}
      {slot.state === 'sounded' && <span className="stem" />}
      {markOf(slot)}
      {bar ? <BarShelf slot={slot} /> : <span className="shelf" />}
    </span>
  );
}

function markOf(slot: Slot) {
  switch (slot.state) {
    case 'sounded':
      return <StrokeMark kind={slot.double ? 'double' : slot.clear ? 'clear' : 'ring'} />;
    case 'silent':
    case 'weak':
    case 'now':
      return <StrokeMark kind={slot.state} />;
    case 'wanted':
    case 'bar':
      return null;
  }
}

/** Three shelves, and where a bar stroke was heard three stems under one beam; drawn in a box of 36 by 66, stretched. */
function BarShelf({ slot }: { slot: Slot }) {
  const heard = slot.state === 'bar';
  const beam = heard ? 56 - 48 * slot.height : 0;
  return (
    <svg
      className={heard && !slot.counted ? 'bar-shelf uncounted' : 'bar-shelf'}
      viewBox="0 0 36 66"
      preserveAspectRatio="none"
      aria-hidden="true"
    >
      {heard && <path className="stems" d={`M7 62V${beam}M18 62V${beam}M29 62V${beam}`} />}
      <path className="shelves" d="M4 63.500h5M15.500 63.500h5M27 63.500h5" />
      {heard && <path className="beam" d={`M3 ${beam}h30`} />}
    </svg>
  );
}
