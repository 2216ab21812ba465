/**
 * Samples in, analysis document out: the one entry for the command line, the workers and the tests.
 */

import { keyName } from '../piano/keys.ts';
import { measureNote, type RecordedStroke } from '../steadiness/measures.ts';
import type { HandReference } from '../steadiness/reference.ts';
import { playOf, type RecordedTake } from '../steadiness/round.ts';
import { plainVerdict } from '../steadiness/verdict.ts';
import { plainWords } from '../steadiness/words.ts';
import { hear } from '../strokes/hear.ts';
import { NO_TAKE_DOUBTS } from '../strokes/types.ts';
import type { MidiNote } from '../units.ts';
import {
  ANALYSIS_SCHEMA,
  ANALYSIS_VERSION,
  type AnalysisDocument,
  type NoteResult,
  type Source,
  type Warning,
} from './document.ts';
import { warningsOf } from './warnings.ts';

export interface AnalyseOptions {
  /** Warnings that the reader of the file already has. */
  readonly warnings?: readonly Warning[];
  /** The key that is played first, where it is known: then the piano may stand at any pitch. */
  readonly firstNote?: MidiNote;
  /** The hand's own scale, learned earlier with the same player, touch and microphone place. */
  readonly reference?: HandReference;
}

/**
 * Analyses a mono recording: samples nominally within ±1, at `source.sampleRate`.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function analyse(samples: Float32Array, source: Source, options: AnalyseOptions = {}): AnalysisDocument {
  const heard = hear(samples, source.sampleRate, options.firstNote ?? null);
  const strokes = heard.takes.flatMap((take) => take.strokes).sort((a, b) => a.timeSeconds - b.timeSeconds);
  const takes = heard.takes.map(({ take }) => take);
  const { hand, expectedFalseUnstable, advice, notes } = judged(strokes, takes, { reference: options.reference });
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    source,
    warnings: [...(options.warnings ?? []), ...warningsOf(samples, source.sampleRate, heard)],
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
  void options;
  return {
    hand: {
      scalePercent: null,
      slopePerDb: null,
      slipRate: null,
      baseFailureRate: null,
      reference: 'none',
      notes: 0,
      scaleMs: null,
      scaleLogError: null,
      slopeError: null,
      referenceDb: null,
      repeatsReference: 'none',
      baseRates: null,
      returns: 'unknown',
    },
    expectedFalseUnstable: null,
    advice: [],
    notes: notesOf(strokes, takes),
  };
}

function notesOf(strokes: readonly RecordedStroke[], takes: readonly RecordedTake[]): NoteResult[] {
  const byNote = new Map<MidiNote, RecordedStroke[]>();
  for (const stroke of strokes) {
    if (stroke.midi === null) continue;
    const list = byNote.get(stroke.midi);
    if (list) list.push(stroke);
    else byNote.set(stroke.midi, [stroke]);
  }
  const plays = new Map(playOf(strokes.filter(isOfTake), takes).map((play) => [play.midi, play]));
  return [...byNote.entries()]
    .sort(([a], [b]) => a - b)
    .map(([midi, own]) => {
      // What may be no take is listed and measured, but nothing is concluded from it.
      const play = plays.get(midi);
      const { verdict, score, findings } = plainVerdict(play?.looks.flat() ?? []);
      return {
        midi,
        name: keyName(midi),
        verdict,
        score,
        measures: measureNote(own),
        couldHaveShown: { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null },
        findings,
        looks: play?.looks.length ?? 1,
        pattern: null,
        strokesNeeded: null,
        unused: {},
        words: plainWords(verdict),
      };
    });
}

function isOfTake({ doubt }: RecordedStroke): boolean {
  return !NO_TAKE_DOUBTS.some((reason) => doubt.includes(reason));
}
