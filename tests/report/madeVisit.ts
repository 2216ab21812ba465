/** Small made-up visits: verdicts by round and what they were compared to, without strokes. */

import { newAdjustment, newPiano, newRound, newVisit } from '../../src/record/newThings.ts';
import type { ComparisonDocument, NoteComparison, Verdict } from '../../src/record/documents.ts';
import type { Adjustment, Piano, Round } from '../../src/record/types.ts';
import { pairsToCompare, type ReportedVisit, type VisitThings } from '../../src/report/visit.ts';

type Change = NoteComparison['change'];

/** One note of a made-up visit: its verdicts by round, what the rounds were compared to, and whether it was turned after round 1. */
export interface MadeNote {
  readonly midi: number;
  readonly verdicts: readonly (Verdict | null)[];
  readonly change?: Change;
  readonly turned?: Partial<Adjustment>;
}

/** A visit of these notes; rounds have summaries alone. */
export function madeVisit(
  notes: readonly MadeNote[],
  more: Partial<ReportedVisit> = {},
  piano: Partial<Piano> = {},
): ReportedVisit {
  const count = Math.max(1, ...notes.map(({ verdicts }) => verdicts.length));
  const rounds = Array.from({ length: count }, (_, i): Round => {
    const heard = notes.flatMap(({ midi, verdicts }) => (verdicts[i] ? [{ midi, verdict: verdicts[i] }] : []));
    const flagged = heard
      .filter(({ verdict }) => verdict === 'watch' || verdict === 'unstable')
      .map(({ midi }) => ({
        ...{
          midi,
          score: 0.9,
          findings: ['missed-repeats'],
          line: 'Quick repeats fail.',
          evidence: ['4 of 24 failed.'],
        },
        ...{ next: ['Repetition spring: look.'], cautions: [], parts: ['spring'] },
      }));
    const line = heard.map(({ midi, verdict }) => ({
      midi,
      repeats: { silent: verdict === 'unstable' ? 4 : 0, weak: 0, double: 0, of: 24 },
      ...{ gentle: null, offsets: [-2, 0, 3], failsAgain: verdict === 'unstable', wanders: false },
    }));
    const summary = { analysisVersion: '0.4.0', verdicts: heard, flagged, line };
    const startedAt = `2026-03-01T0${8 + i}:00:00.000Z`;
    return newRound({ id: `round-${i + 1}`, visitId: 'visit', number: i + 1, startedAt, summary });
  });
  const adjustments = notes.flatMap(({ midi, turned }) =>
    turned
      ? [
          newAdjustment({
            ...{ id: `turn-${midi}`, visitId: 'visit', midi, at: '2026-03-01T08:30:00.000Z', afterRound: 1 },
            ...{ what: 'lever', way: 'down', eighths: 1, words: 'lever down, an eighth' },
            ...turned,
          }),
        ]
      : [],
  );
  const things: VisitThings = {
    piano: newPiano({ id: 'piano', name: 'Fernhollow 180', ...piano }),
    visit: newVisit({
      id: 'visit',
      pianoId: 'piano',
      startedAt: '2026-03-01T08:00:00.000Z',
      endedAt: '2026-03-01T12:00:00.000Z',
    }),
    ...{ rounds, takes: [], adjustments, gauges: [], marks: [], hours: [], reference: null },
  };
  const compared = pairsToCompare(things).map(({ before, after }) => ({ before, after, document: comparison(notes) }));
  return { ...things, judged: [], compared, remarks: [], utcOffsetMinutes: 0, invented: false, ...more };
}

function comparison(notes: readonly MadeNote[]): ComparisonDocument {
  const compared = notes.flatMap(({ midi, verdicts, change }): NoteComparison[] =>
    change && verdicts[0] && verdicts.at(-1)
      ? [
          {
            ...{ midi, name: '', change, words: '', oneTemplate: false, reserves: [] },
            verdicts: { before: verdicts[0], after: verdicts.at(-1)! },
            measures: [
              {
                ...{ kind: 'failed-repeats', unit: 'share', before: 0.25, after: 0, difference: -0.25 },
                ...{ interval: [-0.4, -0.1], n: [24, 24], couldHaveShown: -0.2, q: change === 'improved' ? 0.01 : 0.4 },
              },
            ],
          },
        ]
      : [],
  );
  const sides = { before: { sources: [] }, after: { sources: [] } };
  return {
    schema: 'evenfall.comparison/1',
    analysisVersion: '0.4.0',
    ...sides,
    advice: [],
    notes: compared,
    onlyBefore: [],
    onlyAfter: [],
  };
}
