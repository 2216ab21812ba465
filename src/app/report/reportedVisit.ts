/** The visit on the desk as the report takes it: all that is kept of it, its rounds judged and compared by the worker. */

import type { PooledDocument } from '../../analysis/document.ts';
import { compassRound } from '../../pictures/compass/compassNote.ts';
import { beforeSide, countedTakes, workBetween } from '../../record/beforeSide.ts';
import { saidOf, summaryOf } from '../../record/rounds.ts';
import type { KeptVisit } from '../../record/seasons.ts';
import type { Round } from '../../record/types.ts';
import { pairsToCompare, type ComparedRounds, type ReportedVisit, type VisitThings } from '../../report/visit.ts';
import { noteZeros } from '../desk/noteZeros.ts';
import { RefinerError, type Refining } from '../sitting/refiner.ts';
import type { Store } from '../../storage/store.ts';
import type { Sitting } from '../sitting/sitting.ts';

/**
 * Reads and judges the visit of a sitting. Some seconds for a whole piano, not on this thread. What the analysis refuses (takes of another
 * version) is told in the report, and costs nothing else.
 * @throws StoreError (as a rejection).
 */
export async function reportedVisit(sitting: Sitting, refiner: Refining, invented: boolean): Promise<ReportedVisit> {
  const { store, visit, piano } = sitting;
  const kept = await keptOf(store, visit, piano);
  const reference = kept.reference?.reference ?? null;
  const remarks: string[] = [];
  const documents = new Map<number, PooledDocument>();
  const spared = async <Result>(what: string, work: () => Promise<Result>): Promise<Result | null> => {
    try {
      return await work();
    } catch (cause) {
      if (!(cause instanceof RefinerError)) throw cause;
      remarks.push(`${what}: ${cause.message}.`);
      return null;
    }
  };

  let rounds: readonly Round[] = [...kept.rounds].sort((a, b) => a.number - b.number);
  for (const round of rounds) {
    const takes = countedTakes(round, { ...kept, rounds });
    const own = takes.map(({ heard }) => heard);
    const onDesk = round.id === sitting.book.round.id ? sitting.book.judged : null;
    const document =
      onDesk ??
      (own.length === 0
        ? null
        : await spared(
            `Round ${round.number} is shown as it was judged before, for it cannot be judged again`,
            async () => {
              return (await refiner.ask({ type: 'judge', documents: own, reference })).round;
            },
          ));
    if (!document) continue;
    documents.set(round.number, document);
    const midis = [...new Set(takes.map(({ midi }) => midi))];
    const summary = summaryOf(document, midis, compassRound(document).notes);
    rounds = rounds.map((one) => (one.id === round.id ? { ...one, summary } : one));
  }
  const things: VisitThings = { ...kept, rounds };
  const compared: ComparedRounds[] = [];
  for (const { before, after } of pairsToCompare(things)) {
    const [first, last] = [before, after].map((number) => rounds.find((one) => one.number === number)!);
    const side = beforeSide(first, things);
    if (![...side.rounds, last].every(({ number }) => documents.has(number))) continue;
    const later = countedTakes(last, things);
    const found = await spared(`${side.title} and round ${after} cannot be compared`, async () =>
      refiner.ask({
        type: 'compare',
        before: side.takes.map(({ heard }) => heard),
        after: later.map(({ heard }) => heard),
        reference,
        zeros: await noteZeros(store, visit.pianoId, side.takes, later, refiner),
        said: { before: saidOf(first, visit), after: saidOf(last, visit) },
        fresh: side.fresh,
        ...workBetween(before, after, things.piano, things.adjustments),
      }),
    );
    if (found) compared.push({ before, after, document: found.comparison });
  }
  const judged = [...documents].map(([number, document]) => ({ number, document }));
  const utcOffsetMinutes = -new Date(visit.startedAt).getTimezoneOffset();
  const earlier = await otherVisits(store, visit);
  return { ...things, judged, compared, remarks, earlier, utcOffsetMinutes, invented };
}

async function otherVisits(store: Store, { id, pianoId }: Sitting['visit']): Promise<KeptVisit[]> {
  const of = { pianoId };
  const visits = (await store.list('visits', of)).filter((visit) => visit.id !== id);
  if (visits.length === 0) return [];
  const [rounds, adjustments] = [await store.list('rounds', of), await store.list('adjustments', of)];
  return visits.map((visit) => ({
    visit,
    rounds: rounds.filter(({ visitId }) => visitId === visit.id),
    adjustments: adjustments.filter(({ visitId }) => visitId === visit.id),
  }));
}

async function keptOf(store: Store, visit: Sitting['visit'], piano: Sitting['piano']): Promise<VisitThings> {
  const of = { visitId: visit.id };
  return {
    // As it stands by now: its working order may have been changed on the worklist.
    piano: (await store.get('pianos', piano.id)) ?? piano,
    visit: (await store.get('visits', visit.id)) ?? visit,
    rounds: await store.list('rounds', of),
    takes: await store.list('takes', of),
    adjustments: await store.list('adjustments', of),
    gauges: await store.list('gauges', of),
    marks: await store.list('marks', of),
    hours: await store.list('hours', of),
    reference: visit.referenceId === null ? null : await store.get('references', visit.referenceId),
  };
}
