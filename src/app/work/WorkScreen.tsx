/** The worklist: operation by operation, and within one from bass to treble; for the bench, in big print, without a microphone. */

import { useRef, useState } from 'react';
import { Icon } from '../glyphs.tsx';
import { NoteName, Sentence } from '../NoteName.tsx';
import { FRESH_BEFORE_WORDS } from '../../record/freshBefore.ts';
import { counted } from '../words.ts';
import { TurnDialog } from './TurnDialog.tsx';
import { useWorkPedal } from './pedal.ts';
import { WorkRowItem } from './WorkRowItem.tsx';
import type { WorkActions, WorkGroup, WorkRow, WorkView } from './view.ts';

interface Props {
  view: WorkView;
  /** The note of which it is asked at once what was turned; null for none. */
  telling?: number | null;
  actions: WorkActions;
}

const ORDER_WORDS = { 'blow-first': 'Blow first', 'dip-first': 'Dip first' } as const;

export function WorkScreen({ view, telling = null, actions }: Props) {
  const { counts, groups, readOnly, uprightWords } = view;
  /** The note of which it is asked what was turned. */
  const [turning, setTurning] = useState<number | null>(telling);
  const screen = useRef<HTMLElement>(null);
  useWorkPedal(screen);
  const rows = groups.flatMap((group) => group.rows);
  const told = rows.find(({ midi }) => midi === turning) ?? null;
  const adjust = ({ midi }: WorkRow) => {
    actions.adjusted(midi);
    setTurning(midi);
  };
  return (
    <main className="work" ref={screen}>
      <p className="work-piano">{view.piano}</p>
      {uprightWords && <p>{uprightWords}</p>}
      {!uprightWords && rows.length > 0 && (
        <p className="work-counts">
          <span>
            <strong>{counts.open}</strong> open
          </span>
          <span>
            <strong>{counts.toHear}</strong> to hear again
          </span>
          <span>
            <strong>{counts.heardAgain}</strong> heard again
          </span>
        </p>
      )}
      {view.withoutFresh.length > 0 && !readOnly && <Fresh midis={view.withoutFresh} onHear={actions.hearFresh} />}
      {view.asked.length > 0 && !readOnly && <Asked view={view} actions={actions} />}
      {!uprightWords && (
        <div className="work-order" role="group" aria-label="Working order">
          {(['blow-first', 'dip-first'] as const).map((order) => (
            <button
              key={order}
              type="button"
              aria-pressed={view.order === order}
              disabled={readOnly}
              onClick={() => actions.order(order)}
            >
              {ORDER_WORDS[order]}
            </button>
          ))}
        </div>
      )}
      {rows.length === 0 && !uprightWords && <NothingToSeeTo heard={view.heard} />}
      {groups.map((group) => (
        <Group
          key={group.operation}
          group={group}
          readOnly={readOnly}
          actions={actions}
          onAdjusted={adjust}
          onTell={setTurning}
        />
      ))}
      {rows.length > 0 && view.empty.length > 0 && (
        <p className="work-empty">Nothing to see to: {view.empty.join(', ')}.</p>
      )}
      {rows.length > 0 && (
        <details className="work-cautions">
          <summary>Before the action slides out</summary>
          <ul>
            {view.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </details>
      )}
      {view.hearing && !readOnly && <p className="work-hearing">{view.hearing}</p>}
      {counts.toHear > 0 && !readOnly && (
        <div className="work-foot">
          <button type="button" className="act" onClick={actions.hear}>
            Hear {counted(counts.toHear, 'turned note')} again
          </button>
        </div>
      )}
      {told?.lastTurn && (
        <TurnDialog
          key={told.lastTurn}
          midi={told.midi}
          verdict={told.verdict}
          onKeep={(said) => {
            if (said) actions.turned(told.lastTurn!, said);
            setTurning(null);
          }}
          onUndo={() => {
            actions.undo(told.lastTurn!);
            setTurning(null);
          }}
        />
      )}
    </main>
  );
}

interface GroupProps {
  group: WorkGroup;
  readOnly: boolean;
  actions: WorkActions;
  onAdjusted: (row: WorkRow) => void;
  onTell: (midi: number) => void;
}

function Group({ group, readOnly, actions, onAdjusted, onTell }: GroupProps) {
  const { operation, title, before, sections, rows, disturbed, time, running } = group;
  const id = `work-${operation}`;
  return (
    <section className="work-group" aria-labelledby={id}>
      <div className="work-group-head">
        <div>
          <h2 id={id}>{title}</h2>
          {before && <p>{before}</p>}
        </div>
        {time && <span className="work-time">{time}</span>}
        {!readOnly && (
          <button
            type="button"
            className="other"
            aria-label={`${running ? 'Stop the time of' : 'Time'}: ${title}`}
            aria-pressed={running}
            onClick={() => actions.time(operation)}
          >
            {running ? 'Stop' : 'Time'}
          </button>
        )}
      </div>
      {sections.map(({ line, looks }) => (
        <details className="work-section" key={line}>
          <summary>{line}</summary>
          <ul>
            {looks.map((look) => (
              <li key={look}>{look}</li>
            ))}
          </ul>
        </details>
      ))}
      <ul>
        {rows.map((row) => (
          <WorkRowItem
            key={row.midi}
            row={row}
            readOnly={readOnly}
            actions={actions}
            onAdjusted={() => onAdjusted(row)}
            onTell={() => onTell(row.midi)}
          />
        ))}
      </ul>
      {disturbed.map((sentence) => (
        <p className="work-disturbed" key={sentence}>
          <Icon name="warning" />
          <span>{sentence}</span>
        </p>
      ))}
    </section>
  );
}

function Asked({ view, actions }: Props) {
  const [{ midi, round }] = view.asked;
  return (
    <section className="work-asked" aria-labelledby="work-asked">
      <h2 id="work-asked">
        <NoteName midi={midi} stamp /> <span>Adjusted since round {round}?</span>
      </h2>
      <p>You played it again. Until this is answered its strokes are kept and count for neither side.</p>
      <div>
        <button type="button" className="act" onClick={() => actions.answer(midi, true)}>
          Yes, adjusted
        </button>
        <button type="button" className="other" onClick={() => actions.answer(midi, false)}>
          No, as it was
        </button>
      </div>
    </section>
  );
}

/** Asked for once the list is open, and never in the way: a bench without the piano cannot play. */
function Fresh({ midis, onHear }: { midis: readonly number[]; onHear: () => void }) {
  return (
    <section className="work-fresh" aria-labelledby="work-fresh">
      <h2 id="work-fresh">Before you turn them</h2>
      <p>
        <Sentence words={[...midis.flatMap((midi, i) => (i === 0 ? [{ midi }] : [', ', { midi }])), ': ']} />
        {FRESH_BEFORE_WORDS}
      </p>
      <button type="button" className="other" onClick={onHear}>
        Hear {counted(midis.length, 'note')} afresh
      </button>
    </section>
  );
}

function NothingToSeeTo({ heard }: { heard: number }) {
  return (
    <div className="nothing-heard">
      <h2>Nothing to see to</h2>
      <p>
        {heard === 0
          ? 'No note was heard yet in this visit. What is flagged while you play comes here.'
          : `${counted(heard, 'note')} heard, none flagged. On a firm piano about one round in three would still flag a note; this one did not.`}
      </p>
    </div>
  );
}
