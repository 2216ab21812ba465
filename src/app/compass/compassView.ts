/** From the judged document of a round to what the compass shows. Formatting only. */

import type { ComparisonDocument } from '../../analysis/compare.ts';
import type { NoteResult, Verdict } from '../../analysis/document.ts';
import {
  compassRound,
  isFlagged,
  type CompassNote,
  type RepeatCount,
  type RoundDocument,
} from '../../pictures/compass/compassNote.ts';
import { pairMeasure, pairWords } from '../../pictures/compass/pairPicture.ts';
import { signed } from '../../pictures/words.ts';
import { USUAL_BREAKS } from '../../piano/sections.ts';
import type { MidiNote } from '../../units.ts';
import { counted, figure } from '../words.ts';
import { CHANGE_ORDER } from './changes.ts';
import type { CompassEntry, CompassRow, CompassView, WorkedEntry } from './view.ts';

export interface CompassInput {
  readonly document: RoundDocument;
  /** "Aldervane 274, round 1". */
  readonly title: string;
  /** First keys of the piano's sections after the lowest; null where nobody entered them: the usual ones. */
  readonly breaks: readonly MidiNote[] | null;
  /** The visit's rounds to choose from, and the one shown. */
  readonly rounds?: CompassView['rounds'];
  readonly chosenRound?: string | null;
  /** The round before, and the two compared. */
  readonly earlier?: {
    readonly document: RoundDocument;
    readonly comparison: ComparisonDocument;
    /** "Round 1, then round 2". */
    readonly title: string;
    /** The notes adjusted in between; null: all that were heard twice. */
    readonly worked?: readonly MidiNote[] | null;
  } | null;
}

/** The view of a round; with an earlier one, the notes that both have. */
export function compassView({
  document,
  title,
  breaks,
  rounds = [],
  chosenRound = null,
  earlier = null,
}: CompassInput): CompassView {
  const round = compassRound(document);
  const results = new Map(document.notes.map((note) => [note.midi, note]));
  const notes = round.notes.map((note) => entryOf(note, results.get(note.midi)!));
  const counts: Record<Verdict, number> = { steady: 0, watch: 0, unstable: 0, insufficient: 0 };
  for (const { verdict } of notes) counts[verdict]++;
  const { referenceDb } = round;
  const loudness = referenceDb === null ? '' : ` One loudness: ${figure(referenceDb, 0)} dB.`;
  return {
    title,
    round,
    rounds,
    chosenRound,
    breaks: breaks ?? USUAL_BREAKS,
    notes,
    counts,
    advice: adviceOf(document, earlier?.comparison ?? null),
    rows: [...notes].sort(
      (a, b) =>
        urgency(a.verdict) - urgency(b.verdict) ||
        (isFlagged(a) ? results.get(b.midi)!.score - results.get(a.midi)!.score : 0) ||
        a.midi - b.midi,
    ),
    caption: `${counted(notes.length, 'note')}, flagged first, then bass to treble. Counts are strokes. Intervals: 9 in 10.${loudness}`,
    compared: earlier && comparedOf(earlier, round.notes),
  };
}

/** What the round has to say as a whole, then what its comparison has beside that. */
function adviceOf({ advice }: RoundDocument, comparison: ComparisonDocument | null): string[] {
  const said = new Set<string>(advice.map(({ code }) => code));
  const more = comparison?.advice.filter(({ code }) => !said.has(code)) ?? [];
  return [...advice, ...more].map(({ message }) => message);
}

function urgency(verdict: Verdict): number {
  return { unstable: 0, watch: 1, insufficient: 2, steady: 2 }[verdict];
}

function entryOf(note: CompassNote, { midi, verdict, words }: NoteResult): CompassEntry {
  return { midi, verdict, note, line: words.line, evidence: words.evidence[0] ?? null, row: rowOf(note) };
}

const NOT_PLAYED = 'not played';
const NOT_ENOUGH = 'not enough';

function rowOf({ repeats, gentle, timing, travelMs, trendMs, restRatio, offsets }: CompassNote): CompassRow {
  const count = (of: RepeatCount | null, kind: keyof RepeatCount) => (of ? String(of[kind]) : NOT_PLAYED);
  return {
    silent: count(repeats, 'silent'),
    weak: count(repeats, 'weak'),
    double: count(repeats, 'double'),
    of: count(repeats, 'of'),
    gentle: gentle ? `${gentle.silent} \u00b7 ${gentle.double} of ${gentle.of}` : NOT_PLAYED,
    off: timing ? signed(timing.value, 1) : NOT_ENOUGH,
    offRange: timing && `${signed(timing.low, 1)} to ${signed(timing.high, 1)}`,
    travel: travelMs === null ? NOT_ENOUGH : figure(travelMs, 1),
    trend: trendMs === null ? NOT_ENOUGH : figure(trendMs, 1),
    rest: restRatio === null ? NOT_ENOUGH : `${figure(restRatio, 1)}\u00d7`,
    clear: String(offsets.length),
  };
}

function comparedOf(
  { document, comparison, title, worked: adjusted = null }: NonNullable<CompassInput['earlier']>,
  notes: readonly CompassNote[],
): CompassView['compared'] {
  const round = compassRound(document);
  const worked = comparison.notes.flatMap(({ midi, change, words }): WorkedEntry[] => {
    const before = round.notes.find((note) => note.midi === midi);
    const after = notes.find((note) => note.midi === midi);
    if (!before || !after || adjusted?.includes(midi) === false) return [];
    const measure = pairMeasure(before, after);
    return [
      {
        midi,
        before,
        after,
        change,
        measure,
        words: measure === null ? 'Nothing that both rounds have' : pairWords(before, after, measure),
        comparison: words,
      },
    ];
  });
  worked.sort((a, b) => CHANGE_ORDER.indexOf(a.change) - CHANGE_ORDER.indexOf(b.change) || a.midi - b.midi);
  return { round, title, worked, whole: comparison.whole?.words ?? [] };
}
