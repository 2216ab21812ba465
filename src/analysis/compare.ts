/**
 * Two rounds in, comparison document out: `evenfall.comparison/1`.
 *
 * Its JSON Schema stands beside it in `comparison.schema.json`. Fields may be added, never renamed.
 */

import { keyName } from '../piano/keys.ts';
import { changeWords, leftOutWords, roundReserveWords } from '../steadiness/changeWords.ts';
import {
  compareRounds,
  SAID_RESERVES,
  type ChangeMeasure,
  type ChangeVerdict,
  type ComparedLook,
  type ComparedNote,
  type ComparedRound,
  type Reserve,
  type SaidReserve,
} from '../steadiness/compare.ts';
import type { Verdict } from '../steadiness/kinds.ts';
import type { RecordedStroke } from '../steadiness/measures.ts';
import type { HandReference } from '../steadiness/reference.ts';
import { countRepeats } from '../steadiness/repeats/counts.ts';
import type { NotePlay } from '../steadiness/round.ts';
import { countGentle } from '../steadiness/support/gentle.ts';
import { compareWhole, type WholeChange } from '../steadiness/wholeChange.ts';
import { wholeWords } from '../steadiness/wholeWords.ts';
import type { MidiNote, Seconds } from '../units.ts';
import { ANALYSIS_VERSION, type ErrorDocument, type Source } from './document.ts';
import { allSources, handOfRound, playedRound, refuseOtherVersion, type RoundDocument } from './playedRound.ts';

export const COMPARISON_SCHEMA = 'evenfall.comparison/1';

/** What the player should know of the comparison as a whole. Closed list. */
export const COMPARISON_ADVICE = [
  'other-hand',
  'no-hand',
  'let-up-more',
  'let-up-less',
  ...SAID_RESERVES,
  'no-common-note',
] as const;

export interface ComparisonAdvice {
  readonly code: (typeof COMPARISON_ADVICE)[number];
  /** One sentence or two for a person: what was found and what to do. */
  readonly message: string;
}

export interface NoteComparison {
  readonly midi: MidiNote;
  readonly name: string;
  readonly change: ChangeVerdict;
  /** The note's verdict in each round. */
  readonly verdicts: { readonly before: Verdict; readonly after: Verdict };
  readonly measures: readonly ChangeMeasure[];
  /** Both rounds are timed by one template: a shift of its travel time carries no scatter of two zeros. */
  readonly oneTemplate: boolean;
  /** Why it is to be taken with reserve. */
  readonly reserves: readonly Reserve[];
  readonly words: string;
}

export interface ComparisonDocument {
  readonly schema: typeof COMPARISON_SCHEMA;
  readonly analysisVersion: string;
  readonly before: { readonly sources: readonly (Source | ErrorDocument)[] };
  readonly after: { readonly sources: readonly (Source | ErrorDocument)[] };
  readonly advice: readonly ComparisonAdvice[];
  /** From bass to treble: the notes that both rounds have. */
  readonly notes: readonly NoteComparison[];
  readonly onlyBefore: readonly MidiNote[];
  readonly onlyAfter: readonly MidiNote[];
  /** All notes together, turned and untouched ones apart where that is known. Documents written before it was compared lack it. */
  readonly whole?: WholeComparison;
}

/** The whole piano: what became of it, and in words. */
export interface WholeComparison extends WholeChange {
  /** Sentences for a person. */
  readonly words: readonly string[];
}

/** How a round was played, as said; null: not said. */
export interface RoundSaid {
  readonly microphone: string | null;
  readonly microphonePlace: string | null;
  readonly player: string | null;
  /** Names the stored hand it is held against. */
  readonly hand: string | null;
}

export interface CompareOptions {
  /** The hand's own scale, learned earlier with the same player, touch and microphone place. */
  readonly reference?: HandReference;
  /** Notes timed by one template in both rounds: by how much the onsets of after are late by their own (see oneTemplate). */
  readonly zeros?: ReadonlyMap<MidiNote, Seconds>;
  /** How each round was played. What is not said of both says nothing. */
  readonly said?: { readonly before: RoundSaid; readonly after: RoundSaid };
  /** Notes that an earlier round than before had flagged, nothing being turned since: all of before is fresh of them. */
  readonly fresh?: readonly MidiNote[];
  /** Notes turned in between: they and the others are compared apart. Not given: not known. */
  readonly worked?: readonly MidiNote[];
  /** First keys of the piano's sections after the lowest; not given: the usual ones. */
  readonly breaks?: readonly MidiNote[];
}

/**
 * Compares two rounds.
 * @throws Refused for a document of another analysis version: its numbers are not comparable.
 * @throws RangeError for breaks that part no piano (see sectionsOf).
 */
export function compareDocuments(
  before: RoundDocument,
  after: RoundDocument,
  options: CompareOptions = {},
): ComparisonDocument {
  for (const document of [before, after]) refuseOtherVersion(document);
  const [first, second] = [before, after].map((each) => comparedRound(each, options.reference ?? null));
  const known = {
    zeros: options.zeros,
    said: options.said ? saidToDiffer(options.said.before, options.said.after) : [],
    fresh: new Set(options.fresh),
  };
  const change = compareRounds(first, second, known);
  const whole = compareWhole(first, second, change.reserves, {
    ...known,
    worked: options.worked && new Set(options.worked),
    breaks: options.breaks,
  });
  const advice = change.reserves.map((code) => ({ code, message: roundReserveWords(code) }) as ComparisonAdvice);
  if (change.notes.length === 0) {
    const left = leftOutWords(change).join(' ') || 'No note was heard in either.';
    advice.push({ code: 'no-common-note', message: `The two rounds have no note in common. ${left}` });
  }
  return {
    schema: COMPARISON_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    before: { sources: allSources(before) },
    after: { sources: allSources(after) },
    advice,
    notes: change.notes.map((note) => ({
      midi: note.midi,
      name: keyName(note.midi),
      change: note.change,
      verdicts: { before: note.verdicts[0], after: note.verdicts[1] },
      measures: note.measures,
      oneTemplate: options.zeros?.has(note.midi) ?? false,
      reserves: note.reserves,
      words: changeWords(note, change),
    })),
    onlyBefore: change.onlyBefore,
    onlyAfter: change.onlyAfter,
    whole: { ...whole, words: wholeWords(whole) },
  };
}

/** What was said to be another after than before; free words differ by more than their case and the space around them. */
export function saidToDiffer(before: RoundSaid, after: RoundSaid): SaidReserve[] {
  const plain = (words: string | null) => words?.trim().toLowerCase().replace(/\s+/g, ' ') || null;
  const differs = (a: string | null, b: string | null) => a !== null && b !== null && a !== b;
  const found: readonly [SaidReserve, boolean][] = [
    ['other-microphone', differs(plain(before.microphone), plain(after.microphone))],
    ['other-place', differs(plain(before.microphonePlace), plain(after.microphonePlace))],
    ['other-player', differs(plain(before.player), plain(after.player))],
    ['other-stored-hand', differs(before.hand, after.hand)],
  ];
  return found.flatMap(([reserve, other]) => (other ? [reserve] : []));
}

function comparedRound(document: RoundDocument, reference: HandReference | null): ComparedRound {
  const played = playedRound(document, reference);
  const verdicts = new Map(document.notes.map((note) => [note.midi, note]));
  return {
    hand: handOfRound(played, document),
    returns: document.hand.returns,
    notes: played.plays.map((play, i): ComparedNote => {
      const note = verdicts.get(play.midi);
      const found = note?.findings.find(({ kind }) => kind === 'early-or-late');
      const shift = note?.measures.find(({ kind }) => kind === 'travel-shift');
      return {
        midi: play.midi,
        verdict: note?.verdict ?? 'insufficient',
        travels: played.usable[i].usual,
        looks: play.looks.map((strokes) => comparedLook(strokes, play)),
        earlyOrLate: found ? (shift ?? { value: found.size }).value : null,
      };
    }),
  };
}

/** Ways of playing whose repeats and doubles say nothing of the ones compared. */
const BESIDE: readonly (string | null)[] = ['full-return', 'gentle', 'bar'];

function comparedLook(strokes: readonly RecordedStroke[], play: NotePlay): ComparedLook {
  const { takes } = play;
  const gentle = countGentle({ ...play, looks: [strokes] });
  const own = strokes.filter(
    ({ take, passage }) =>
      !BESIDE.includes(takes.get(take)?.asked ?? null) && (passage === 'slow' || passage === 'fast'),
  );
  const { steady, quick, struck } = countRepeats(own, takes);
  const numbers = new Set(own.filter(({ passage }) => passage === 'fast').map(({ take }) => take));
  const rates = [...numbers].flatMap((take) => takes.get(take)?.ratePerSecond ?? []);
  return {
    repeats: { failed: steady.faint + quick.faint, n: steady.n + quick.n },
    silent: steady.silent + quick.silent,
    gentle: { failed: gentle.silent, n: gentle.asked },
    doubles: { failed: Math.min(struck.doubles, struck.n), n: struck.n },
    ratePerSecond: rates.length > 0 ? rates.reduce((sum, rate) => sum + rate, 0) / rates.length : null,
  };
}
