/**
 * A note in words of the trade: what the hand feels first, then what it rests on, what to look at, what to mind.
 */

import type { Verdict } from './kinds.ts';

export interface NoteWords {
  /** One sentence without figures: how the note feels and what seems to be. */
  readonly line: string;
  /** What that rests on, with figures, one sentence each. */
  readonly evidence: readonly string[];
  /** What to look at, first things first. */
  readonly next: readonly string[];
  /** What to mind; never empty where something is advised. */
  readonly cautions: readonly string[];
}

const LINES: Readonly<Record<Verdict, string>> = {
  steady: 'Repeats well and seems to rest evenly.',
  watch: 'Something seems off; worth a second look.',
  unstable: 'Seems not to rest or repeat evenly.',
  insufficient: 'Nothing wrong heard so far, but not enough to call it steady.',
};

/** The words of a verdict alone. */
export function plainWords(verdict: Verdict): NoteWords {
  return { line: LINES[verdict], evidence: [], next: [], cautions: [] };
}
