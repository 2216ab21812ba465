/** The strokes as a table: the same as the picture, to be read. */

import type { Stroke } from './heard.ts';
import { SilentMark } from './glyphs.tsx';
import { NoteName } from './NoteName.tsx';
import { doubtWords, figure, passageWord, travelWords } from './words.ts';

export function StrokeTable({ strokes }: { strokes: readonly Stroke[] }) {
  return (
    <section className="card strokes" aria-labelledby="table-title">
      <div className="card-head">
        <h2 id="table-title">Strokes</h2>
        <p className="unit">
          level in dB of full scale; travel from the finger’s contact to the tone, in ms, in brackets where it does not
          count
        </p>
      </div>
      <div className="scrolled" tabIndex={0} role="region" aria-label="Table of strokes">
        <table>
          <caption className="unseen">Every stroke heard, in order of time</caption>
          <thead>
            <tr>
              <th scope="col" className="number">
                Seconds
              </th>
              <th scope="col">Note</th>
              <th scope="col">Passage</th>
              <th scope="col" className="number">
                Level
              </th>
              <th scope="col" className="number">
                Travel
              </th>
              <th scope="col">Doubts</th>
            </tr>
          </thead>
          <tbody>
            {strokes.map((stroke, i) => (
              <tr key={i} data-kind={stroke.kind}>
                <th scope="row" className="number">
                  {figure(stroke.timeSeconds, 3)}
                </th>
                <td>{stroke.midi === null ? 'not sure' : <NoteName midi={stroke.midi} />}</td>
                <td>{passageWord(stroke.passage)}</td>
                <td className="number">
                  <Level stroke={stroke} />
                </td>
                <td className="number">{travelWords(stroke)}</td>
                <td className="doubts">{doubtWords(stroke)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Level({ stroke: { kind, levelDb } }: { stroke: Stroke }) {
  if (kind === 'silent') {
    return (
      <span className="silent">
        <SilentMark /> silent
      </span>
    );
  }
  const level = levelDb === null ? 'not known' : figure(levelDb, 1);
  return kind === 'double' ? <span className="silent">{level} double</span> : level;
}
