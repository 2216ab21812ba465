/** What is told of an upright: its verdicts without the rest and without causes, as on the screens; and its measures, a row a note. */

import { summaryAsMeasured } from '../piano/uprights.ts';
import { figure } from '../pictures/words.ts';
import type { Measure, MeasureKind } from '../record/documents.ts';
import type { Round } from '../record/types.ts';
import type { ReportedVisit } from './visit.ts';

const COLUMNS: readonly (readonly [MeasureKind, string, (measure: Measure) => string])[] = [
  ['silent-repeats', 'Silent repeats', counted],
  ['weak-repeats', 'Weak repeats', counted],
  ['double-strikes', 'Struck twice', counted],
  ['travel-at-level', 'Contact to tone, ms', valued],
  ['travel-spread', 'It differs by, in 100', valued],
];

/** The visit as it may be told of such a piano: what only the rest had flagged is not flagged, and no cause is named. A grand's as it is. */
export function visitAsMeasured<V extends Pick<ReportedVisit, 'piano' | 'rounds'>>(reported: V): V {
  return reported.piano.kind === 'grand' ? reported : { ...reported, rounds: roundsAsMeasured(reported.rounds) };
}

function roundsAsMeasured(rounds: readonly Round[]): Round[] {
  return rounds.map((round) => ({
    ...round,
    summary: round.summary && summaryAsMeasured(round.summary, 'upright'),
  }));
}

/** Rows and their heads, as last heard; empty for a grand. */
export function uprightRows({ piano, judged }: ReportedVisit): {
  readonly measured: readonly (readonly [number, ...string[]])[];
  readonly measuredHead: readonly string[];
} {
  if (piano.kind === 'grand') return { measured: [], measuredHead: [] };
  const last = new Map(judged.flatMap(({ document }) => document.notes.map((note) => [note.midi, note] as const)));
  const rows = [...last.values()]
    .sort((a, b) => a.midi - b.midi)
    .map(({ midi, measures }): readonly [number, ...string[]] => [
      midi,
      ...COLUMNS.map(([kind, , words]) => {
        const found = measures.find((one) => one.kind === kind);
        return found ? words(found) : '\u2013';
      }),
    ]);
  return { measured: rows, measuredHead: COLUMNS.map(([, title]) => title) };
}

function counted({ value, n }: Measure): string {
  return `${Math.round(value * n)} of ${n}`;
}

function valued({ value, interval, n }: Measure): string {
  return `${figure(value, 1)} (${figure(interval[0], 1)} to ${figure(interval[1], 1)}; ${n})`;
}
