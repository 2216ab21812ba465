/** The invented demo visit to report, whole and small, judged once. */

import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { compareDocuments } from '../../src/analysis/compare.ts';
import { together } from '../../src/analysis/together.ts';
import { compassRound } from '../../src/pictures/compass/compassNote.ts';
import { countedTakes } from '../../src/record/beforeSide.ts';
import { summaryOf } from '../../src/record/rounds.ts';
import type { Round } from '../../src/record/types.ts';
import { pairsToCompare, type ReportedVisit, type VisitThings } from '../../src/report/visit.ts';

const FILE = new URL('../../samples/demo/visit.packed', import.meta.url);

/** All that is kept of the demo visit. */
export function demoThings(): VisitThings {
  const plain = gunzipSync(readFileSync(FILE)).toString();
  return { ...(JSON.parse(plain) as Omit<VisitThings, 'reference'>), reference: null };
}

/** The notes that were worked on, and as many others. */
const SMALL = [36, 51, 52, 59, 60, 64, 71, 74, 82, 83];

/** The demo visit as if only some notes had been heard: quick to judge. */
export function smallThings(): VisitThings {
  const things = demoThings();
  return { ...things, takes: things.takes.filter(({ midi }) => SMALL.includes(midi)) };
}

let demo: ReportedVisit | null = null;
let small: ReportedVisit | null = null;

/** The demo visit as the program reports it. */
export function demoVisit(): ReportedVisit {
  return (demo ??= judged(demoThings()));
}

/** Likewise the small one. */
export function smallVisit(): ReportedVisit {
  return (small ??= judged(smallThings()));
}

function judged(things: VisitThings): ReportedVisit {
  const documents = things.rounds.map((round) => ({
    number: round.number,
    document: together(countedTakes(round, things).map(({ heard }) => heard)),
  }));
  const rounds = things.rounds.map((round, i): Round => {
    const midis = [...new Set(countedTakes(round, things).map(({ midi }) => midi))];
    const { document } = documents[i];
    return { ...round, summary: summaryOf(document, midis, compassRound(document).notes) };
  });
  const of = (number: number) => documents.find((one) => one.number === number)!.document;
  const compared = pairsToCompare({ ...things, rounds }).map(({ before, after }) => ({
    ...{ before, after },
    document: compareDocuments(of(before), of(after), {
      worked: things.adjustments
        .filter(({ undone, afterRound }) => !undone && afterRound >= before && afterRound < after)
        .map(({ midi }) => midi),
      ...(things.piano.breaks.length > 0 ? { breaks: things.piano.breaks } : {}),
    }),
  }));
  return { ...things, rounds, judged: documents, compared, remarks: [], utcOffsetMinutes: 0, invented: true };
}
