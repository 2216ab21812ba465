/**
 * Note plans: which notes a round asks for, and how each is to be played.
 */

import type { MidiNote } from '../units.ts';

/** What the player is asked to play of a note. */
export const PATTERNS = ['slow-fast', 'open', 'gentle', 'just-over-half', 'full-return', 'bar'] as const;
export type Pattern = (typeof PATTERNS)[number];

/** Kinds of plan: closed list, kept in the record. */
export const PLAN_KINDS = [
  'free',
  'one-note',
  'hand-picked',
  'section',
  'compass',
  'sampled',
  'open-worklist',
  'after-adjustment',
] as const;
export type PlanKind = (typeof PLAN_KINDS)[number];

/** One thing to play. */
export interface PlanStep {
  /** The note; the middle one of three under a bar. */
  readonly midi: MidiNote;
  readonly asked: Pattern;
}

export interface NotePlan {
  readonly kind: PlanKind;
  /** In the order of play; empty for `free`: any note that is played. */
  readonly steps: readonly PlanStep[];
}

/** One passage of a pattern, as asked for. */
export interface AskedPassage {
  readonly kind: 'slow' | 'fast' | 'firm-slow-slow' | 'gentle' | 'bar';
  /** Strokes wanted; of `firm-slow-slow` all strokes, three to a group. */
  readonly wanted: number;
  /** How far the key is to be let up. */
  readonly return: 'right-up' | 'half-way' | 'just-over-half' | null;
  /** Strokes a second, about. */
  readonly rate: number;
}

/** The passages of each pattern, in order of play. Counts and rates: common practice of this program, no outside source. */
export const PASSAGES_OF: Readonly<Record<Pattern, readonly AskedPassage[]>> = {
  'slow-fast': [
    { kind: 'slow', wanted: 8, return: 'right-up', rate: 1 },
    { kind: 'fast', wanted: 12, return: 'half-way', rate: 6 },
  ],
  open: [
    { kind: 'firm-slow-slow', wanted: 18, return: 'right-up', rate: 1 },
    { kind: 'fast', wanted: 12, return: 'half-way', rate: 6 },
    { kind: 'fast', wanted: 12, return: 'half-way', rate: 6 },
    { kind: 'fast', wanted: 12, return: 'just-over-half', rate: 8 },
  ],
  gentle: [{ kind: 'gentle', wanted: 8, return: 'right-up', rate: 0.7 }],
  'just-over-half': [{ kind: 'fast', wanted: 12, return: 'just-over-half', rate: 8 }],
  'full-return': [{ kind: 'fast', wanted: 12, return: 'right-up', rate: 6 }],
  bar: [
    { kind: 'bar', wanted: 8, return: 'right-up', rate: 0.5 },
    { kind: 'bar', wanted: 8, return: 'right-up', rate: 0.5 },
  ],
};
