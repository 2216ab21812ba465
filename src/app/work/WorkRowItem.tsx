/** One note of the worklist: what was found, where the work on it stands, and the one thing to do next. */

import { ChangeMark } from '../compass/ChangeMark.tsx';
import { Icon, VerdictMark } from '../glyphs.tsx';
import { useLengths } from '../lengths.ts';
import { NoteName } from '../NoteName.tsx';
import { spokenName } from '../words.ts';
import type { WorkActions, WorkRow } from './view.ts';

interface Props {
  row: WorkRow;
  readOnly: boolean;
  actions: WorkActions;
  onAdjusted: () => void;
  /** Asks what was turned. */
  onTell: () => void;
}

export function WorkRowItem({ row, readOnly, actions, onAdjusted, onTell }: Props) {
  const { midi, state, verdict, title, evidence, turned, change } = row;
  const name = spokenName(midi);
  const inUnit = useLengths();
  if (state === 'done' || state === 'left-as-is') {
    return (
      <li className="work-row settled">
        <NoteName midi={midi} stamp />
        <span className="work-settled">
          <Icon name="check" />
          {state === 'done' ? 'Done' : 'Left as is'}
          {turned && <span>{inUnit(turned)}</span>}
        </span>
        {!readOnly && (
          <button
            type="button"
            className="other"
            aria-label={`Reopen: ${name}`}
            onClick={() => actions.mark(midi, 'reopened')}
          >
            Reopen
          </button>
        )}
      </li>
    );
  }
  return (
    <li className={`work-row ${state}`}>
      <button type="button" className="work-note" onClick={() => actions.open(midi)}>
        <span className="unseen">Open </span>
        <NoteName midi={midi} stamp />
        {verdict && <VerdictMark verdict={verdict} />}
      </button>
      <div className="work-words">
        {state === 'adjusted' && (
          <p className="work-state">
            <Icon name="check" />
            Adjusted
          </p>
        )}
        {state === 'heard-again' && (
          <p className="work-state">
            <Icon name="sound" />
            Heard again
          </p>
        )}
        <h3>{title}</h3>
        <p>{state === 'adjusted' ? inUnit(turned ?? 'not said what was turned') : evidence && inUnit(evidence)}</p>
        {state === 'heard-again' && turned && <p>{inUnit(turned)}</p>}
        {change && <ChangeMark change={change} />}
        {!readOnly && <Smaller row={row} actions={actions} onTell={onTell} />}
      </div>
      {!readOnly && <Next {...{ row, actions, onAdjusted, name }} />}
    </li>
  );
}

/** What can be done beside the one large thing. */
function Smaller({ row: { midi, state, lastTurn }, actions, onTell }: Pick<Props, 'row' | 'actions' | 'onTell'>) {
  const name = spokenName(midi);
  return (
    <p className="work-smaller">
      {lastTurn && (
        <button type="button" aria-label={`What was turned: ${name}`} onClick={onTell}>
          What was turned
        </button>
      )}
      {state === 'adjusted' && lastTurn && (
        <button type="button" aria-label={`Undo: ${name}`} onClick={() => actions.undo(lastTurn)}>
          Undo
        </button>
      )}
      {state !== 'adjusted' && (
        <button type="button" aria-label={`Leave as is: ${name}`} onClick={() => actions.mark(midi, 'left-as-is')}>
          Leave as is
        </button>
      )}
      <button type="button" aria-label={`Gauge: ${name}`} onClick={() => actions.gauge(midi)}>
        Gauge
      </button>
    </p>
  );
}

function Next({ row, actions, onAdjusted, name }: Omit<Props, 'readOnly' | 'onTell'> & { name: string }) {
  const { midi, state, change } = row;
  if (state === 'adjusted') {
    return (
      <span className="work-next wait">
        <Icon name="sound" />
        Play it
      </span>
    );
  }
  const mayClose = state === 'heard-again' && change !== 'no-change-shown' && change !== 'worse';
  const words = mayClose ? 'Mark done' : 'I adjusted it';
  return (
    <button
      type="button"
      className="work-next"
      aria-label={`${words}: ${name}`}
      onClick={mayClose ? () => actions.mark(midi, 'done') : onAdjusted}
    >
      <span className="work-box" aria-hidden="true" />
      {words}
    </button>
  );
}
