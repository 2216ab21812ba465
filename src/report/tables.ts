/** The tables of a visit: every stroke; every note with its verdicts, measures and findings; the work. Full precision, UTC. */

import { keyName } from '../piano/keys.ts';
import { documentAsMeasured } from '../piano/uprights.ts';
import type { Measure, NoteComparison } from '../record/documents.ts';
import type { Take } from '../record/types.ts';
import { csvText, type Column } from './csv.ts';
import { standings, type NoteStanding } from './standing.ts';
import { visitAsMeasured } from './uprights.ts';
import { judgedInOrder, type ReportedVisit, type VisitThings } from './visit.ts';

/** A table with the name of its file. */
export interface Table {
  readonly file: string;
  readonly text: string;
}

/** The three tables: `strokes.csv`, `notes.csv`, `work.csv`. */
export function visitTables(kept: ReportedVisit): Table[] {
  const reported = tableVisit(kept);
  return [
    { file: 'strokes.csv', text: csvText(STROKES, strokeRows(reported)) },
    { file: 'notes.csv', text: csvText(NOTES, noteRows(reported)) },
    { file: 'work.csv', text: csvText(WORK, workRows(reported)) },
  ];
}

/** Of an upright, as it is shown everywhere: without the rest's verdict and findings; measures stay. */
function tableVisit(kept: ReportedVisit): ReportedVisit {
  const { kind } = kept.piano;
  const judged = kept.judged.map((one) => ({ ...one, document: documentAsMeasured(one.document, kind) }));
  return { ...visitAsMeasured(kept), judged };
}

interface StrokeRow {
  readonly round: number | null;
  readonly take: Take;
  readonly number: number;
  readonly stroke: Take['heard']['strokes'][number];
}

const STROKES: readonly Column<StrokeRow>[] = [
  { name: 'round', of: ({ round }) => round },
  { name: 'take', of: ({ take }) => take.number },
  { name: 'asked', of: ({ take }) => take.asked },
  { name: 'touch', of: ({ take }) => take.touch },
  { name: 'taken_back', of: ({ take }) => take.undone },
  { name: 'jammed', of: ({ take }) => take.jammed },
  { name: 'stroke', of: ({ number }) => number },
  { name: 'note', of: ({ stroke }) => nameOf(stroke.midi) },
  { name: 'midi', of: ({ stroke }) => stroke.midi },
  { name: 'kind', of: ({ stroke }) => stroke.kind },
  { name: 'passage', of: ({ stroke }) => stroke.passage },
  { name: 'time_s', of: ({ stroke }) => stroke.timeSeconds },
  { name: 'contact_s', of: ({ stroke }) => stroke.contactSeconds },
  { name: 'onset_s', of: ({ stroke }) => stroke.onsetSeconds },
  {
    name: 'travel_ms',
    of: ({ stroke: { contactSeconds, onsetSeconds } }) =>
      contactSeconds === null || onsetSeconds === null ? null : 1000 * (onsetSeconds - contactSeconds),
  },
  { name: 'level_dBFS', of: ({ stroke }) => stroke.levelDb },
  { name: 'relative_level_dB', of: ({ stroke }) => stroke.relativeDb },
  { name: 'rest_before_s', of: ({ stroke }) => stroke.preceding.restSeconds },
  { name: 'confidence', of: ({ stroke }) => stroke.confidence },
  { name: 'contact_confidence', of: ({ stroke }) => stroke.contactConfidence },
  { name: 'doubts', of: ({ stroke }) => stroke.doubt.join(' ') },
];

function strokeRows({ rounds, takes }: VisitThings): StrokeRow[] {
  const numbers = new Map(rounds.map(({ id, number }) => [id, number]));
  const round = ({ roundId }: Take) => numbers.get(roundId) ?? null;
  return [...takes]
    .sort((a, b) => (round(a) ?? 0) - (round(b) ?? 0) || a.number - b.number)
    .flatMap((take) => take.heard.strokes.map((stroke, i) => ({ round: round(take), take, number: i + 1, stroke })));
}

type NoteKind = 'verdict' | 'measure' | 'finding' | 'change' | 'outcome';

interface NoteRow {
  readonly round: number | null;
  readonly midi: number;
  readonly row: NoteKind;
  readonly what: string;
  readonly value: string | number | null;
  readonly unit: string;
  readonly interval: readonly [number, number] | null;
  readonly n: number | null;
  /** Changes: the round it is compared from, the values, and q. */
  readonly from: {
    readonly round: number;
    readonly before: number;
    readonly after: number;
    readonly q: number | null;
  } | null;
}

const NOTES: readonly Column<NoteRow>[] = [
  { name: 'round', of: ({ round }) => round },
  { name: 'note', of: ({ midi }) => nameOf(midi) },
  { name: 'midi', of: ({ midi }) => midi },
  { name: 'row', of: ({ row }) => row },
  { name: 'what', of: ({ what }) => what },
  { name: 'value', of: ({ value }) => value },
  { name: 'unit', of: ({ unit }) => unit },
  { name: 'interval_low', of: ({ interval }) => interval?.[0] ?? null },
  { name: 'interval_high', of: ({ interval }) => interval?.[1] ?? null },
  { name: 'strokes', of: ({ n }) => n },
  { name: 'compared_with_round', of: ({ from }) => from?.round ?? null },
  { name: 'before', of: ({ from }) => from?.before ?? null },
  { name: 'after', of: ({ from }) => from?.after ?? null },
  { name: 'q', of: ({ from }) => from?.q ?? null },
];

function noteRows(reported: ReportedVisit): NoteRow[] {
  const rounds = judgedInOrder(reported.rounds).flatMap(({ number, summary }) =>
    summary!.verdicts.flatMap(({ midi, verdict }): NoteRow[] => {
      const note = reported.judged
        .find((round) => round.number === number)
        ?.document.notes.find((one) => one.midi === midi);
      const plain = { round: number, midi, from: null };
      const figures = (
        row: NoteKind,
        { kind, unit, interval, n }: Pick<Measure, 'unit' | 'interval' | 'n'> & { kind: string },
        value: number,
      ) => ({
        ...{ ...plain, row, what: kind, value, unit, interval, n },
      });
      return [
        { ...plain, row: 'verdict', what: 'verdict', value: verdict, unit: '', interval: null, n: null },
        ...(note?.measures ?? []).map((measure) => figures('measure', measure, measure.value)),
        ...(note?.findings ?? []).map((finding) => figures('finding', finding, finding.size)),
      ];
    }),
  );
  return [...rounds, ...reported.compared.flatMap(changeRows), ...standings(reported).flatMap(outcomeRows)];
}

function changeRows({ before, after, document }: ReportedVisit['compared'][number]): NoteRow[] {
  return document.notes.flatMap(({ midi, measures }) =>
    measures.map((measure) => changeRow(before, after, midi, measure)),
  );
}

function changeRow(before: number, after: number, midi: number, measure: NoteComparison['measures'][number]): NoteRow {
  const { kind, ratio, difference, interval, n, q } = measure;
  const isTravel = kind === 'travel-at-level';
  return {
    round: after,
    midi,
    row: 'change',
    what: kind,
    value: ratio ?? difference ?? null,
    unit: ratio !== undefined ? 'ratio' : isTravel ? 'percent' : 'share',
    interval,
    n: n[1],
    from: { round: before, before: measure.before, after: measure.after, q },
  };
}

function outcomeRows({ midi, outcome, now }: NoteStanding): NoteRow[] {
  if (outcome === null) return [];
  const empty = { unit: '', interval: null, n: null, from: null };
  return [{ round: now.round, midi, row: 'outcome', what: 'outcome', value: outcome, ...empty }];
}

interface WorkRow {
  readonly row: 'adjustment' | 'gauge' | 'mark' | 'hours' | 'readiness';
  readonly at: string | null;
  readonly ended: string | null;
  readonly midi: number | null;
  readonly what: string;
  readonly way: string | null;
  readonly when: string | null;
  readonly eighths: number | null;
  readonly millimetres: number | null;
  readonly minutes: number | null;
  readonly afterRound: number | null;
  readonly takenBack: boolean | null;
  readonly words: string | null;
}

const WORK: readonly Column<WorkRow>[] = [
  { name: 'row', of: ({ row }) => row },
  { name: 'at_utc', of: ({ at }) => at },
  { name: 'ended_utc', of: ({ ended }) => ended },
  { name: 'note', of: ({ midi }) => nameOf(midi) },
  { name: 'midi', of: ({ midi }) => midi },
  { name: 'what', of: ({ what }) => what },
  { name: 'way', of: ({ way }) => way },
  { name: 'before_or_after', of: ({ when }) => when },
  { name: 'eighths_of_a_turn', of: ({ eighths }) => eighths },
  { name: 'length_mm', of: ({ millimetres }) => millimetres },
  { name: 'time_min', of: ({ minutes }) => minutes },
  { name: 'after_round', of: ({ afterRound }) => afterRound },
  { name: 'taken_back', of: ({ takenBack }) => takenBack },
  { name: 'words', of: ({ words }) => words },
];

const NOTHING = {
  ...{ at: null, ended: null, midi: null, way: null, when: null, eighths: null, millimetres: null },
  ...{ minutes: null, afterRound: null, takenBack: null, words: null },
};

function workRows({ visit, adjustments, gauges, marks, hours }: VisitThings): WorkRow[] {
  const rows: WorkRow[] = [
    ...adjustments.map(({ at, midi, what, way, eighths, millimetres, afterRound, undone, words }): WorkRow => ({
      ...{
        ...NOTHING,
        row: 'adjustment',
        at,
        midi,
        what,
        way,
        eighths,
        millimetres,
        afterRound,
        takenBack: undone,
        words,
      },
    })),
    ...gauges.map(({ at, midi, kind, when, millimetres, undone }): WorkRow => ({
      ...{ ...NOTHING, row: 'gauge', at, midi, what: kind, when, millimetres, takenBack: undone },
    })),
    ...marks.map(({ at, midi, kind }): WorkRow => ({ ...NOTHING, row: 'mark', at, midi, what: kind })),
    ...hours.map(({ startedAt, endedAt, operation }): WorkRow => ({
      ...{ ...NOTHING, row: 'hours', at: startedAt, ended: endedAt, what: operation },
      minutes: endedAt === null ? null : (Date.parse(endedAt) - Date.parse(startedAt)) / 60_000,
    })),
  ].sort((a, b) => Date.parse(a.at!) - Date.parse(b.at!));
  const ready = visit.readiness.map(({ item, state }): WorkRow => ({
    ...NOTHING,
    row: 'readiness',
    what: item,
    words: state,
  }));
  return [...ready, ...rows];
}

/** Keys beyond the usual compass have no name. */
function nameOf(midi: number | null): string | null {
  return midi === null || midi < 21 || midi > 108 ? null : keyName(midi);
}
