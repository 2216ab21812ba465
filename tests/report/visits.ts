/** The invented demo visit to report, judged once. */

import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { compareDocuments } from '../../src/analysis/compare.ts';
import { together } from '../../src/analysis/together.ts';
import { compassRound } from '../../src/pictures/compass/compassNote.ts';
import { summaryOf } from '../../src/record/rounds.ts';
import type { Round } from '../../src/record/types.ts';
import { countedTakes, pairsToCompare, type ReportedVisit, type VisitThings } from '../../src/report/visit.ts';

const FILE = new URL('../../samples/demo/visit.packed', import.meta.url);

let demo: ReportedVisit | null = null;

/** The demo visit as the program reports it. */
export function demoVisit(): ReportedVisit {
  demo ??= judged({
    ...(JSON.parse(gunzipSync(readFileSync(FILE)).toString()) as Omit<VisitThings, 'reference'>),
    reference: null,
  });
  return demo;
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
    document: compareDocuments(of(before), of(after)),
  }));
  return { ...things, rounds, judged: documents, compared, remarks: [], utcOffsetMinutes: 0, invented: true };
}
