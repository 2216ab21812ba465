/**
 * Samples in, analysis document out: the one entry for the command line, the workers and the tests.
 */

import { keyName } from '../piano/keys.ts';
import { adviceMessage } from '../steadiness/adviceWords.ts';
import { judgeRound, type NoteJudgement, type RoundJudgement } from '../steadiness/judge.ts';
import { measureNote, type RecordedStroke } from '../steadiness/measures.ts';
import type { HandReference } from '../steadiness/reference.ts';
import type { RecordedTake } from '../steadiness/round.ts';
import { noteWords } from '../steadiness/words.ts';
import { hear } from '../strokes/hear.ts';
import { NO_TAKE_DOUBTS } from '../strokes/types.ts';
import type { MidiNote, Seconds } from '../units.ts';
import {
  ANALYSIS_SCHEMA,
  ANALYSIS_VERSION,
  type AnalysisDocument,
  type Measure,
  type Hand,
  type NoteResult,
  type Source,
  type Warning,
} from './document.ts';
import { findGaps, withoutContactOverGap } from './gaps.ts';
import { warningsOf } from './warnings.ts';

export interface AnalyseOptions {
  /** Warnings that the reader of the file already has. */
  readonly warnings?: readonly Warning[];
  /** The key that is played first, where it is known: then the piano may stand at any pitch. */
  readonly firstNote?: MidiNote;
  /** The hand's own scale, learned earlier with the same player, touch and microphone place. */
  readonly reference?: HandReference;
  /** Told again and again how far the recording has been heard. */
  readonly reached?: (seconds: Seconds) => void;
}

/**
 * Analyses a mono recording: samples nominally within ±1, at `source.sampleRate`.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function analyse(samples: Float32Array, source: Source, options: AnalyseOptions = {}): AnalysisDocument {
  const heard = hear(samples, source.sampleRate, options.firstNote ?? null, options.reached);
  const gaps = findGaps(samples, source.sampleRate);
  const strokes = heard.takes
    .flatMap((take) => take.strokes)
    .map((stroke) => withoutContactOverGap(stroke, gaps))
    .sort((a, b) => a.timeSeconds - b.timeSeconds);
  const takes = heard.takes.map(({ take }) => take);
  const { hand, expectedFalseUnstable, advice, notes } = judged(strokes, takes, { reference: options.reference });
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    source,
    warnings: [...(options.warnings ?? []), ...warningsOf(samples, source.sampleRate, heard, gaps)],
    hand,
    expectedFalseUnstable,
    advice,
    takes,
    strokes,
    bars: [],
    notes,
  };
}

/** What is known of a round beside its strokes. */
export interface JudgeOptions {
  /** The hand's own scale, learned earlier with the same player, touch and microphone place. */
  readonly reference?: HandReference;
}

/** What is judged from the strokes and takes alone, of one recording or of several pooled: the hand, and note by note. */
export function judged(
  strokes: readonly RecordedStroke[],
  takes: readonly RecordedTake[],
  options: JudgeOptions = {},
): Pick<AnalysisDocument, 'hand' | 'expectedFalseUnstable' | 'advice' | 'notes'> {
  const judged = judgeRound(strokes.filter(isOfTake), takes, options.reference ?? null);
  const hand = handOf(judged);
  const byNote = new Map<MidiNote, RecordedStroke[]>();
  for (const stroke of strokes) {
    if (stroke.midi === null) continue;
    const list = byNote.get(stroke.midi);
    if (list) list.push(stroke);
    else byNote.set(stroke.midi, [stroke]);
  }
  const known = new Map(takes.map((take) => [take.take, take]));
  const verdicts = new Map(judged.notes.map((note) => [note.midi, note]));
  return {
    hand,
    expectedFalseUnstable: judged.expectedFalse,
    advice: judged.doubts.map(({ code, facts }) => ({ code, message: adviceMessage(code, facts) })),
    notes: [...byNote.entries()]
      .sort(([a], [b]) => a - b)
      .map(([midi, own]) => noteOf(midi, measureNote(own, known), verdicts.get(midi) ?? null, hand)),
  };
}

function handOf({ hand, repeats }: RoundJudgement): Hand {
  const { base, reference: repeatsReference, gauge: returns } = repeats;
  const repeatsPart = { repeatsReference, baseRates: base, baseFailureRate: base?.steady.silent ?? null, returns };
  if (hand === null) {
    return {
      scalePercent: null,
      slopePerDb: null,
      slipRate: null,
      reference: 'none',
      notes: 0,
      scaleMs: null,
      scaleLogError: null,
      slopeError: null,
      referenceDb: null,
      ...repeatsPart,
    };
  }
  return {
    scalePercent: 100 * hand.scale,
    slopePerDb: hand.slopePerDb,
    slipRate: hand.slipRate,
    reference: hand.reference,
    notes: hand.notes,
    scaleMs: 1000 * hand.scale * hand.referenceTravel,
    scaleLogError: hand.logError,
    slopeError: hand.slopeError,
    referenceDb: hand.referenceDb,
    ...repeatsPart,
  };
}

/** A note's result; what may be no take is measured and listed, but nothing is concluded from it. */
function noteOf(midi: MidiNote, plain: readonly Measure[], judged: NoteJudgement | null, hand: Hand): NoteResult {
  const more = (judged?.measures ?? []).filter(({ kind }) => plain.every((one) => one.kind !== kind));
  const result = {
    verdict: judged?.verdict ?? ('insufficient' as const),
    measures: [...plain, ...more],
    couldHaveShown: judged?.couldHaveShown ?? NOTHING_SHOWN,
    findings: judged?.findings ?? [],
    looks: judged?.looks ?? 1,
    pattern: judged?.pattern ?? null,
    strokesNeeded: judged?.strokesNeeded ?? null,
    unused: judged?.unused ?? {},
  };
  const { reference, repeatsReference, returns } = hand;
  return {
    midi,
    name: keyName(midi),
    score: judged?.score ?? 0,
    ...result,
    words: noteWords({ ...result, reference, repeatsReference, returns }),
  };
}

const NOTHING_SHOWN = { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null };

function isOfTake({ doubt }: RecordedStroke): boolean {
  return !NO_TAKE_DOUBTS.some((reason) => doubt.includes(reason));
}
