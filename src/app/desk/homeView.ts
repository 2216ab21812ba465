/** From the desk to what Home and the list of a round show. */

import { noteAsMeasured, summaryAsMeasured, UPRIGHT_WHY } from '../../piano/uprights.ts';
import { countsOf, lastVerdicts } from '../../record/rounds.ts';
import type { Round } from '../../record/types.ts';
import { sectionLine, UNCHOSEN } from '../../piano/troubledSections.ts';
import { visitsThatFit } from '../../record/soundSize.ts';
import type { HomeView, VisitRow } from '../home/view.ts';
import type { RoundView } from '../round/view.ts';
import { troubledOn } from '../sitting/breaks.ts';
import { spokenName } from '../words.ts';
import type { Desk } from './desk.ts';
import { dayOf } from './plans.ts';
import { sampledNext } from './sampledNext.ts';
import type { VisitOnShelf } from './shelves.ts';
import { waitNotice } from './visitWork.ts';

const USUAL_RATE = 48000;

export function homeView({ shelves: { visits, bytesLeft }, notices }: Desk, now: Date): HomeView {
  return {
    line: lineOf(visits),
    visits: visits.map((each) => rowOf(each, now)),
    roomForVisits: bytesLeft === null ? null : visitsThatFit(bytesLeft, USUAL_RATE),
    notices,
  };
}

/** The newest round of the last visit of which a whole line is kept. */
function lineOf([last]: readonly VisitOnShelf[]): HomeView['line'] {
  const most = last?.rounds.reduce<Round | null>(
    (best, round) => ((round.summary?.line.length ?? 0) >= (best?.summary?.line.length ?? 1) ? round : best),
    null,
  );
  return most?.summary
    ? { title: `${last.piano.name}, round ${most.number}`, summary: summaryAsMeasured(most.summary, last.piano.kind) }
    : null;
}

function rowOf({ visit, piano, rounds }: VisitOnShelf, now: Date): VisitRow {
  const last = rounds[rounds.length - 1];
  const measured = rounds.map(({ number, summary }) => ({
    number,
    summary: summary && summaryAsMeasured(summary, piano.kind),
  }));
  const day = dayOf(new Date(visit.startedAt));
  return {
    id: visit.id,
    piano: piano.name,
    place: piano.place,
    day: day === dayOf(now) ? 'today' : day,
    notes: countsOf(lastVerdicts(measured)),
    open: last.closedAt === null,
  };
}

const SECOND_TAB = {
  code: 'second-tab',
  title: 'This visit is open in another tab',
  text: 'It can be read here. To listen here, close it there.',
  stops: true,
  actions: [{ id: 'take-over', label: 'Take over' }],
} as const;

/** A hand is learned on a dozen notes. */
const HAND_NOTES = 12;

const URGENCY = { unstable: 0, watch: 1, insufficient: 2, steady: 3 } as const;

/** The notes of the round on the desk: the flagged first, each part from bass to treble. Null where none is on it. */
export function roundView(desk: Desk, before: RoundView | null): RoundView | null {
  const { sitting, readOnly, demo, notices, recorded, keeping } = desk;
  if (!sitting) return null;
  const { book, piano } = sitting;
  const strokes = (midi: number) =>
    book.takes
      .filter((take) => take.midi === midi)
      .reduce((sum, { heard }) => sum + heard.strokes.filter((stroke) => stroke.midi === midi).length, 0);
  const notes = book.notes
    .map((note) => noteAsMeasured(note, piano.kind))
    .sort((a, b) => URGENCY[a.verdict] - URGENCY[b.verdict] || a.midi - b.midi)
    .map((result) => ({ result, strokes: strokes(result.midi), jammed: book.jams(result.midi) }));
  const waits = waitNotice(book.waiting);
  const last = book.last?.midi ?? null;
  const undone = before !== null && before.lastTake !== null && before.notes.length > notes.length;
  return {
    round: book.round.number,
    piano: [piano.name, piano.place].filter(Boolean).join(', '),
    closed: book.round.closedAt !== null,
    notes,
    lastTake: last,
    advice: [
      ...(piano.kind === 'upright' ? [UPRIGHT_WHY] : []),
      ...(recorded?.said ?? []),
      ...(book.judged?.advice.map(({ message }) => message) ?? []),
    ],
    sections: UNCHOSEN.includes(book.round.plan.kind) ? troubledOn(piano, book.notes).map(sectionLine) : [],
    next: recorded ? null : sampledNext(book, piano),
    otherVisits: desk.shelves.visits.filter((each) => each.piano.id === piano.id && each.visit.id !== sitting.visit.id)
      .length,
    handLearnable: book.heard.length >= HAND_NOTES,
    readOnly,
    keep: recorded && { pianos: desk.shelves.pianos.map(({ id, name, place }) => ({ id, name, place })), keeping },
    notices: [
      ...(readOnly && !demo && !recorded ? [SECOND_TAB] : []),
      ...(waits && !readOnly ? [waits] : []),
      ...notices,
    ],
    announcement: undone ? `Take of ${spokenName(before.lastTake!)} taken back.` : (before?.announcement ?? ''),
  };
}
