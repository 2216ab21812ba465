/** Where each note of a visit stands: as it was first heard, as it was last heard, what was turned and what became of it. */

import type { NoteComparison, Verdict } from '../record/documents.ts';
import type { FlaggedNote, LineNote, Round } from '../record/types.ts';
import { workNotes, type WorkNote } from '../record/worklist.ts';
import type { MidiNote } from '../units.ts';
import { judgedInOrder, pairOf, settingChanges, type ReportedVisit } from './visit.ts';

/** A note as one round heard it. */
export interface HeardNote {
  readonly round: number;
  readonly verdict: Verdict;
  /** What was off; null where nothing was. */
  readonly flagged: FlaggedNote | null;
  /** What its place on the line is drawn from; null where the round was judged by an older program. */
  readonly line: LineNote | null;
}

/** What became of a note; `not-heard`: it was turned and nobody heard it since. */
export type Outcome = NoteComparison['change'] | 'not-heard';

export interface NoteStanding {
  readonly midi: MidiNote;
  readonly before: HeardNote;
  readonly now: HeardNote;
  /** Null where it was heard once, or nothing could be compared. */
  readonly comparison: NoteComparison | null;
  /** Null where it was not turned and not heard twice. */
  readonly outcome: Outcome | null;
  /** What changed between its two rounds so that nothing is called changed. */
  readonly capped: readonly string[];
  /** Its place on the worklist; null where it has none. */
  readonly work: WorkNote | null;
}

/** The notes heard in a visit, from bass to treble. */
export function standings(reported: ReportedVisit): NoteStanding[] {
  const rounds = judgedInOrder(reported.rounds);
  const work = new Map(workNotes(reported).map((note) => [note.midi, note]));
  const midis = [...new Set(rounds.flatMap(({ summary }) => summary!.verdicts.map(({ midi }) => midi)))];
  return midis.sort((a, b) => a - b).map((midi) => standingOf(midi, rounds, work.get(midi) ?? null, reported));
}

function standingOf(
  midi: MidiNote,
  rounds: readonly Round[],
  work: WorkNote | null,
  reported: ReportedVisit,
): NoteStanding {
  const heard = rounds.flatMap((round) => heardIn(midi, round) ?? []);
  const pair = pairOf(midi, reported);
  const document =
    pair && reported.compared.find((one) => one.before === pair.before && one.after === pair.after)?.document;
  const found = document?.notes.find((note) => note.midi === midi) ?? null;
  const comparison = found && reported.piano.kind === 'upright' ? withoutRest(found) : found;
  const change = comparison?.change ?? null;
  const moved = change === 'improved' || change === 'worse';
  const turned = work !== null && work.turned.length > 0;
  const last = turned ? work.turned.at(-1)!.afterRound : moved ? pair!.before : 0;
  const since = heard.filter(({ round }) => round > last);
  const told = since.length > 0 ? since : heard;
  const unheard = turned && since.length === 0;
  const settings = pair && [pair.before, pair.after].map((n) => rounds.find(({ number }) => number === n)!);
  const capped = settings ? settingChanges(settings[0], settings[1], reported.visit) : [];
  return {
    ...{ midi, capped, work },
    before: pair ? heard.findLast(({ round }) => round <= pair.before)! : heard[0],
    // A round with too few strokes takes nothing from what an earlier one heard of the same state.
    now: told.findLast(({ verdict }) => verdict !== 'insufficient') ?? told.at(-1)!,
    comparison: unheard ? null : comparison,
    outcome: unheard ? 'not-heard' : moved && capped.length > 0 ? 'no-change-shown' : change,
  };
}

/** q up to which a comparison calls a measure changed. */
export const SURE = 0.05;

/** An upright gets no verdict on how its hammers rest: what changed only in that did not change. */
function withoutRest(compared: NoteComparison): NoteComparison {
  const measures = compared.measures.filter(({ kind }) => kind !== 'spread-ratio');
  const rests = measures.some(({ q }) => q !== null && q <= SURE);
  const { change } = compared;
  return { ...compared, measures, change: rests || change === 'insufficient' ? change : 'no-change-shown' };
}

function heardIn(midi: MidiNote, { number, summary }: Round): HeardNote | null {
  const found = summary!.verdicts.find((note) => note.midi === midi);
  if (!found) return null;
  return {
    round: number,
    verdict: found.verdict,
    flagged: summary!.flagged.find((note) => note.midi === midi) ?? null,
    line: summary!.line.find((note) => note.midi === midi) ?? null,
  };
}

/** True for a note that somebody turned something on. */
export function isWorked({ work }: NoteStanding): boolean {
  return work !== null && work.turned.length > 0;
}

/** True for a note that changed though nobody entered what was turned on it. */
export function changedUntold(standing: NoteStanding): boolean {
  return !isWorked(standing) && (standing.outcome === 'improved' || standing.outcome === 'worse');
}

/** True for a note that asks for more: flagged as it stands now, or turned and not heard since, and not settled by the technician. */
export function isOpen({ now, outcome, work }: NoteStanding): boolean {
  if (work?.state === 'done' || work?.state === 'left-as-is') return false;
  return now.verdict === 'unstable' || now.verdict === 'watch' || outcome === 'not-heard';
}
