/** Whole rounds for the compass: drawn strokes, judged as those of any recording. */

import { judged } from '../../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../../src/analysis/document.ts';
import type { Stroke } from '../../../src/strokes/types.ts';
import { RandomStream } from '../../../src/synthesis/random.ts';
import { madeRound, type MadeNote } from '../../analysis/madeRound.ts';

/** What is wrong with a note, beside what a made note can have. */
export interface NoteFaults extends Omit<MadeNote, 'midi'> {
  /** Quick repeats made weak, struck twice: how many. */
  readonly weak?: number;
  readonly doubles?: number;
  /** Strokes as soft as will speak, and how many of them stayed silent. */
  readonly gentle?: number;
  readonly gentleSilent?: number;
}

/** A round of the given keys with the faults of some; the same seed gives the same round. */
export function wholeRound(
  seed: number,
  midis: readonly number[],
  faults: Readonly<Record<number, NoteFaults>> = {},
  usual: Omit<MadeNote, 'midi'> = {},
): AnalysisDocument {
  const plain = madeRound(
    new RandomStream(seed, 'compass'),
    midis.map((midi) => ({ fast: 24, slow: 16, silent: 0.006, ...usual, ...faults[midi], midi })),
    { file: `round ${seed}` },
  );
  const strokes = midis.flatMap((midi) =>
    changed(
      plain.strokes.filter((stroke) => stroke.midi === midi),
      faults[midi] ?? {},
    ),
  );
  return { ...plain, strokes, ...judged(strokes, plain.takes) };
}

function changed(
  own: readonly Stroke[],
  { weak = 0, doubles = 0, gentle = 0, gentleSilent = 0 }: NoteFaults,
): Stroke[] {
  const fast = own.filter(({ passage, kind }) => passage === 'fast' && kind === 'sounded');
  // The first of a passage is no repeat.
  const weakened = new Set(fast.slice(2, 2 + 2 * weak).filter((_, i) => i % 2 === 0));
  const doubled = new Set(fast.slice(-2 * doubles || fast.length).filter((_, i) => i % 2 === 0));
  const strokes = own.flatMap((stroke): Stroke[] => {
    const kept: Stroke = weakened.has(stroke) ? { ...stroke, force: 'weak', relativeDb: -12 } : stroke;
    if (!doubled.has(stroke)) return [kept];
    const second: Stroke = { ...stroke, kind: 'double', timeSeconds: stroke.timeSeconds + 0.07, force: null };
    return [kept, second];
  });
  const last = own[own.length - 1];
  const soft = Array.from({ length: gentle }, (_, i): Stroke => {
    const time = last.timeSeconds + 1.3 * (i + 1);
    const mute = i < gentleSilent;
    return {
      ...last,
      kind: mute ? 'silent' : 'sounded',
      passage: 'gentle',
      timeSeconds: time,
      onsetSeconds: mute ? null : time,
      levelDb: mute ? null : -32,
      relativeDb: mute ? null : -12,
      force: mute ? null : 'gentle',
      preceding: { kind: 'gentle', restSeconds: 1.3, damped: null, gapDb: null },
    };
  });
  return [...strokes, ...soft];
}

/** All 88 keys, the faults of a piano that wants some work, two keys at the top too short to say. */
export const PIANO_FAULTS: Readonly<Record<number, NoteFaults>> = {
  32: { doubles: 2 },
  47: { gentle: 8, gentleSilent: 3 },
  51: { silent: 0.3, weak: 3 },
  64: { ratio: 1.9 },
  74: { silent: 0.09, weak: 6 },
  78: { shift: 0.12 },
  81: { shift: -0.12 },
  86: { ratio: 3.6, gentle: 8, gentleSilent: 1 },
  93: { weak: 2 },
  105: { slow: 2, fast: 0 },
  107: { slow: 2, fast: 0 },
};

/** A0 to C8. */
export const ALL_KEYS = Array.from({ length: 88 }, (_, i) => 21 + i);
