/**
 * Slow and fast: which passage each stroke of a take belongs to, and which beats of a fast one stayed empty.
 *
 * A fast passage is a run of at least three strokes whose intervals are at most 0.4 s and at most half the slow median;
 * an interval near a whole multiple of the running beat inside such a run is a beat that no string answered. The rest are
 * slow strokes, unless they stand alone.
 */

import { median } from '../statistics/order.ts';
import type { Seconds } from '../units.ts';
import type { Passage } from './types.ts';

export interface EmptyBeat {
  /** When the stroke was due. */
  readonly seconds: Seconds;
  /** Index of the last sounded stroke before it. */
  readonly after: number;
}

export interface Passages {
  /** One per stroke. */
  readonly passages: (Passage | null)[];
  readonly missing: EmptyBeat[];
  /** Median rate of the fast passages, strokes per second. */
  readonly rate: number | null;
}

const FAST_UP_TO: Seconds = 0.4;
const SLOW_FROM: Seconds = 0.45;
const SLOW_UP_TO: Seconds = 4;
const LEAST_RUN = 3;
/** At most so many beats in a row are taken as missed; a longer hole ends the passage. */
const MOST_MISSED = 3;
/** How far an interval may lie from a whole multiple of the beat, in beats. */
const OFF_BEAT = 0.3;
/** A pause shorter than this share of the slow interval is a hole in a fast passage, even at its edge. */
const HOLE_SHARE = 0.6;

/** Places strokes at `times` (ascending) into passages. */
export function passagesOf(times: readonly Seconds[]): Passages {
  const intervals = times.slice(1).map((time, i) => time - times[i]);
  const slow = intervals.filter((interval) => interval >= SLOW_FROM && interval <= SLOW_UP_TO);
  const limit = Math.min(FAST_UP_TO, slow.length >= 3 ? median(slow) / 2 : FAST_UP_TO);
  const holeUpTo = slow.length >= 3 ? HOLE_SHARE * median(slow) : 0;
  const passages: (Passage | null)[] = times.map(() => null);
  const missing: EmptyBeat[] = [];
  const fastIntervals: Seconds[] = [];

  let i = 0;
  while (i < intervals.length) {
    if (intervals[i] > limit) {
      i++;
      continue;
    }
    const run = reachBack(intervals, extendRun(intervals, i, limit, holeUpTo), i, holeUpTo);
    const strokes = run.end - run.start + 1;
    if (strokes + run.empty.length >= LEAST_RUN) {
      for (let k = run.start; k <= run.end; k++) passages[k] = 'fast';
      for (const { interval, beats } of run.empty) {
        for (let b = 1; b < beats; b++) {
          missing.push({ seconds: times[interval] + (intervals[interval] * b) / beats, after: interval });
        }
      }
      fastIntervals.push(...run.plain);
    }
    i = run.end + 1;
  }
  for (let k = 0; k < times.length; k++) {
    if (passages[k] !== null) continue;
    const before = k > 0 ? intervals[k - 1] : Infinity;
    const after = k < intervals.length ? intervals[k] : Infinity;
    if (Math.min(before, after) <= SLOW_UP_TO) passages[k] = 'slow';
  }
  return { passages, missing, rate: fastIntervals.length ? 1 / median(fastIntervals) : null };
}

/** Follows a fast run from interval `start`: its last stroke, its plain intervals and its holes. */
function extendRun(intervals: readonly Seconds[], start: number, limit: Seconds, holeUpTo: Seconds) {
  const plain: Seconds[] = [];
  const empty: { interval: number; beats: number }[] = [];
  let end = start;
  for (let k = start; k < intervals.length; k++) {
    const beat = plain.length ? median(plain.slice(-6)) : intervals[k];
    const ratio = intervals[k] / beat;
    const beats = Math.round(ratio);
    if (beats <= 1 && intervals[k] <= limit) {
      plain.push(intervals[k]);
    } else if (
      plain.length >= 2 &&
      beats >= 2 &&
      beats <= MOST_MISSED + 1 &&
      Math.abs(ratio - beats) <= OFF_BEAT &&
      (intervals[k] < holeUpTo || goesOn(intervals, k + 1, beat))
    ) {
      empty.push({ interval: k, beats });
    } else if (intervals[k] <= limit) {
      plain.push(intervals[k]);
    } else break;
    end = k + 1;
  }
  return { end, plain, empty };
}

interface Run {
  readonly end: number;
  readonly plain: readonly Seconds[];
  readonly empty: readonly { interval: number; beats: number }[];
}

/** A stroke before the run, whole beats away and much nearer than a slow one, began it: its first repeats failed. */
function reachBack(intervals: readonly Seconds[], run: Run, start: number, holeUpTo: Seconds): Run & { start: number } {
  const before = start - 1;
  if (before < 0 || run.plain.length < 2 || intervals[before] >= holeUpTo) return { ...run, start };
  const ratio = intervals[before] / median(run.plain);
  const beats = Math.round(ratio);
  if (beats < 2 || beats > MOST_MISSED + 1 || Math.abs(ratio - beats) > OFF_BEAT) return { ...run, start };
  return { ...run, empty: [{ interval: before, beats }, ...run.empty], start: before };
}

/** True if the passage continues at its beat after a hole: a hole at the end is only an end. */
function goesOn(intervals: readonly Seconds[], next: number, beat: Seconds): boolean {
  return (
    next < intervals.length &&
    Math.abs(intervals[next] / beat - Math.round(intervals[next] / beat)) <= OFF_BEAT &&
    intervals[next] < 3.5 * beat
  );
}
