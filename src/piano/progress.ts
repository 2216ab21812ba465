/**
 * Which steps of a plan are done, from what was played.
 */

import { PASSAGES_OF, type Pattern, type PlanStep } from './plan.ts';
import type { MidiNote } from '../units.ts';

/** What a kept take holds. */
export interface PlayedTake {
  readonly midi: MidiNote;
  readonly asked: Pattern;
  /** Strokes that sounded outside fast passages. */
  readonly slow: number;
  /** Fast passages. */
  readonly fastPassages: number;
}

/** Least slow strokes of a take that make a slow passage, as for keeping it. */
const LEAST_SLOW = 5;

/** The patterns that were played whole, one entry each time; a pattern may stand in several takes, as its passages came. */
export function donePatterns(takes: readonly PlayedTake[]): PlanStep[] {
  const byStep = new Map<string, { step: PlanStep; slow: number; fast: number }>();
  for (const { midi, asked, slow, fastPassages } of takes) {
    const label = `${midi} ${asked}`;
    const sum = byStep.get(label) ?? { step: { midi, asked }, slow: 0, fast: 0 };
    sum.slow += slow >= LEAST_SLOW ? 1 : 0;
    sum.fast += fastPassages;
    byStep.set(label, sum);
  }
  return [...byStep.values()].flatMap(({ step, slow, fast }) => {
    const passages = PASSAGES_OF[step.asked];
    const wantedFast = passages.filter(({ kind }) => kind === 'fast').length;
    const wantedSlow = passages.length > wantedFast;
    const times = Math.min(wantedSlow ? slow : Infinity, wantedFast ? Math.floor(fast / wantedFast) : Infinity);
    return Array.from({ length: times }, () => step);
  });
}
