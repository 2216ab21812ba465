/** This visit: its day, what is said of it, the readiness list, and the ways to its piano and its gauge readings. */

import { FormFoot } from '../piano/PianoScreen.tsx';
import { ReadinessList } from './ReadinessList.tsx';
import { VisitFields } from './VisitFields.tsx';
import { readinessWords, type VisitDraft, type VisitFacts, type VisitRead } from './visitForm.ts';

export interface VisitView {
  /** "Aldervane 274, Quillwater Hall". */
  readonly piano: string;
  /** "18 May 2026". */
  readonly day: string;
  readonly draft: VisitDraft;
  readonly read: VisitRead<VisitFacts>;
  /** A first round is still to be played: the list stands open. */
  readonly beforeFirst: boolean;
  /** The round on the desk, where it was begun with another microphone place or player than the visit says by now; else null. */
  readonly begunOtherwise: number | null;
  readonly readOnly: boolean;
}

export interface VisitActions {
  draft(draft: VisitDraft): void;
  piano(): void;
  gauges(): void;
  done(): void;
}

export function VisitScreen({ view, actions }: { view: VisitView; actions: VisitActions }) {
  const { draft, read, readOnly, begunOtherwise } = view;
  return (
    <main className="form-screen">
      <p className="form-lead">
        <strong>{view.piano}</strong>, {view.day}
      </p>
      <div className="form-ways">
        <button type="button" className="other" onClick={actions.piano}>
          This piano
        </button>
        <button type="button" className="other" onClick={actions.gauges}>
          Gauge readings
        </button>
      </div>
      <div className="form-columns">
        <div>
          {begunOtherwise !== null && (
            <p className="form-told" role="status">
              Player and microphone hold from the next round on; round {begunOtherwise} keeps those that it was begun
              with.
            </p>
          )}
          <VisitFields draft={draft} read={read} readOnly={readOnly} onDraft={actions.draft} />
        </div>
        <details className="form-card" open={view.beforeFirst}>
          <summary>
            <h2>Before round 1</h2>
            <span>{readinessWords(draft)}</span>
          </summary>
          <ReadinessList
            readiness={draft.readiness}
            disabled={readOnly}
            onReadiness={(readiness) => actions.draft({ ...draft, readiness })}
          />
        </details>
      </div>
      <FormFoot faults={Object.keys(read.faults).length} readOnly={readOnly} onDone={actions.done} />
    </main>
  );
}
