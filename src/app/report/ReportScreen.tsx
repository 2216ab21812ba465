/** The record of a visit: to be looked at, printed, saved, and handed to other programs. */

import { ReportPaper } from './ReportPaper.tsx';
import type { ReportActions, ReportView } from './view.ts';

interface Props {
  view: ReportView;
  actions: ReportActions;
}

export function ReportScreen({ view: { paper, busy, outcome }, actions }: Props) {
  const waiting = paper === null || busy !== null;
  const deed = (words: string, act: () => void, name = 'other') => (
    <button type="button" className={name} disabled={waiting} onClick={act}>
      {words}
    </button>
  );
  return (
    <main className="report-screen">
      <div className="report-tools">
        <div className="report-deeds">
          {deed('Print', actions.print, 'act')}
          {deed('Save as one file', actions.save)}
        </div>
        <details className="report-export">
          <summary>Export for other programs</summary>
          <div className="report-deeds">
            {deed('Tables (CSV)', actions.saveTables)}
            {deed('The visit (JSON)', actions.saveVisit)}
            {deed('Sound with marks (WAV)', actions.saveSound)}
          </div>
        </details>
        <p className="report-outcome" role="status">
          {busy ?? outcome}
        </p>
      </div>
      {paper === null ? (
        <p className="report-waiting">The rounds are judged and compared. That takes some seconds for a whole piano.</p>
      ) : (
        <ReportPaper paper={paper} />
      )}
    </main>
  );
}
