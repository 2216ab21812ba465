/**
 * What is known of a note when it is put into words, and what of it could be judged at all.
 */

import type { Finding, Measure, ReferenceKind, RepeatPattern, ReturnGauge, Unused, Verdict } from './kinds.ts';
import { measureOf } from './symptoms.ts';

/** A note's result, and of its round what bears on it. */
export interface NoteFacts {
  readonly verdict: Verdict;
  readonly findings: readonly Finding[];
  readonly measures: readonly Measure[];
  /** Smallest sizes found with 80 % power; null where nothing can be said. */
  readonly couldHaveShown: {
    readonly spreadPercent: number | null;
    readonly shiftPercent: number | null;
    readonly failureRate: number | null;
    readonly modelMillimetres: number | null;
  };
  readonly pattern: RepeatPattern | null;
  /** From 1. */
  readonly looks: number;
  readonly unused: Readonly<Partial<Record<Unused, number>>>;
  readonly strokesNeeded: { readonly slow: number; readonly fast: number } | null;
  /** Of the travel times. */
  readonly reference: ReferenceKind;
  readonly repeatsReference: ReferenceKind;
  readonly returns: ReturnGauge;
  /** More strokes of this note are still to come. */
  readonly provisional?: boolean;
}

/** Whether the rest of the hammer could be judged, or why not. */
export type RestHeard = 'judged' | 'no-contact' | 'too-few' | 'no-reference' | 'not-played';
/** Whether the quick repeats could be judged, or why not. */
export type RepeatsHeard = 'judged' | 'let-up-more' | 'let-up-less' | 'no-reference' | 'not-played';

/** From the measures: a spread is there where enough travel times were usable. */
export function restHeard({ measures, findings, unused, reference }: NoteFacts): RestHeard {
  if (findings.some(({ kind }) => kind === 'wandering-rest')) return 'judged';
  if (measureOf(measures, 'spread-ratio') || measureOf(measures, 'travel-spread'))
    return reference === 'none' ? 'no-reference' : 'judged';
  const contacts = measureOf(measures, 'contacts-heard');
  const reasons = Object.entries(unused).filter(([, n]) => n > 0);
  if (contacts !== null && Math.round(contacts.value * contacts.n) === 0) return 'no-contact';
  if (contacts === null && reasons.length > 0 && reasons.every(([reason]) => reason === 'no-contact'))
    return 'no-contact';
  return contacts !== null || reasons.length > 0 ? 'too-few' : 'not-played';
}

/** From the measures and the round's gauge: what fails on every note is no note's fault, what was let right up no test. */
export function repeatsHeard({ measures, findings, returns, repeatsReference }: NoteFacts): RepeatsHeard {
  if (findings.some(({ kind }) => kind === 'missed-repeats' || kind === 'weak-repeats')) return 'judged';
  const { n, failed } = repeatCounts(measures);
  if (n === 0) return 'not-played';
  if (returns === 'let-up-more') return 'let-up-more';
  if (returns === 'let-up-less' && failed === 0) return 'let-up-less';
  return repeatsReference === 'none' ? 'no-reference' : 'judged';
}

/** Quick repeats, and how many were silent or weak. */
export function repeatCounts(measures: readonly Measure[]): { readonly n: number; readonly failed: number } {
  const parts = [measureOf(measures, 'silent-repeats'), measureOf(measures, 'weak-repeats')];
  // What the judgement counted goes before the plain count of all strokes.
  const counted = parts.some((part) => part !== null) ? parts : [measureOf(measures, 'failed-repeats')];
  return {
    n: Math.max(0, ...counted.map((part) => part?.n ?? 0)),
    failed: counted.reduce((sum, part) => sum + (part ? Math.round(part.value * part.n) : 0), 0),
  };
}

/** A contrast after firm strokes that is not the scatter's: its 90 % interval does not hold 0. */
export function firmContrast(measures: readonly Measure[]): Measure | null {
  const contrast = measureOf(measures, 'after-firm');
  return contrast && (contrast.interval[0] > 0 || contrast.interval[1] < 0) ? contrast : null;
}
