/**
 * Whether a note has a fair "before": strokes played after it was flagged and before it is turned.
 *
 * The pass that made one choose a note must not be its "before" alone: part of what it showed was chance, and the note looks better
 * by itself when it is played again. Fresh are strokes of a later look of the flagging round, or of a later round, as long
 * as nothing was turned in between.
 */

import type { MidiNote } from '../units.ts';
import type { Round, Take } from './types.ts';
import { workNotes, type VisitWork } from './worklist.ts';

/** Why a fresh take is asked for, behind the names of the notes. */
export const FRESH_BEFORE_WORDS =
  'to be played once more before anything is turned, for the strokes that raised the doubt were partly chance: against them alone almost any note seems to improve.';

/** As many as a comparison needs of each: slow strokes that sounded, and fast ones (a passage's first is no repeat). */
const LEAST_SLOW = 4;
const LEAST_FAST = 9;
/** Ways of playing that no comparison counts, and that begin no look. */
const BESIDE: readonly Take['asked'][] = ['full-return', 'gentle', 'bar', 'just-over-half'];

/**
 * The notes of `before` that an earlier round had flagged, nothing being turned since: all strokes of `before` are fresh of them.
 * From bass to treble.
 */
export function freshIn(before: Round, { rounds, adjustments }: Pick<VisitWork, 'rounds' | 'adjustments'>): MidiNote[] {
  const heard = before.summary?.verdicts.map(({ midi }) => midi) ?? [];
  return heard
    .filter((midi) => {
      const from = lastTurn(midi, adjustments, before.number);
      return rounds.some((round) => round.number > from && round.number < before.number && flags(round, midi));
    })
    .sort((a, b) => a - b);
}

/**
 * The notes still to be turned that have no fair "before", from bass to treble: flagged since they were last turned, and not played
 * again since.
 *
 * @param takes - of the visit, in any order
 */
export function withoutFreshBefore(work: VisitWork, takes: readonly Take[]): MidiNote[] {
  const rounds = [...work.rounds].sort((a, b) => a.number - b.number);
  return workNotes(work)
    .filter(({ state }) => state === 'open' || state === 'heard-again')
    .map(({ midi }) => midi)
    .filter((midi) => {
      const from = lastTurn(midi, work.adjustments, Infinity);
      const flagging = rounds.find((round) => round.number > from && flags(round, midi));
      if (!flagging) return false;
      return !rounds.some((round) => round.number >= flagging.number && isFresh(midi, round, flagging, takes));
    });
}

/** Whether a round holds enough fresh strokes of a note. */
function isFresh(midi: MidiNote, round: Round, flagging: Round, takes: readonly Take[]): boolean {
  const own = takes
    .filter((take) => take.midi === midi && take.roundId === round.id && !take.undone && !take.jammed)
    .filter(({ asked }) => !BESIDE.includes(asked))
    .sort((a, b) => a.number - b.number);
  const counts = own.map(({ heard }) => countsOf(midi, heard.strokes));
  // In the flagging round the first look ends with its fast passage.
  const end = round === flagging ? counts.findIndex(({ fast }) => fast > 0) : -1;
  if (round === flagging && end < 0) return false;
  const fresh = counts.slice(end + 1);
  const total = (of: 'slow' | 'fast') => fresh.reduce((sum, count) => sum + count[of], 0);
  return total('slow') >= LEAST_SLOW && total('fast') >= LEAST_FAST;
}

function countsOf(midi: MidiNote, strokes: Take['heard']['strokes']): { slow: number; fast: number } {
  const own = strokes.filter((stroke) => stroke.midi === midi && stroke.kind !== 'double');
  return {
    slow: own.filter(({ passage, kind }) => passage === 'slow' && kind === 'sounded').length,
    fast: own.filter(({ passage }) => passage === 'fast').length,
  };
}

/** The last round before a note was last turned, of the turns before round `before`; 0 where it was not. */
function lastTurn(midi: MidiNote, adjustments: VisitWork['adjustments'], before: number): number {
  return adjustments
    .filter((one) => !one.undone && one.midi === midi && one.afterRound < before)
    .reduce((last, { afterRound }) => Math.max(last, afterRound), 0);
}

function flags({ summary }: Round, midi: MidiNote): boolean {
  return summary?.flagged.some((note) => note.midi === midi) ?? false;
}
