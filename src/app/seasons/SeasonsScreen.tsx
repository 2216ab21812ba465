/** Earlier visits to the same piano beside the last: one table, notes by visits, with the climate in its head. */

import { VerdictMark } from '../glyphs.tsx';
import { NoteName } from '../NoteName.tsx';
import { counted } from '../words.ts';
import type { SeasonMark, SeasonsActions, SeasonsView } from './view.ts';

interface Props {
  view: SeasonsView;
  actions: SeasonsActions;
}

export function SeasonsScreen({ view, actions }: Props) {
  const { piano, lead, rows, inOrder, reserves, again } = view;
  return (
    <main className="seasons">
      <p className="seasons-piano">{piano}</p>
      <p className="seasons-lead">{lead}</p>
      {reserves.length > 0 && (
        <ul className="seasons-reserves" aria-label="To be taken with reserve">
          {reserves.map((words) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      )}
      {rows.length > 0 && <Table view={view} actions={actions} />}
      {inOrder > 0 && <p className="seasons-rest">{counted(inOrder, 'note')} flagged in no visit.</p>}
      {again.length > 0 && (
        <section aria-labelledby="seasons-again">
          <h2 id="seasons-again">When to come again</h2>
          <ul className="seasons-again">
            {again.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </section>
      )}
    </main>
  );
}

function Table({ view: { visits, rows }, actions }: Props) {
  return (
    <div className="seasons-table scrolled" tabIndex={0} role="region" aria-label="Notes by visits">
      <table>
        <caption>Notes that a visit flagged, as they were found; where they were left otherwise, that too.</caption>
        <thead>
          <tr>
            <th scope="col">Note</th>
            {visits.map(({ id, day, climate, counts }) => (
              <th key={id} scope="col">
                <button type="button" className="season-visit" onClick={() => actions.open(id)}>
                  {day}
                </button>
                <span>{climate}</span>
                <span>{counts}</span>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map(({ midi, marks, story }) => (
            <tr key={midi}>
              <th scope="row">
                <NoteName midi={midi} stamp />
                <span className="season-story">{story}</span>
              </th>
              {visits.map(({ id }, i) => (
                <td key={id}>
                  <Mark mark={marks[i]} />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Mark({ mark }: { mark: SeasonMark | null }) {
  if (!mark) return <span className="season-none">not heard</span>;
  const { found, left, turned } = mark;
  return (
    <span className="season-mark">
      <VerdictMark verdict={found} />
      {(left || turned) && (
        <span className="season-left">
          {turned && (left ? 'adjusted, then' : 'adjusted')}
          {!turned && 'then'}
          {left && <VerdictMark verdict={left} />}
        </span>
      )}
    </span>
  );
}
