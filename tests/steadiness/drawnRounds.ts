/** Rounds drawn for comparing: notes with slow strokes, repeats and doubles, under one hand. */

import type { ComparedLook, ComparedNote, ComparedRound, NoteChange } from '../../src/steadiness/compare.ts';
import type { TravelStroke } from '../../src/steadiness/evidence.ts';
import type { Verdict } from '../../src/steadiness/kinds.ts';
import type { Count } from '../../src/steadiness/shareChange.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';

export const HAND = {
  scale: 0.041,
  logError: 0.04,
  slopePerDb: -0.0645,
  slopeError: 0.004,
  slipRate: 0.03,
  referenceDb: -20,
  referenceTravel: 0.09,
  reference: 'this-round',
  notes: 60,
} as const;

export interface Drawn {
  readonly midi?: number;
  readonly slow?: number;
  /** Spread against the firm scale, and the scale itself. */
  readonly ratio?: number;
  readonly scale?: number;
  readonly failed?: number;
  readonly repeats?: number;
  readonly doubles?: number;
  /** Silent ones among the failed. */
  readonly silent?: number;
  readonly gentle?: Count;
  readonly look?: number;
  readonly gain?: number;
  /** Shift of ln travel time. */
  readonly shift?: number;
  readonly verdict?: Verdict;
  readonly earlyOrLate?: number;
}

const NO_GENTLE: Count = { failed: 0, n: 0 };

/** One look at a note, drawn. */
export function drawn(random: RandomStream, asked: Drawn = {}): ComparedNote {
  const { midi = 60, slow = 8, ratio = 1, scale = 0.041, look = 1, gain = 0, shift = 0, verdict = 'steady' } = asked;
  const travels = Array.from({ length: slow }, (_, order): TravelStroke => {
    const level = random.normal(-20, 1.5);
    const residual = random.chance(0.03) ? random.normal(0, 5 * scale) : random.normal(0, ratio * scale);
    const logTravel = Math.log(0.09) - 0.0645 * (level + 20) + residual + shift;
    return { midi, look, logTravel, levelDb: level + gain, source: 0, order, after: 'slow', firm: false };
  });
  const repeats = { failed: asked.failed ?? 0, n: asked.repeats ?? 11 };
  const doubles = { failed: asked.doubles ?? 0, n: repeats.n + slow };
  const silent = Math.min(repeats.failed, asked.silent ?? 0);
  const looks: ComparedLook[] = [{ repeats, silent, doubles, gentle: asked.gentle ?? NO_GENTLE, ratePerSecond: 6 }];
  return { midi, verdict, travels, looks, earlyOrLate: asked.earlyOrLate ?? null };
}

/** Looks one after another, as one note. */
export function looked(...notes: readonly ComparedNote[]): ComparedNote {
  return {
    ...notes[0],
    travels: notes.flatMap(({ travels }, i) => travels.map((stroke) => ({ ...stroke, look: i + 1 }))),
    looks: notes.flatMap(({ looks }) => looks),
  };
}

export function round(notes: readonly ComparedNote[], more: Partial<ComparedRound> = {}): ComparedRound {
  return { hand: HAND, returns: 'right', notes, ...more };
}

export const measureOf = (note: NoteChange, kind: string) => note.measures.find((each) => each.kind === kind);
export const share = (count: number, of: number) => count / of;
