/**
 * Which takes stand for "before" when a round is compared with an earlier one: chosen here alone, so that every screen, the report
 * and the command line compare the same strokes and say the same of a note.
 */

import type { MidiNote } from '../units.ts';
import { freshIn } from './freshBefore.ts';
import { takesThatCount } from './rounds.ts';
import type { Adjustment, Piano, Round, Take } from './types.ts';
import { unanswered, type VisitWork } from './worklist.ts';

/** What was played at a visit and what was done in between; takes in any order. */
export interface PlayedVisit extends VisitWork {
  readonly takes: readonly Take[];
}

export interface BeforeSide {
  /** The rounds that make it up, in order; the last is the one that was asked for. */
  readonly rounds: readonly Round[];
  /** "Round 2"; "Rounds 1 and 2" where fresh strokes stand with the round that flagged their notes. */
  readonly title: string;
  /** In order of play. */
  readonly takes: readonly Take[];
  /** Notes of which all strokes are fresh, as a comparison takes them: played after they were flagged. From bass to treble. */
  readonly fresh: readonly MidiNote[];
}

/** The takes of a round that count: not undone, no key that jams, and no note of which it is not known whether it was adjusted. */
export function countedTakes(round: Round, visit: PlayedVisit): Take[] {
  const open = new Set(unanswered(round, visit.takes, visit));
  return takesThatCount(round.id, visit.takes).filter(({ midi }) => !open.has(midi));
}

/**
 * What stands for "before" where a later round is compared with `earlier`. Of each note its last state alone: what was heard of
 * it before somebody turned it is left out where one of these rounds heard it again.
 */
export function beforeSide(earlier: Round, visit: PlayedVisit): BeforeSide {
  const rounds = roundsBefore(earlier, visit.rounds);
  const own = rounds.flatMap((round) => countedTakes(round, visit).map((take) => ({ take, number: round.number })));
  const last = new Map(own.map(({ take, number }) => [take.midi, number]));
  const takes = own
    .filter(({ take: { midi }, number }) => sameState(midi, number, last.get(midi)!, visit.adjustments))
    .map(({ take }) => take);
  // Where rounds are pooled, the fresh strokes are a note's later looks.
  return { rounds, title: titleOf(rounds), takes, fresh: rounds.length > 1 ? [] : freshIn(earlier, visit) };
}

/**
 * The rounds that make up "before", in order. One that heard open notes afresh has too few notes for a hand of its own: it stands with
 * the one before it, played in the same way, of which its strokes are later looks.
 */
export function roundsBefore(earlier: Round, rounds: readonly Round[]): Round[] {
  const inOrder = rounds.filter(({ number }) => number <= earlier.number).sort((a, b) => b.number - a.number);
  const alike = (round: Round) => JSON.stringify(round.setting) === JSON.stringify(earlier.setting);
  const last = inOrder.findIndex((round) => round.plan.kind !== 'open-worklist');
  const pool = last < 0 ? [earlier] : inOrder.slice(0, last + 1);
  return pool.every(alike) ? pool.reverse() : [earlier];
}

/** Whether nothing was turned on a note between two rounds that heard it, by their numbers; true for one and the same. */
export function sameState(midi: MidiNote, from: number, to: number, adjustments: readonly Adjustment[]): boolean {
  return !adjustments.some((one) => !one.undone && one.midi === midi && one.afterRound >= from && one.afterRound < to);
}

/** The notes on which something was turned between two rounds, by their numbers; none where nothing was. */
export function turnedBetween(from: number, to: number, adjustments: readonly Adjustment[]): MidiNote[] {
  const between = adjustments.filter(({ undone, afterRound }) => !undone && afterRound >= from && afterRound < to);
  return [...new Set(between.map(({ midi }) => midi))].sort((a, b) => a - b);
}

/** What a comparison of two rounds, by their numbers, may know of the work and the piano; undefined where nothing is known. */
export function workBetween(
  from: number,
  to: number,
  { lowest, highest, breaks }: Piano,
  adjustments: readonly Adjustment[],
): { readonly worked?: readonly MidiNote[]; readonly breaks?: readonly MidiNote[] } {
  const worked = turnedBetween(from, to, adjustments);
  const own = breaks.filter((midi) => midi > lowest && midi <= highest);
  return { worked: worked.length > 0 ? worked : undefined, breaks: own.length > 0 ? own : undefined };
}

function titleOf(pool: readonly Round[]): string {
  const numbers = pool.map(({ number }) => String(number));
  if (numbers.length === 1) return `Round ${numbers[0]}`;
  return `Rounds ${numbers.slice(0, -1).join(', ')} and ${numbers[numbers.length - 1]}`;
}
