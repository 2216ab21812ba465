/** A stroke as the pictures read it, and what it shows as. */

import type { AnalysisDocument } from '../analysis/document.ts';

export type Stroke = AnalysisDocument['strokes'][number] & {
  /** Index of its file in a pooled document. */
  readonly source?: number;
};

/** What a stroke is drawn as. */
export type Shape = 'sounded' | 'silent' | 'weak' | 'double';

/** A weak stroke is one that sounded, but faintly. */
export function shapeOf(stroke: Stroke): Shape {
  if (stroke.kind !== 'sounded') return stroke.kind;
  return stroke.force === 'weak' ? 'weak' : 'sounded';
}

/** Contacts less sure than this are faint: drawn, not counted. */
const FAINT = 0.5;

/** What was heard of the finger's contact with the key. Times are before the tone, milliseconds, positive. */
export type Contact =
  | { readonly kind: 'clear' | 'faint'; readonly beforeMs: number }
  /** Both places where they are known, else none. */
  | { readonly kind: 'two-places'; readonly beforeMs: readonly number[] }
  | { readonly kind: 'absent'; readonly words: string };

type Absence = NonNullable<Stroke['absent']['contact']>;

const ABSENT_WORDS: Readonly<Record<Absence, string>> = {
  'none-heard': 'no contact heard',
  masked: 'contact covered by other sound',
  'two-candidates': 'contact in one of two places',
  'outside-recording': 'contact before the recording',
  gap: 'sound is missing there',
  'not-sought': 'contact not looked for',
  'not-known': 'contact not known',
};

/** The contact of a stroke that has an onset. */
export function contactOf(stroke: Stroke): Contact {
  const { onsetSeconds: onset, contactSeconds: first, otherContactSeconds: other } = stroke;
  if (onset === null) return { kind: 'absent', words: 'no tone' };
  const before = [first, other].flatMap((seconds) =>
    seconds === null || seconds >= onset ? [] : [1000 * (onset - seconds)],
  );
  if (other !== null || stroke.absent.contact === 'two-candidates') return { kind: 'two-places', beforeMs: before };
  if (before.length === 0) {
    return { kind: 'absent', words: ABSENT_WORDS[stroke.absent.contact ?? 'not-known'] };
  }
  const faint = stroke.contactConfidence !== null && stroke.contactConfidence < FAINT;
  return { kind: faint ? 'faint' : 'clear', beforeMs: before[0] };
}
