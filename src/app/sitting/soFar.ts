/**
 * The strokes of the running take as they are known so far: the refined ones where the refinement has come, the audio thread's
 * after that.
 */

import type { AnalysisDocument } from '../../analysis/document.ts';
import type { LiveStroke } from '../../analysis/listening/events.ts';
import type { Decibels, MidiNote, Seconds } from '../../units.ts';

/** One stroke as the lanes show it. */
export interface ShownStroke {
  /** From the beginning of the take's sound. */
  readonly seconds: Seconds;
  readonly kind: 'sounded' | 'silent' | 'weak';
  readonly fast: boolean;
  /** Its contact was heard in one place. */
  readonly clear: boolean;
  /** A second string contact followed. */
  readonly double: boolean;
  readonly levelDb: Decibels | null;
}

/** A stroke that was analysed this near the end may not have been found yet. */
const UNSURE_END: Seconds = 0.15;

/** What was refined of a take: its document, and how much of its sound that is. */
export interface Refined {
  readonly document: AnalysisDocument;
  readonly seconds: Seconds;
}

/**
 * @param live strokes of the audio thread, times from the beginning of the take's sound.
 */
export function shownStrokes(
  midi: MidiNote,
  refined: Refined | null,
  live: readonly (LiveStroke & { readonly seconds: Seconds })[],
): ShownStroke[] {
  const known = refined ? strokesOf(refined.document, midi) : [];
  const until = refined ? refined.seconds - UNSURE_END : -Infinity;
  const later = live
    .filter(({ seconds }) => seconds > until)
    .map(({ seconds, passage, contact, levelDb }): ShownStroke => ({
      seconds,
      kind: 'sounded',
      fast: passage === 'fast',
      clear: contact === 'heard',
      double: false,
      levelDb,
    }));
  return [...known, ...later];
}

/** The strokes of a note in a document: doubles at the stroke that they follow. */
export function strokesOf({ strokes }: AnalysisDocument, midi: MidiNote): ShownStroke[] {
  const shown: ShownStroke[] = [];
  for (const stroke of strokes) {
    if (stroke.midi !== midi) continue;
    if (stroke.kind === 'double') {
      const last = shown.pop();
      if (last) shown.push({ ...last, double: true });
      continue;
    }
    const fast = stroke.passage === 'fast';
    shown.push({
      seconds: stroke.timeSeconds,
      kind: stroke.kind === 'silent' ? 'silent' : fast && stroke.force === 'weak' ? 'weak' : 'sounded',
      fast,
      clear: stroke.contactSeconds !== null,
      double: false,
      levelDb: stroke.levelDb,
    });
  }
  return shown;
}

/** The fast passages among strokes: each a run without a slow stroke or a long pause between. */
export function fastRuns(strokes: readonly ShownStroke[]): ShownStroke[][] {
  const runs: ShownStroke[][] = [];
  let last: ShownStroke | null = null;
  for (const stroke of strokes) {
    if (stroke.fast) {
      const goesOn = last?.fast && stroke.seconds - last.seconds < LONGEST_IN_RUN;
      if (goesOn) runs[runs.length - 1].push(stroke);
      else runs.push([stroke]);
    }
    last = stroke;
  }
  return runs;
}

const LONGEST_IN_RUN: Seconds = 0.9;
