/** The room and the last stroke on one bar, without a number: filled is noise, a tick the last stroke, hatched clips. */

import type { CSSProperties } from 'react';
import type { ListenView } from './view.ts';

export function LevelBar({ room }: { room: Pick<ListenView['room'], 'noise' | 'lastStroke' | 'clipped'> }) {
  const { noise, lastStroke, clipped } = room;
  return (
    <span className={clipped ? 'level clipped' : 'level'} aria-hidden="true">
      {noise !== null && <span className="level-noise" style={{ '--share': noise } as CSSProperties} />}
      <span className="level-clip" />
      {lastStroke !== null && <span className="level-stroke" style={{ '--share': lastStroke } as CSSProperties} />}
    </span>
  );
}
