/**
 * What a report is made from: one visit with all that is kept of it, and its rounds as they were judged.
 *
 * Plain data, nothing of it computed here but which rounds belong against each other. A round's summary is the newest one; its
 * document may be missing (its sound and strokes were judged by another program): the report then says less, and says so.
 */

import { roundsBefore, sameState } from '../record/beforeSide.ts';
import type { ComparisonDocument, PooledDocument } from '../record/documents.ts';
import type { KeptVisit } from '../record/seasons.ts';
import type {
  Adjustment,
  GaugeReading,
  Piano,
  Round,
  RoundSetting,
  StoredReference,
  Take,
  Visit,
  WorkMark,
  WorkTime,
} from '../record/types.ts';
import { unanswered } from '../record/worklist.ts';
import type { MidiNote } from '../units.ts';

/** All that is kept of one visit, without sound. */
export interface VisitThings {
  readonly piano: Piano;
  readonly visit: Visit;
  readonly rounds: readonly Round[];
  readonly takes: readonly Take[];
  /** Those taken back stand here too; nothing counts them. */
  readonly adjustments: readonly Adjustment[];
  readonly gauges: readonly GaugeReading[];
  readonly marks: readonly WorkMark[];
  readonly hours: readonly WorkTime[];
  /** The hand that the visit is held against; null without. */
  readonly reference: StoredReference | null;
}

/** A round judged from its takes. */
export interface JudgedRound {
  readonly number: number;
  readonly document: PooledDocument;
}

/** Two rounds compared, by their numbers; `before` is the last of those that stand on that side. */
export interface ComparedRounds {
  readonly before: number;
  readonly after: number;
  readonly document: ComparisonDocument;
}

export interface ReportedVisit extends VisitThings {
  readonly judged: readonly JudgedRound[];
  readonly compared: readonly ComparedRounds[];
  /** What could not be judged or compared, a sentence each. */
  readonly remarks: readonly string[];
  /** Other visits to the piano, in any order; those before this one are told of beside it. */
  readonly earlier?: readonly KeptVisit[];
  /** Of the place where it is read, at the visit's start: minutes ahead of UTC. */
  readonly utcOffsetMinutes: number;
  /** The piano and its sound are invented. */
  readonly invented: boolean;
}

/** Notes of which the player said that the key jams, and that were not heard without it since; from bass to treble. */
export function jammedNotes({ takes, rounds }: VisitThings): MidiNote[] {
  const numbers = new Map(rounds.map(({ id, number }) => [id, number]));
  const last = new Map<MidiNote, Take>();
  const after = (a: Take, b: Take) =>
    (numbers.get(a.roundId) ?? 0) - (numbers.get(b.roundId) ?? 0) || a.number - b.number;
  for (const take of takes) {
    if (take.undone) continue;
    const known = last.get(take.midi);
    if (!known || after(take, known) > 0) last.set(take.midi, take);
  }
  return [...last.values()]
    .filter(({ jammed }) => jammed)
    .map(({ midi }) => midi)
    .sort((a, b) => a - b);
}

/** Notes whose takes count for neither side, because nobody said whether they were adjusted; from bass to treble. */
export function waitingNotes(things: VisitThings): MidiNote[] {
  const midis = things.rounds.flatMap((round) => unanswered(round, things.takes, things));
  return [...new Set(midis)].sort((a, b) => a - b);
}

/** The rounds that have a summary, in order. */
export function judgedInOrder(rounds: readonly Round[]): Round[] {
  return rounds.filter(({ summary }) => summary !== null).sort((a, b) => a.number - b.number);
}

/**
 * The round that a note is compared from, and the one it is compared to; null where it was not heard twice. The former stands for all
 * rounds that make up the "before" with it: the note was heard in it or in one of those.
 */
export function pairOf(midi: MidiNote, { rounds, adjustments }: VisitThings): { before: number; after: number } | null {
  const judged = judgedInOrder(rounds);
  const heard = judged
    .filter(({ summary }) => summary!.verdicts.some((note) => note.midi === midi))
    .map(({ number }) => number);
  const after = heard.at(-1);
  if (after === undefined) return null;
  const turns = adjustments.filter((one) => !one.undone && one.midi === midi);
  // As it was before anybody turned it: the last round that heard it so, which holds the freshest strokes.
  const untouched = Math.min(...turns.map(({ afterRound }) => afterRound));
  const before = turns.length === 0 ? heard[0] : heard.findLast((number) => number <= untouched);
  if (before === undefined || before === after) return null;
  const side = judged.findLast((round) => {
    if (round.number >= after) return false;
    const pool = roundsBefore(round, rounds).map(({ number }) => number);
    const last = heard.findLast((number) => pool.includes(number));
    return pool.includes(before) && sameState(midi, before, last!, adjustments);
  });
  return { before: side!.number, after };
}

/** The pairs of rounds to compare, so that every note heard twice is in the one that belongs to it; in order. */
export function pairsToCompare(things: VisitThings): { readonly before: number; readonly after: number }[] {
  const midis = new Set(
    judgedInOrder(things.rounds).flatMap(({ summary }) => summary!.verdicts.map(({ midi }) => midi)),
  );
  const pairs = new Map<string, { before: number; after: number }>();
  for (const midi of midis) {
    const pair = pairOf(midi, things);
    if (pair) pairs.set(`${pair.before} ${pair.after}`, pair);
  }
  return [...pairs.values()].sort((a, b) => a.after - b.after || a.before - b.before);
}

/** What changed between two rounds so that they no longer compare, in words; empty where nothing did, as far as it is known of both. */
export function settingChanges(before: Round, after: Round, visit: Visit): string[] {
  const [was, is] = [before, after].map((round) => settingOf(round, visit));
  const changed = (field: keyof RoundSetting) => was[field] !== null && is[field] !== null && was[field] !== is[field];
  return [
    ...(changed('microphone') || changed('microphonePlace') ? ['the microphone or its place'] : []),
    ...(changed('player') ? ['who played'] : []),
    ...(changed('referenceId') ? ['the hand that the notes are held against'] : []),
  ];
}

/** How a round was played; where it does not say, as the visit says. */
export function settingOf({ setting }: Round, visit: Visit): RoundSetting {
  const { microphone, microphonePlace, player, referenceId } = setting ?? visit;
  return { microphone, microphonePlace, player, referenceId };
}
