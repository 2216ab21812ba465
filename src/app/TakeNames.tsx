/** The names of the takes over the picture, each on a shelf as long as its take. */

import type { AnalysisDocument } from '../analysis/document.ts';
import { KeyNumber, NoteName } from './NoteName.tsx';
import type { View } from './view.ts';

interface Props {
  analysis: AnalysisDocument;
  view: View;
  width: number;
  rem: number;
}

/** Room that a name needs, in rem. */
const NAME_WIDTH = 6.5;

export function TakeNames({ analysis, view, width, rem }: Props) {
  const scale = width / (view.to - view.from);
  let free = 0;
  const names = analysis.takes.flatMap(({ take, midi }) => {
    const times = analysis.strokes.filter((stroke) => stroke.take === take).map(({ timeSeconds }) => timeSeconds);
    if (times.length === 0) return [];
    const start = (Math.min(...times) - view.from) * scale;
    const end = (Math.max(...times) - view.from) * scale;
    if (end < 0 || start > width) return [];
    const left = Math.min(Math.max(0, start), Math.max(0, width - NAME_WIDTH * rem));
    // Takes that begin at the same place on the picture keep their shelf; only the first keeps its name.
    const named = left >= free;
    if (named) free = left + NAME_WIDTH * rem;
    return [{ take, midi, named, left, from: Math.max(0, start), to: Math.min(width, Math.max(end, start + 4)) }];
  });
  return (
    <div className="take-names" aria-hidden="true">
      {names.map(({ take, midi, named, left, from, to }) => (
        <div key={take}>
          {named && (
            <span className="take-name" style={{ left }}>
              {midi === null ? 'Note not sure' : <NoteName midi={midi} stamp />}
              {midi !== null && <KeyNumber midi={midi} />}
            </span>
          )}
          <span className="take-shelf" style={{ left: from, width: Math.max(4, to - from) }} />
        </div>
      ))}
    </div>
  );
}
