/** All that was read with a gauge in a visit, from bass to treble. */

import type { MidiNote } from '../../units.ts';
import { NoteName } from '../NoteName.tsx';
import type { GaugeView } from './gaugeView.ts';

interface Props {
  readonly rows: GaugeView['all'];
  onNote(midi: MidiNote): void;
}

export function GaugeTable({ rows, onNote }: Props) {
  if (rows.length === 0) return <p className="second">Nothing was read with a gauge in this visit yet.</p>;
  return (
    <section className="card" aria-labelledby="gauge-table">
      <h2 id="gauge-table">Read in this visit</h2>
      <div className="scrolled" tabIndex={0} role="region" aria-label="Readings of this visit">
        <table className="gauge-table">
          <thead>
            <tr>
              <th scope="col">Note</th>
              <th scope="col">What</th>
              <th scope="col">Before</th>
              <th scope="col">After</th>
              <th scope="col">Set to</th>
            </tr>
          </thead>
          <tbody>
            {rows.map(({ midi, kind, title, before, after, target }) => (
              <tr key={`${midi} ${kind}`}>
                <th scope="row">
                  <button type="button" className="bare-word" onClick={() => onNote(midi)}>
                    <NoteName midi={midi} />
                  </button>
                </th>
                <td>{title}</td>
                <td>{before?.words ?? 'not read'}</td>
                <td>{after?.words ?? 'not read'}</td>
                <td>{target ?? 'not said'}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}
