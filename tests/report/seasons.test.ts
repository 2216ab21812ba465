/** Earlier visits in the report: a sentence for the owner, a part of the technician's sheet, nothing where there are none. */

import { describe, expect, it } from 'vitest';
import { reportHtml } from '../../src/report/html.ts';
import { reportOf } from '../../src/report/model.ts';
import type { ReportedVisit } from '../../src/report/visit.ts';
import { visitText } from '../../src/report/visitFile.ts';
import type { KeptVisit } from '../../src/record/seasons.ts';
import type { Verdict } from '../../src/record/documents.ts';
import { madeVisit } from './madeVisit.ts';

/** A visit of that day to the same piano, one round. */
function visitOn(day: string, verdicts: Readonly<Record<number, Verdict>>, humidityPercent: number | null): KeptVisit {
  const made = madeVisit(
    Object.entries(verdicts).map(([midi, verdict]) => ({ midi: Number(midi), verdicts: [verdict] })),
  );
  const visit = { ...made.visit, id: day, startedAt: `${day}T09:00:00.000Z`, humidityPercent };
  return { visit, rounds: made.rounds.map((round) => ({ ...round, id: `${day}-1`, visitId: day })), adjustments: [] };
}

const spring = visitOn('2025-05-18', { 40: 'steady', 59: 'unstable', 64: 'steady' }, 52);
const autumn = visitOn('2025-11-03', { 40: 'steady', 59: 'steady', 64: 'steady' }, 34);
const later = visitOn('2026-09-01', { 40: 'steady', 59: 'steady', 64: 'steady' }, 60);

/** This visit, of 1 March 2026: 40 drifts, 59 came back. */
function today(earlier: readonly KeptVisit[] | undefined, kind: 'grand' | 'upright' = 'grand'): ReportedVisit {
  const made = madeVisit(
    [
      { midi: 40, verdicts: ['watch'] },
      { midi: 59, verdicts: ['unstable'] },
      { midi: 64, verdicts: ['steady'] },
    ],
    {},
    { kind },
  );
  return { ...made, visit: { ...made.visit, humidityPercent: 55 }, ...(earlier ? { earlier } : {}) };
}
const onOwnersPage = (reported: ReportedVisit) =>
  reportOf(reported)
    .said.flatMap(({ sentences }) => sentences)
    .filter((sentence) => sentence.startsWith('Against the'));

describe('earlier visits', () => {
  it('stand on the technician\u2019s sheet: counts with the climate, what drifts, what came back, when to come again', () => {
    const { seasons } = reportOf(today([autumn, spring])).technician;
    expect(seasons!.visits).toEqual([
      ['1 March 2026, 55 %', '2 flagged of 3'],
      ['3 November 2025, 34 %', '0 flagged of 3'],
      ['18 May 2025, 52 %', '1 flagged of 3'],
    ]);
    expect(seasons!.stories).toEqual([
      ['Came back', 'B3'],
      ['Drifts', 'E2'],
    ]);
    expect(seasons!.words[0]).toMatch(/^The humidity was another/);
    expect(seasons!.words.at(-1)).toMatch(/^Notes moved while the climate did.*\(common practice, no source\)\.$/);
    const html = reportHtml(today([autumn, spring]));
    expect(html).toContain('Earlier visits');
    expect(html).toContain('3 November 2025, 34 %');
  });

  it('are one sentence on the owner\u2019s page', () => {
    expect(onOwnersPage(today([spring, autumn]))).toEqual([
      'Against the two visits before (the last 3 November 2025, 34 % humidity): in order once, found off later: E2; put right once, off again later: B3.',
    ]);
    const all = visitOn('2025-11-03', { 64: 'steady' }, null);
    expect(onOwnersPage(today([all]))).toEqual([
      'Against the visit before (3 November 2025): no note that was left in order was found off later.',
    ]);
  });

  it('count a note of this visit as it stands now, as the rest of the report does', () => {
    const turned = { what: 'lever' } as const;
    const made = madeVisit([{ midi: 59, verdicts: ['unstable', 'insufficient'], turned, change: 'no-change-shown' }]);
    const report = reportOf({ ...made, earlier: [autumn] });
    expect(report.counts!.map(({ now }) => now)).toEqual([0, 0, 0, 1]);
    expect(report.technician.seasons!.visits[0]).toEqual(['1 March 2026, climate not kept', '0 flagged of 1']);
  });

  it('are not told where there are none before this one, or nothing was judged', () => {
    for (const earlier of [undefined, [], [later], [{ ...spring, rounds: [] }]]) {
      expect(reportOf(today(earlier)).technician.seasons).toBeNull();
      expect(onOwnersPage(today(earlier))).toEqual([]);
      expect(reportHtml(today(earlier))).not.toContain('Earlier visits');
    }
  });

  it('say nothing of an upright\u2019s rest', () => {
    const [round] = spring.rounds;
    const flagged = round.summary!.flagged.map((one) => ({ ...one, findings: ['wandering-rest'] }));
    const rested = { ...spring, rounds: [{ ...round, summary: { ...round.summary!, flagged } }] };
    const counts = (kind: 'grand' | 'upright') => reportOf(today([rested], kind)).technician.seasons!.visits[1][1];
    expect(counts('grand')).toBe('1 flagged of 3');
    expect(counts('upright')).toBe('0 flagged of 3');
  });

  it('are no part of the visit\u2019s own file', () => {
    expect(visitText(today([spring, autumn]))).toBe(visitText(today(undefined)));
  });
});
