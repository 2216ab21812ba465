/** All visits to the piano on the desk, side by side. */

import { summaryAsMeasured } from '../../piano/uprights.ts';
import { seasonsOf } from '../../record/seasons.ts';
import { seasonsView } from '../seasons/seasonsView.ts';
import type { SeasonsView } from '../seasons/view.ts';
import type { Sitting } from '../sitting/sitting.ts';
import type { Desk } from './desk.ts';
import { dayOf } from './plans.ts';

/** Opens one of them, after what is on the desk was put away. */
export async function openFromSeasons(desk: Desk, visitId: string): Promise<void> {
  await desk.home();
  await desk.openVisit(visitId);
}

/** Reads what is kept of them; the round that is being heard stands as it is judged now. @throws StoreError (as a rejection). */
export async function readSeasons({ store, piano, book }: Sitting): Promise<SeasonsView> {
  const of = { pianoId: piano.id };
  const [visits, rounds, adjustments] = [
    await store.list('visits', of),
    await store.list('rounds', of),
    await store.list('adjustments', of),
  ];
  const kept = visits.map((visit) => ({
    visit,
    rounds: rounds
      .filter(({ visitId }) => visitId === visit.id)
      .map((round) => {
        const summary = round.id === book.round.id && book.summary ? book.summary : round.summary;
        return { ...round, summary: summary && summaryAsMeasured(summary, piano.kind) };
      }),
    adjustments: adjustments.filter(({ visitId }) => visitId === visit.id),
  }));
  return seasonsView(piano, seasonsOf(kept), dayOf);
}
