/**
 * A round as the compass reads it: key by key what failed to repeat, how its timing lies, how evenly it rests.
 *
 * Silent and weak are counted as in the note's measures, so that picture and words rest on the same strokes. The slow strokes are chosen
 * as for the spread of the travel time: sounded, not firm, contact clear in one place, rested, of a usual level. What was
 * not played is null; nothing is put in the place of what was not heard.
 */

import type {
  AnalysisDocument,
  FindingKind,
  MeasureKind,
  NoteResult,
  PooledDocument,
  Verdict,
} from '../../analysis/document.ts';
import type { MidiNote } from '../../units.ts';
import type { Colour } from '../colours.ts';
import { contactOf, type Stroke } from '../heard.ts';

/** Quick repeats: how many of `of` were silent or weak, and fast strokes that struck twice. */
export interface RepeatCount {
  readonly silent: number;
  readonly weak: number;
  readonly double: number;
  readonly of: number;
}

/** Where the note's start lies off its neighbours', in 100 of the travel time; negative is early. 9 in 10 from `low` to `high`. */
export interface Timing {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

export interface CompassNote {
  readonly midi: MidiNote;
  readonly verdict: Verdict;
  /** Fast, key half-way up; null: not played. */
  readonly repeats: RepeatCount | null;
  /** As soft as will speak; null: not played. Its `weak` is 0. */
  readonly gentle: RepeatCount | null;
  /** Null: not enough to say. */
  readonly timing: Timing | null;
  /** Each usable slow stroke, in 100 from the note's own middle at equal loudness, in order of play. */
  readonly offsets: readonly number[];
  /** Spread against a firm note's; null: not enough, or no firm note to hold it against. */
  readonly restRatio: number | null;
  /** What was found: repeats that fail again and again, a rest that wanders. */
  readonly failsAgain: boolean;
  readonly wanders: boolean;
  /** Contact to tone at one loudness, milliseconds, and what the neighbours would let expect. */
  readonly travelMs: number | null;
  readonly trendMs: number | null;
  readonly colours: {
    readonly repeats: Colour;
    readonly gentle: Colour;
    readonly timing: Colour;
    readonly rest: Colour;
  };
}

export interface CompassRound {
  /** The notes heard, from bass to treble. */
  readonly notes: readonly CompassNote[];
  /** Two spreads of a firm note, in 100; null where no firm note is known. */
  readonly band: number | null;
  /** Loudness at which travel times are compared, dB re full scale. */
  readonly referenceDb: number | null;
}

export type RoundDocument = AnalysisDocument | PooledDocument;

/** The counts together. */
export function failedOf({ silent, weak, double }: RepeatCount): number {
  return silent + weak + double;
}

/** True for the notes that somebody should look at. */
export function isFlagged({ verdict }: { readonly verdict: Verdict }): boolean {
  return verdict === 'watch' || verdict === 'unstable';
}

/** Reads a judged document. */
export function compassRound(document: RoundDocument): CompassRound {
  const { hand } = document;
  const fullReturn = new Set(document.takes.flatMap(({ take, asked }) => (asked === 'full-return' ? [take] : [])));
  const strokes = new Map<MidiNote, Stroke[]>();
  for (const stroke of document.strokes as readonly Stroke[]) {
    if (stroke.midi === null) continue;
    const own = strokes.get(stroke.midi);
    if (own) own.push(stroke);
    else strokes.set(stroke.midi, [stroke]);
  }
  return {
    notes: [...document.notes]
      .sort((a, b) => a.midi - b.midi)
      .map((note) => noteOf(note, strokes.get(note.midi) ?? [], hand, fullReturn)),
    band: hand.reference === 'none' || hand.scalePercent === null ? null : 2 * hand.scalePercent,
    referenceDb: hand.referenceDb,
  };
}

type Hand = AnalysisDocument['hand'];

function noteOf(
  note: NoteResult,
  strokes: readonly Stroke[],
  hand: Hand,
  fullReturn: ReadonlySet<number>,
): CompassNote {
  const measure = (kind: MeasureKind) => note.measures.find((one) => one.kind === kind) ?? null;
  const times = (kind: MeasureKind) => {
    const found = measure(kind);
    return found === null ? 0 : Math.round(found.value * found.n);
  };
  const fast = measure('silent-repeats');
  const gentleOf = measure('silent-when-gentle') ?? measure('double-when-gentle');
  const repeats = fast && {
    silent: times('silent-repeats'),
    weak: times('weak-repeats'),
    double: struckTwice(strokes, fullReturn),
    of: fast.n,
  };
  const gentle = gentleOf && {
    silent: times('silent-when-gentle'),
    weak: 0,
    double: times('double-when-gentle'),
    of: gentleOf.n,
  };
  const shift = measure('travel-shift');
  const found = (...kinds: readonly FindingKind[]) => note.findings.some(({ kind }) => kinds.includes(kind));
  const flags = {
    failsAgain: found('missed-repeats', 'weak-repeats', 'double-strikes'),
    wanders: found('wandering-rest'),
  };
  const travelMs = measure('travel-at-level')?.value ?? null;
  return {
    midi: note.midi,
    verdict: note.verdict,
    repeats,
    gentle,
    timing: shift && { value: shift.value, low: shift.interval[0], high: shift.interval[1] },
    offsets: restOffsets(strokes, hand),
    restRatio: measure('spread-ratio')?.value ?? null,
    travelMs,
    // The shift is a difference of logarithms.
    trendMs: shift && travelMs !== null ? travelMs * Math.exp(-shift.value / 100) : null,
    ...flags,
    colours: {
      ...countColours({ verdict: note.verdict, repeats, gentle, ...flags }),
      timing: found('early-or-late') ? 'amber' : 'ink',
    },
  };
}

/** Fast strokes that a second contact followed, each once; those with full return are not of these. The note's words count slow ones too. */
function struckTwice(strokes: readonly Stroke[], fullReturn: ReadonlySet<number>): number {
  const fast = strokes.filter(({ passage, take }) => passage === 'fast' && !fullReturn.has(take));
  return fast.filter(({ kind }, i) => kind === 'double' && fast[i - 1]?.kind !== 'double').length;
}

const TWO = 2;

/** Colour is spent on what needs a hand: ember where a finding makes the note unstable, amber from two failures or to watch. */
export function countColours({
  verdict,
  repeats,
  gentle,
  failsAgain,
  wanders,
}: Pick<CompassNote, 'verdict' | 'repeats' | 'gentle' | 'failsAgain' | 'wanders'>): Pick<
  CompassNote['colours'],
  'repeats' | 'gentle' | 'rest'
> {
  const unstable = verdict === 'unstable';
  const counted = (count: RepeatCount | null): Colour => (count !== null && failedOf(count) >= TWO ? 'amber' : 'ink2');
  return {
    repeats: unstable && failsAgain && counted(repeats) === 'amber' ? 'ember' : counted(repeats),
    gentle: counted(gentle),
    rest: wanders ? (unstable && !failsAgain ? 'ember' : 'amber') : 'ink3',
  };
}

/** As for the spread of the travel time; seconds, decibels. */
const LEAST_TRAVEL_MS = 15;
const MOST_TRAVEL_MS = 300;
const LEAST_REST_SECONDS = 0.75;
const LEAST_BAND_DB = 4;
const LEVEL_DEVIATIONS = 4;
const NO_TAKE: readonly Stroke['doubt'][number][] = ['other-sound', 'several-notes', 'not-a-take', 'two-candidates'];

function restOffsets(strokes: readonly Stroke[], { slopePerDb, referenceDb }: Hand): number[] {
  if (slopePerDb === null || referenceDb === null) return [];
  const slow = strokes.filter(
    ({ passage, kind, force, levelDb }) =>
      passage === 'slow' && kind === 'sounded' && force !== 'firm' && levelDb !== null,
  );
  if (slow.length === 0) return [];
  const levels = slow.map(({ levelDb }) => levelDb!);
  const centre = middleOf(levels);
  const deviation = 1.4826 * middleOf(levels.map((level) => Math.abs(level - centre)));
  const reach = Math.max(LEAST_BAND_DB, LEVEL_DEVIATIONS * deviation);
  const atLevel = slow.flatMap((stroke) => {
    const contact = contactOf(stroke);
    if (contact.kind !== 'clear' || stroke.force === 'gentle') return [];
    const { restSeconds } = stroke.preceding;
    const level = stroke.levelDb!;
    const usable =
      contact.beforeMs >= LEAST_TRAVEL_MS &&
      contact.beforeMs <= MOST_TRAVEL_MS &&
      (restSeconds === null || restSeconds >= LEAST_REST_SECONDS) &&
      Math.abs(level - centre) <= reach &&
      !stroke.doubt.some((doubt) => NO_TAKE.includes(doubt));
    return usable ? [Math.log(contact.beforeMs) - slopePerDb * (level - referenceDb)] : [];
  });
  if (atLevel.length === 0) return [];
  const middle = middleOf(atLevel);
  return atLevel.map((value) => 100 * (value - middle));
}

/** Median of at least one value. */
function middleOf(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
