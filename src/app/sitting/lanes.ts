/** The lanes of Listen: what was asked for, and what has come of it. */

import { PASSAGES_OF, type AskedPassage, type Pattern } from '../../piano/plan.ts';
import type { Lane, Slot } from '../listen/view.ts';
import { fastRuns, type ShownStroke } from './soFar.ts';

/** A lane's height spans so many decibels below the loudest stroke. */
const SPAN_DB = 24;
const LOWEST_SHARE = 0.25;
/** Silent strokes have no height; where a level is not known yet. */
const UNKNOWN_SHARE = 0.6;

const RETURN_WORDS = {
  'right-up': 'Fast, right up',
  'half-way': 'Fast, not quite half-way up',
  'just-over-half': '8 a second, just over half-way',
} as const;

/** What has come of one passage. */
export interface PassageSoFar {
  readonly passage: AskedPassage;
  readonly strokes: readonly ShownStroke[];
}

/**
 * Parts the strokes of a pattern into its passages: fast runs in their order, all others in the slow one (under a bar the first
 * eight, then the rest).
 */
export function passagesSoFar(asked: Pattern, strokes: readonly ShownStroke[]): PassageSoFar[] {
  const runs = fastRuns(strokes);
  const slow = strokes.filter(({ fast }) => !fast);
  let run = 0;
  let taken = 0;
  const passages = PASSAGES_OF[asked];
  const lastFast = passages.findLastIndex(({ kind }) => kind === 'fast');
  return passages.map((passage, i) => {
    if (passage.kind === 'fast') {
      // Beyond the last fast lane strokes are counted as more of it.
      const own = i === lastFast ? runs.slice(run).flat() : (runs[run] ?? []);
      run++;
      return { passage, strokes: own };
    }
    const end = passage.kind === 'bar' && i === 0 ? passage.wanted : slow.length;
    const own = slow.slice(taken, end);
    taken += own.length;
    return { passage, strokes: own };
  });
}

/** The passage to play now: the first that wants strokes and after which none has begun; -1 where all are done. */
export function passageNow(soFar: readonly PassageSoFar[]): number {
  const begun = soFar.findLastIndex(({ strokes }) => strokes.length > 0);
  for (let i = Math.max(0, begun); i < soFar.length; i++) {
    if (soFar[i].strokes.length < soFar[i].passage.wanted) return i;
  }
  return -1;
}

/** The lanes as they are drawn; `now` is lit where it is not negative. */
export function lanesOf(soFar: readonly PassageSoFar[], now: number): Lane[] {
  const levels = soFar.flatMap(({ strokes }) => strokes.flatMap(({ levelDb }) => levelDb ?? []));
  const loudest = Math.max(...levels);
  const height = ({ levelDb }: ShownStroke) =>
    levelDb === null ? UNKNOWN_SHARE : Math.max(LOWEST_SHARE, 1 - (loudest - levelDb) / SPAN_DB);
  return soFar.map(({ passage, strokes }, i) => {
    const { wanted, kind } = passage;
    const shown = strokes.slice(0, wanted);
    const slots: Slot[] = shown.map((stroke) => slotOf(stroke, kind, height(stroke)));
    for (let k = slots.length; k < wanted; k++)
      slots.push({ state: k === shown.length && i === now ? 'now' : 'wanted' });
    return {
      title: titleOf(passage, i),
      kind,
      done: Math.min(strokes.length, wanted),
      wanted,
      slots,
      extra: Math.max(0, strokes.length - wanted),
    };
  });
}

function slotOf(stroke: ShownStroke, kind: AskedPassage['kind'], height: number): Slot {
  if (stroke.kind === 'silent') return { state: 'silent' };
  if (stroke.kind === 'weak') return { state: 'weak', height };
  // How steadily a bar was pressed is not judged yet: what was played is kept.
  if (kind === 'bar') return { state: 'bar', height, counted: true };
  return { state: 'sounded', height, clear: stroke.clear, double: stroke.double };
}

function titleOf({ kind, return: letUp }: AskedPassage, index: number): string {
  switch (kind) {
    case 'slow':
      return 'Slow';
    case 'firm-slow-slow':
      return 'Firm, slow, slow';
    case 'gentle':
      return 'Gentle';
    case 'bar':
      return index === 0 ? 'Bar, this way round' : 'Turned end for end';
    case 'fast':
      return RETURN_WORDS[letUp ?? 'half-way'];
  }
}
