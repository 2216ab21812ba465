/** What a gauge read of the note in this visit, before and after, and the way to type more. */

import type { NoteActions, NoteView } from './view.ts';

interface Props {
  view: NoteView;
  gauge: NoteActions['gauge'];
}

export function GaugeCard({ view: { gauges, result }, gauge }: Props) {
  if (gauges.length === 0 && gauge === null) return null;
  return (
    <section className="card note-card" id="gauges" aria-labelledby="gauges-title">
      <div className="card-head">
        <h2 id="gauges-title">Gauge</h2>
        <p className="unit">{gauges.length === 0 ? 'nothing read yet' : 'before the work, then after it'}</p>
      </div>
      <ul className="measures">
        {gauges.map(({ title, words, target }) => (
          <li key={title}>
            <span className="what">{title}</span> <strong>{words}</strong>{' '}
            <span className="rests">{target && `set to ${target}`}</span>
          </li>
        ))}
      </ul>
      {gauge && (
        <button type="button" className="other note-gauge" onClick={() => gauge(result.midi)}>
          {gauges.length === 0 ? 'Type a reading' : 'Type more readings'}
        </button>
      )}
    </section>
  );
}
