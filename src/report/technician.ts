/** The technician's sheet as plain data: how it was played, what was turned and what it brought, what is set, what is still open. */

import type { Caution } from '../piano/cautions.ts';
import { disturbedWords, OPERATION_TITLES, type Operation } from '../piano/operations.ts';
import { READINESS, READINESS_OPEN, type ReadinessItem } from '../piano/readiness.ts';
import { UPRIGHT_WHY } from '../piano/uprights.ts';
import { figure } from '../pictures/words.ts';
import type { Verdict } from '../record/documents.ts';
import type { GaugeKind, Visit } from '../record/types.ts';
import { findingsOf, measuredRows, smallestGains, type MeasuredRow } from './measured.ts';
import { changedUntold, isOpen, isWorked, type NoteStanding, type Outcome } from './standing.ts';
import { seasonsTold, type SeasonsTold } from './seasons.ts';
import { playedLines } from './played.ts';
import { jammedNotes, type ReportedVisit } from './visit.ts';
import { uprightRows } from './uprights.ts';
import { capital, countWords, durationWords, listed, millimetreWords, noteList } from './words.ts';

export interface WorkedRow {
  readonly midi: number;
  readonly measured: readonly MeasuredRow[];
  readonly outcome: Outcome;
  readonly turned: string;
}

/** A note that is still open, on a card of its own. */
export interface OpenNote {
  readonly midi: number;
  readonly verdict: Verdict;
  readonly line: string;
  readonly evidence: readonly string[];
  /** What to look at, the first thing first; for an upright what to play. */
  readonly next: readonly string[];
}

/** Two words a row. */
export type Pair = readonly [string, string];

export interface TechnicianSheet {
  readonly title: string;
  /** How and when it was played, a line each. */
  readonly played: readonly string[];
  readonly worked: readonly WorkedRow[];
  /** What holds for the figures above, a sentence each. */
  readonly footing: readonly string[];
  /** What became of the whole piano, a sentence each; none where no two rounds were compared. */
  readonly whole: readonly string[];
  /** Uprights: what was measured, a row a note: name, then figures under {@link measuredHead}. */
  readonly measured: readonly (readonly [number, ...string[]])[];
  readonly measuredHead: readonly string[];
  readonly set: readonly Pair[];
  /** Note, what was read, before, after. */
  readonly gauges: readonly (readonly [number, string, string, string])[];
  readonly readiness: readonly Pair[];
  /** Why an open list matters; null where it is not open. */
  readonly readinessOpen: string | null;
  readonly lookAgain: readonly string[];
  readonly stillOpen: readonly Pair[];
  readonly hours: readonly Pair[];
  /** Earlier visits beside this one; null without. */
  readonly seasons: SeasonsTold | null;
  readonly openNotes: readonly OpenNote[];
  readonly notes: string;
  readonly cautions: readonly string[];
}

const GAUGE_TITLES: Readonly<Record<GaugeKind, string>> = {
  dip: 'Key dip',
  blow: 'Blow distance',
  'let-off': 'Let-off',
  drop: 'Drop',
  aftertouch: 'Aftertouch',
  check: 'Checking',
};
const KINDS = Object.keys(GAUGE_TITLES) as GaugeKind[];

/** Makes the sheet. */
export function technicianOf(
  reported: ReportedVisit,
  notes: readonly NoteStanding[],
  ...cautions: readonly (readonly Caution[])[]
): TechnicianSheet {
  const { piano, visit, compared } = reported;
  const grand = piano.kind === 'grand';
  const worked = notes.filter(isWorked);
  const told = notes.filter((note) => isWorked(note) || changedUntold(note));
  return {
    title:
      worked.length === 0
        ? `${capital(countWords(notes.length, 'note'))} heard, none worked`
        : `${capital(countWords(worked.length, 'note'))} worked`,
    played: playedLines(reported),
    worked: told.map((standing) => ({
      midi: standing.midi,
      measured: measuredRows(standing),
      outcome: standing.outcome ?? 'insufficient',
      turned: (standing.work?.turned ?? []).map(({ words }) => words.trim() || 'adjusted').join('; ') || 'not entered',
    })),
    footing: grand ? footing(reported, notes) : [UPRIGHT_WHY],
    whole: compared.at(-1)?.document.whole?.words ?? [],
    ...uprightRows(reported),
    set: KINDS.flatMap((kind): Pair[] => {
      const target = piano.targets[kind];
      return target === null ? [] : [[GAUGE_TITLES[kind], millimetreWords(target)]];
    }),
    gauges: gaugeRows(reported),
    readiness: readinessRows(visit),
    readinessOpen: visit.readiness.some(({ state }) => state === 'open') ? READINESS_OPEN : null,
    lookAgain: grand ? lookAgain(worked) : [],
    stillOpen: [...jammedRow(reported), ...stillOpen(notes)],
    hours: hourRows(reported),
    seasons: seasonsTold(reported, notes),
    openNotes: notes.filter(isOpen).flatMap(openNote),
    notes: [visit.newParts.trim(), visit.notes.trim()].filter((words) => words !== '').join('. '),
    cautions: [...new Set(cautions.flat().map(({ text }) => text))],
  };
}

function footing({ judged, compared }: ReportedVisit, notes: readonly NoteStanding[]): string[] {
  const sentences: string[] = [];
  const [first] = judged;
  if (first) {
    const { hand } = first.document;
    const rates = hand.baseRates?.steady ?? null;
    const parts = [
      ...(rates === null
        ? []
        : [
            `of 100 quick repeats on a firm note here ${figure(100 * rates.faint, 1)} stay silent or come out weak (base rate)`,
          ]),
      ...(hand.scalePercent === null
        ? []
        : [`the hand alone scatters ${figure(hand.scalePercent, 1)} in 100 of the travel time at one loudness`]),
    ];
    if (parts.length > 0) sentences.push(`${capital(listed(parts))}. A firm note\u2019s rest is the hand\u2019s.`);
    if (hand.scalePercent === null)
      sentences.push(
        'What the hand alone does is not known from so few notes, so nothing is called unstable for its rest.',
      );
  }
  const gains = smallestGains(notes);
  if (gains.length > 0) sentences.push(`Smallest gain that would probably have shown here: ${listed(gains)}.`);
  if (notes.some((note) => isWorked(note) || changedUntold(note)) && compared.length > 0)
    sentences.push(
      'After to before: 19 in 20 from the first to the second figure in brackets; counts in brackets are usable strokes.',
    );
  if (notes.some(({ comparison }) => comparison?.reserves.includes('chosen-by-chance')))
    sentences.push(
      'Where the strokes that raised a doubt are all there is from before, the chance that chose them is taken out, so less can be shown: a dozen slow and a dozen fast strokes more before the work would tell more.',
    );
  const advice = [
    ...judged.flatMap(({ document }) => document.advice),
    ...compared.flatMap(({ document }) => document.advice),
  ];
  sentences.push(...new Set(advice.map(({ message }) => message)));
  return sentences;
}

function gaugeRows({ gauges: all }: ReportedVisit): TechnicianSheet['gauges'] {
  const gauges = all.filter(({ undone }) => !undone);
  const midis = [...new Set(gauges.map(({ midi }) => midi))].sort((a, b) => a - b);
  return midis.flatMap((midi) =>
    KINDS.flatMap((kind) => {
      const own = gauges
        .filter((one) => one.midi === midi && one.kind === kind)
        .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
      if (own.length === 0) return [];
      const read = (when: 'before' | 'after') => {
        const found = own.filter((one) => one.when === when).at(-1);
        return found ? millimetreWords(found.millimetres) : '\u2013';
      };
      return [[midi, GAUGE_TITLES[kind], read('before'), read('after')] as const];
    }),
  );
}

const STATES = { 'in-order': 'in order', 'put-right': 'put right', open: 'still open' } as const;

function readinessRows({ readiness }: Visit): Pair[] {
  return readiness.map(({ item, state }) => [
    item in READINESS ? READINESS[item as ReadinessItem].title : item,
    STATES[state],
  ]);
}

/** What each kind of turn disturbs, its notes together. */
function lookAgain(worked: readonly NoteStanding[]): string[] {
  const said = new Map<string, number[]>();
  for (const { midi, work } of worked) {
    for (const what of new Set(work!.turned.map((one) => one.what))) {
      const words = disturbedWords(what, midi);
      const again = words?.split('Look again at its ')[1];
      if (again === undefined) continue;
      const line = `${what === 'centre' ? 'centre eased' : what === 'line' ? 'hammer line' : what}: ${again}`;
      said.set(line, [...(said.get(line) ?? []), midi]);
    }
  }
  return [...said].map(([line, midis]) => `${noteList(midis, 12)}, ${line}`);
}

function jammedRow(reported: ReportedVisit): Pair[] {
  const jammed = jammedNotes(reported);
  return jammed.length === 0 ? [] : [[noteList(jammed, 12), 'jams, entered by the player']];
}

function stillOpen(notes: readonly NoteStanding[]): Pair[] {
  const groups = new Map<string, number[]>();
  for (const standing of notes.filter(isOpen)) {
    const { now, outcome, midi } = standing;
    const why =
      outcome === 'not-heard' ? 'turned, not heard again' : `${now.verdict}: ${openFinding(standing).toLowerCase()}`;
    groups.set(why, [...(groups.get(why) ?? []), midi]);
  }
  return [...groups].map(([why, midis]) => [noteList(midis, 12), why]);
}

function openFinding(standing: NoteStanding): string {
  return findingsOf({ ...standing, before: standing.now }) || 'to look at';
}

function openNote({ midi, now, before, outcome }: NoteStanding): OpenNote[] {
  const flagged = outcome === 'not-heard' ? (before.flagged ?? now.flagged) : now.flagged;
  if (!flagged) return [];
  const { line, evidence, next } = flagged;
  return [{ midi, verdict: now.verdict, line, evidence: evidence.slice(0, 3), next: next.slice(0, 3) }];
}

function hourRows({ hours }: ReportedVisit): Pair[] {
  const minutes = new Map<string, number>();
  let sum = 0;
  for (const { operation, startedAt, endedAt } of hours) {
    if (endedAt === null) continue;
    const spent = Math.max(0, (Date.parse(endedAt) - Date.parse(startedAt)) / 60_000);
    minutes.set(operation, (minutes.get(operation) ?? 0) + spent);
    sum += spent;
  }
  const rows = [...minutes].map(([operation, spent]): Pair => [
    operation in OPERATION_TITLES ? OPERATION_TITLES[operation as Operation] : operation,
    durationWords(spent),
  ]);
  return rows.length > 1 ? [...rows, ['In all', durationWords(sum)]] : rows;
}
