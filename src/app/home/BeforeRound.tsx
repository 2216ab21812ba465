/** Before a round, folded: what is said of the visit, and the readiness list. Both can be passed over, and taken up later. */

import { useState } from 'react';
import { ReadinessList } from '../visit/ReadinessList.tsx';
import { VisitFields } from '../visit/VisitFields.tsx';
import { readinessWords, type VisitDraft } from '../visit/visitForm.ts';
import type { StartOffers } from './view.ts';

interface Props {
  visit: StartOffers['visit'];
  onDraft: (draft: VisitDraft) => void;
}

export function BeforeRound({ visit: { draft, read, goesOn }, onDraft }: Props) {
  const [open, setOpen] = useState(false);
  return (
    <div className="start-folded">
      <details className="form-card">
        <summary>
          <h2>The room and the visit</h2>
          <span>{goesOn ? 'goes on with today’s visit' : 'optional'}</span>
        </summary>
        <VisitFields before draft={draft} read={read} readOnly={false} onDraft={onDraft} />
      </details>
      <details className="form-card" open={open} onToggle={({ currentTarget }) => setOpen(currentTarget.open)}>
        <summary>
          <h2>Is the action ready?</h2>
          <span>{readinessWords(draft)}</span>
        </summary>
        <ReadinessList readiness={draft.readiness} onReadiness={(readiness) => onDraft({ ...draft, readiness })} />
        <button type="button" className="other" onClick={() => setOpen(false)}>
          Skip for now
        </button>
      </details>
    </div>
  );
}
