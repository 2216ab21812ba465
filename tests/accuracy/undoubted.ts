/**
 * What the program makes of sounds that are no takes: undoubted strokes a minute, and the warnings that name them.
 *
 * A stroke is *undoubted* when it stands in the document with an empty `doubt` and a confidence of 0.5 or more.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import { SAMPLE_RATE } from './samples.ts';

/** Whether a stroke is put forward without reserve. */
export function isUndoubted({ doubt, confidence }: Pick<Stroke, 'doubt' | 'confidence'>): boolean {
  return doubt.length === 0 && confidence >= 0.5;
}

/** What was made of one recording. */
export interface Heard {
  readonly seconds: number;
  readonly undoubted: number;
  readonly doubted: number;
  /** Notes whose verdict is other than `insufficient`. */
  readonly judged: number;
  readonly warnings: readonly string[];
}

/** Analysis of samples at the material's rate. */
export function heardIn(samples: Float32Array, name = 'sound'): AnalysisDocument {
  const durationSeconds = samples.length / SAMPLE_RATE;
  return analyse(samples, { file: name, sampleRate: SAMPLE_RATE, channels: 1, durationSeconds });
}

/** Counts the strokes of a document. */
export function counted({ strokes, notes, warnings, source }: AnalysisDocument): Heard {
  const undoubted = strokes.filter(isUndoubted).length;
  return {
    seconds: source.durationSeconds,
    undoubted,
    doubted: strokes.length - undoubted,
    judged: notes.filter(({ verdict }) => verdict !== 'insufficient').length,
    warnings: warnings.map(({ code }) => code),
  };
}

/** Undoubted strokes a minute over several recordings. */
export function perMinute(heard: readonly Heard[]): number {
  const seconds = heard.reduce((sum, one) => sum + one.seconds, 0);
  return (60 * heard.reduce((sum, one) => sum + one.undoubted, 0)) / seconds;
}
