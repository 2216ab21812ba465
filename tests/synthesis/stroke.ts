/**
 * Plans and sums that several synthesis tests share.
 */

import type { FaultPlan, HandPlan, PassagePlan, PracticePlan } from '../../src/synthesis/practice.ts';
import { playPlan, type PlayedStroke } from '../../src/synthesis/playing.ts';

/** A plan without room, noise, microphone or contact noise: the dry tone and what the key does. */
export function dryPlan(
  midi: number,
  passages: readonly PassagePlan[],
  more: Partial<PracticePlan> = {},
): PracticePlan {
  return {
    variant: 'training',
    notes: [{ midi, passages }],
    hand: { contact: 'none' },
    room: { reverberationDb: -Infinity, highPassHertz: 0 },
    snrDb: Infinity,
    ...more,
  };
}

/** What the hand plays on a note with these faults, without any sound. */
export function play(
  passages: readonly PassagePlan[],
  faults: readonly FaultPlan[] = [],
  hand: HandPlan = {},
  variant: 'training' | 'judging' = 'training',
  seed = 1,
): readonly PlayedStroke[] {
  return playPlan({ variant, notes: [{ midi: 60, passages, faults }], hand }, seed).strokes;
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Standard deviation, n - 1. */
export function deviation(values: readonly number[]): number {
  const middle = mean(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (values.length - 1));
}

export function share<T>(of: readonly T[], that: (one: T) => boolean): number {
  return of.filter(that).length / of.length;
}

/** Least-squares line y = intercept + slope x. */
export function line(x: readonly number[], y: readonly number[]): { slope: number; intercept: number } {
  const [mx, my] = [mean(x), mean(y)];
  let xy = 0;
  let xx = 0;
  x.forEach((value, i) => {
    xy += (value - mx) * (y[i] - my);
    xx += (value - mx) ** 2;
  });
  return { slope: xy / xx, intercept: my - (xy / xx) * mx };
}

/** RMS of samples between two times. */
export function level(x: ArrayLike<number>, sampleRate: number, from: number, to: number): number {
  const [a, b] = [Math.round(from * sampleRate), Math.round(to * sampleRate)];
  let sum = 0;
  for (let i = a; i < b; i++) sum += x[i] * x[i];
  return Math.sqrt(sum / (b - a));
}

export function decibels(ratio: number): number {
  return 20 * Math.log10(ratio);
}
