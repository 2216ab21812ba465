/**
 * Where each note stands on the worklist of a visit: a note's own round begins anew when it is adjusted.
 *
 * All is derived from what is kept: rounds as they were judged, adjustments, marks, and when takes began. Nothing is counted
 * twice, and a take played before anyone said whether its note was adjusted counts for neither side.
 */

import type { MidiNote } from '../units.ts';
import type { Adjustment, FlaggedNote, Round, Take, WorkMark } from './types.ts';

/** State of a note that was flagged, turned or marked. Closed list. */
export const WORK_STATES = ['open', 'adjusted', 'heard-again', 'done', 'left-as-is'] as const;
export type WorkState = (typeof WORK_STATES)[number];

export interface WorkNote {
  readonly midi: MidiNote;
  readonly state: WorkState;
  /** What it was last flagged for; null where it was turned without being flagged. */
  readonly flagged: FlaggedNote | null;
  /** The round that flagged it, by number; null likewise. */
  readonly flaggedIn: number | null;
  /** What was turned, in order; nothing that was taken back. */
  readonly turned: readonly Adjustment[];
  /** The last round that heard it after it was last turned; null without. */
  readonly heardAgainIn: number | null;
}

export interface VisitWork {
  readonly rounds: readonly Round[];
  readonly adjustments: readonly Adjustment[];
  readonly marks: readonly WorkMark[];
}

/** The notes to see to, from bass to treble. */
export function workNotes({ rounds, adjustments, marks }: VisitWork): WorkNote[] {
  const inOrder = [...rounds].sort((a, b) => a.number - b.number);
  const turns = adjustments.filter(({ undone }) => !undone).sort((a, b) => compared(a.at, b.at));
  const midis = new Set([
    ...inOrder.flatMap(({ summary }) => summary?.flagged.map(({ midi }) => midi) ?? []),
    ...turns.map(({ midi }) => midi),
  ]);
  return [...midis]
    .sort((a, b) => a - b)
    .map((midi) => {
      const turned = turns.filter((one) => one.midi === midi);
      const last = turned.at(-1) ?? null;
      const heard = (round: Round) => round.summary?.verdicts.some((note) => note.midi === midi) ?? false;
      const heardAgain = last && inOrder.findLast((round) => round.number > last.afterRound && heard(round));
      // What it was flagged for before it was turned, as long as nobody heard it again.
      const told = last && !heardAgain ? inOrder.filter(({ number }) => number <= last.afterRound) : inOrder;
      const flagging = told.findLast(({ summary }) => summary?.flagged.some((note) => note.midi === midi)) ?? null;
      const mark = marks
        .filter((one) => one.midi === midi && one.kind !== 'not-adjusted')
        .sort((a, b) => compared(a.at, b.at))
        .at(-1);
      return {
        midi,
        state: stateOf(mark ?? null, last, heardAgain ?? null),
        flagged: flagging?.summary?.flagged.find((note) => note.midi === midi) ?? null,
        flaggedIn: flagging?.number ?? null,
        turned,
        heardAgainIn: heardAgain?.number ?? null,
      };
    });
}

function stateOf(mark: WorkMark | null, last: Adjustment | null, heardAgain: Round | null): WorkState {
  // Turned after it was marked: it is open work again.
  const marked = mark && (last === null || compared(mark.at, last.at) >= 0) ? mark.kind : null;
  if (marked === 'done' || marked === 'left-as-is') return marked;
  if (last === null) return 'open';
  return heardAgain ? 'heard-again' : 'adjusted';
}

/** A note of which it must be asked whether it was adjusted, with the round that flagged it. */
export interface AskedNote {
  readonly midi: MidiNote;
  /** Its number. */
  readonly round: number;
}

/**
 * The notes of which it must be asked whether they were adjusted, should they be played in `round`: flagged when last heard, and
 * neither turned nor answered for since. What is played of them counts for neither side until then. From bass to treble.
 */
export function toAskIn(round: Round, { rounds, adjustments, marks }: VisitWork): AskedNote[] {
  const before = rounds.filter(({ number }) => number < round.number).sort((a, b) => b.number - a.number);
  const midis = new Set(before.flatMap(({ summary }) => summary?.flagged.map(({ midi }) => midi) ?? []));
  return [...midis]
    .sort((a, b) => a - b)
    .flatMap((midi) => {
      const last = before.find(({ summary }) => summary?.verdicts.some((note) => note.midi === midi));
      if (!last?.summary?.flagged.some((note) => note.midi === midi)) return [];
      const turned = adjustments.some((one) => !one.undone && one.midi === midi && one.afterRound >= last.number);
      const answered = marks.some(
        (mark) => mark.midi === midi && mark.kind === 'not-adjusted' && compared(mark.at, last.startedAt) >= 0,
      );
      return turned || answered ? [] : [{ midi, round: last.number }];
    });
}

/** Those of {@link toAskIn} of which `takes` has a take of the round that was not undone. */
export function unanswered(round: Round, takes: readonly Take[], work: VisitWork): MidiNote[] {
  const played = new Set(
    takes.filter(({ roundId, undone }) => roundId === round.id && !undone).map(({ midi }) => midi),
  );
  return toAskIn(round, work)
    .map(({ midi }) => midi)
    .filter((midi) => played.has(midi));
}

/** ISO times in UTC, in order. */
function compared(a: string, b: string): number {
  return Date.parse(a) - Date.parse(b);
}
