/**
 * Samples in, analysis document out: the one entry for the command line, the workers and the tests.
 */

import { keyName } from '../piano/keys.ts';
import { measureNote, type RecordedStroke } from '../steadiness/measures.ts';
import { plainVerdict } from '../steadiness/verdict.ts';
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
}

/**
 * Analyses a mono recording: samples nominally within ±1, at `source.sampleRate`.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function analyse(samples: Float32Array, source: Source, options: AnalyseOptions = {}): AnalysisDocument {
  const heard = hear(samples, source.sampleRate, options.firstNote ?? null);
  const strokes = heard.takes.flatMap((take) => take.strokes).sort((a, b) => a.timeSeconds - b.timeSeconds);
  const { hand, expectedFalseUnstable, notes } = judged(strokes);
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    source,
    warnings: [...(options.warnings ?? []), ...warningsOf(samples, source.sampleRate, heard)],
    hand,
    expectedFalseUnstable,
    takes: heard.takes.map((take) => take.take),
    strokes,
    bars: [],
    notes,
  };
}

/** What is judged from the strokes alone, of one recording or of several pooled: the hand, and note by note. */
export function judged(
  strokes: readonly RecordedStroke[],
): Pick<AnalysisDocument, 'hand' | 'expectedFalseUnstable' | 'notes'> {
  return {
    hand: { scalePercent: null, slopePerDb: null, slipRate: null, baseFailureRate: null, reference: 'none', notes: 0 },
    expectedFalseUnstable: null,
    notes: notesOf(strokes),
  };
}

function isOfTake({ doubt }: RecordedStroke): boolean {
  return !NO_TAKE_DOUBTS.some((reason) => doubt.includes(reason));
}

function notesOf(strokes: readonly RecordedStroke[]): NoteResult[] {
  const byNote = new Map<MidiNote, RecordedStroke[]>();
  for (const stroke of strokes) {
    if (stroke.midi === null) continue;
    const list = byNote.get(stroke.midi);
    if (list) list.push(stroke);
    else byNote.set(stroke.midi, [stroke]);
  }
  return [...byNote.entries()]
    .sort(([a], [b]) => a - b)
    .map(([midi, own]) => {
      // What may be no take is listed and measured, but nothing is concluded from it.
      const { verdict, score, findings } = plainVerdict(own.filter(isOfTake));
      return {
        midi,
        name: keyName(midi),
        verdict,
        score,
        measures: measureNote(own),
        couldHaveShown: { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null },
        findings,
      };
    });
}
