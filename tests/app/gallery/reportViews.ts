/** What the report's screen may have to show, by name. */

import type { ReportView } from '../../../src/app/report/view.ts';
import { reportTree } from '../../../src/report/html.ts';
import { reportOf } from '../../../src/report/model.ts';
import { madeVisit } from '../../report/madeVisit.ts';

const compass = Array.from({ length: 88 }, (_, i) => ({ midi: 21 + i, verdicts: ['steady', null] as const }));
const turned = {};
const worked = madeVisit([
  ...compass.filter(({ midi }) => ![51, 74, 93].includes(midi)),
  { midi: 51, verdicts: ['unstable', 'steady'], change: 'improved', turned },
  { midi: 74, verdicts: ['unstable', 'unstable'], change: 'no-change-shown', turned },
  { midi: 93, verdicts: ['watch', null] },
]);
const upright = madeVisit(
  [
    { midi: 60, verdicts: ['steady'] },
    { midi: 61, verdicts: ['unstable'] },
  ],
  {},
  { kind: 'upright', name: 'Fernhollow 118' },
);
/** The same piano twice before: note 93 drifted, note 51 came back. */
const earlier = [
  { id: 'spring', startedAt: '2025-05-18T09:00:00.000Z', humidityPercent: 52, flagged: [51] },
  { id: 'autumn', startedAt: '2025-11-03T09:00:00.000Z', humidityPercent: 34, flagged: [] },
].map(({ flagged, ...own }: { flagged: readonly number[]; id: string; startedAt: string; humidityPercent: number }) => {
  const made = madeVisit(
    compass.map(({ midi }) => ({
      midi,
      verdicts: [flagged.includes(midi) ? ('watch' as const) : ('steady' as const)],
    })),
  );
  return { visit: { ...made.visit, ...own }, rounds: made.rounds, adjustments: [] };
});
const still = { busy: null, outcome: '' };

/** The report, by name. */
export const REPORT_VIEWS: Readonly<Record<string, ReportView>> = {
  worked: { paper: reportTree(reportOf(worked), 'article'), ...still },
  upright: { paper: reportTree(reportOf(upright), 'article'), ...still },
  seasons: { paper: reportTree(reportOf({ ...worked, earlier }), 'article'), ...still },
  making: { paper: null, ...still },
  saving: { paper: reportTree(reportOf(madeVisit([])), 'article'), busy: 'The tables are written.', outcome: '' },
};
