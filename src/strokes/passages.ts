/**
 * Slow and fast: which passage each stroke of a take belongs to, and which beats of a fast one stayed empty.
 *
 * A fast passage is a run of strokes with intervals of at most 0.4 s and at most half the slow median. Its beat is that of
 * its shortest intervals, followed as it drifts; a longer interval near a whole multiple of the beat, and much shorter
 * than a slow one, is a beat that no string answered. So a note that misses every second repeat is still a fast passage,
 * with holes. The rest are slow strokes, unless they stand alone.
 */

import { median, quantile } from '../statistics/order.ts';
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
/** Most beats in a row that are taken as missed; a longer hole ends the passage. */
const MOST_MISSED = 3;
/** How far an interval may lie from a whole multiple of the beat, in beats. */
const OFF_BEAT = 0.3;
/** A pause shorter than this share of the slow interval may be a hole in a fast passage. */
const HOLE_SHARE = 0.8;
/** The same where no slow strokes were played. */
const HOLE_ALONE: Seconds = 0.6;
/** Neighbouring intervals on either side that say how fast the beat is just there. */
const NEIGHBOURS = 4;

/** Places strokes at `times` (ascending) into passages. */
export function passagesOf(times: readonly Seconds[]): Passages {
  const intervals = times.slice(1).map((time, i) => time - times[i]);
  const slow = intervals.filter((interval) => interval >= SLOW_FROM && interval <= SLOW_UP_TO);
  const slowMedian = slow.length >= 3 ? median(slow) : null;
  const limit = Math.min(FAST_UP_TO, slowMedian === null ? FAST_UP_TO : slowMedian / 2);
  const holeUpTo = Math.max(limit, slowMedian === null ? HOLE_ALONE : HOLE_SHARE * slowMedian);
  const passages: (Passage | null)[] = times.map(() => null);
  const missing: EmptyBeat[] = [];
  const plain: Seconds[] = [];

  for (const [from, to] of stretches(intervals, holeUpTo)) {
    for (const whole of runsWithin(intervals, from, to, limit)) {
      // Without slow strokes to compare with, a hole at the edge is only a pause.
      const run = slowMedian === null ? withoutEdges(whole) : whole;
      const holes = run.beats.reduce((sum, beats) => sum + beats - 1, 0);
      if (run.beats.length + 1 + holes < LEAST_RUN || run.beats.every((beats) => beats > 1)) continue;
      for (let k = run.start; k <= run.start + run.beats.length; k++) passages[k] = 'fast';
      run.beats.forEach((beats, j) => {
        const k = run.start + j;
        if (beats === 1) plain.push(intervals[k]);
        for (let b = 1; b < beats; b++) missing.push({ seconds: times[k] + (intervals[k] * b) / beats, after: k });
      });
    }
  }
  for (let k = 0; k < times.length; k++) {
    if (passages[k] !== null) continue;
    const before = k > 0 ? intervals[k - 1] : Infinity;
    const after = k < intervals.length ? intervals[k] : Infinity;
    if (Math.min(before, after) <= SLOW_UP_TO) passages[k] = 'slow';
  }
  return { passages, missing, rate: plain.length ? 1 / median(plain) : null };
}

/** Longest stretches of intervals of at most `bound`, as [first, one past the last]. */
function stretches(intervals: readonly Seconds[], bound: Seconds): [number, number][] {
  const found: [number, number][] = [];
  let start = -1;
  for (let k = 0; k <= intervals.length; k++) {
    const within = k < intervals.length && intervals[k] <= bound;
    if (within && start < 0) start = k;
    if (!within && start >= 0) {
      found.push([start, k]);
      start = -1;
    }
  }
  return found;
}

/**
 * The beat of a stretch: its shorter intervals, or its shortest where that makes more of the others whole beats. Where most beats
 * are missed, few short intervals say little, for a hand scatters: then the stretch as a whole, as so many beats, is asked as well,
 * and the beat by which its intervals are nearest to whole ones is taken.
 */
function beatOf(within: readonly Seconds[], quick: readonly Seconds[]): Seconds {
  const usual = quantile(quick, 0.2);
  const least = Math.min(...quick);
  const offBeat = (beat: Seconds) => within.map((v) => Math.abs(v / beat - Math.round(v / beat)));
  const whole = (beat: Seconds) => offBeat(beat).filter((off) => off <= 0.2).length;
  if (quick.length > FEW_QUICK || quick.length === within.length) return whole(least) > whole(usual) ? least : usual;
  const centre = median(quick);
  const total = within.reduce((sum, interval) => sum + interval, 0);
  const cost = (beat: Seconds) => offBeat(beat).reduce((sum, off) => sum + off * off, 0);
  let best = whole(least) > whole(usual) ? least : usual;
  const [fewest, most] = [total / (centre * NEAR_BEAT), (total / centre) * NEAR_BEAT];
  for (let beats = Math.ceil(fewest); beats <= most; beats++) {
    const beat = total / beats;
    if (whole(beat) >= whole(best) && cost(beat) < cost(best)) best = beat;
  }
  return best;
}

/** With no more short intervals than these the stretch as a whole is asked for its beat, which lies within this ratio of them. */
const FEW_QUICK = 4;
const NEAR_BEAT = 1.15;

interface Run {
  /** Index of its first stroke, and of its first interval. */
  readonly start: number;
  /** Beats that each interval spans. */
  readonly beats: readonly number[];
}

function withoutEdges({ start, beats }: Run): Run {
  const first = beats.findIndex((count) => count === 1);
  const last = beats.findLastIndex((count) => count === 1);
  return first < 0 ? { start, beats: [] } : { start: start + first, beats: beats.slice(first, last + 1) };
}

/** Parts a stretch at intervals that are neither fast nor whole beats, and counts the beats of the rest. */
function runsWithin(intervals: readonly Seconds[], from: number, to: number, limit: Seconds): Run[] {
  const within = intervals.slice(from, to);
  const quick = within.filter((interval) => interval <= limit);
  if (quick.length === 0) return [];
  const shortest = beatOf(within, quick);
  const holed = quick.length < within.length;
  const single = within.map((interval) => interval < 1.4 * shortest);
  const runs: Run[] = [];
  let start = 0;
  let beats: number[] = [];
  const end = (next: number) => {
    if (beats.length) runs.push({ start: from + start, beats });
    beats = [];
    start = next;
  };
  within.forEach((interval, k) => {
    const near = within.filter((_, j) => single[j] && j !== k && Math.abs(j - k) <= NEIGHBOURS);
    const ratio = interval / (near.length && (quick.length > FEW_QUICK || !holed) ? median(near) : shortest);
    const count = Math.max(1, Math.round(ratio));
    const onBeat = count >= 2 && count <= MOST_MISSED + 1 && Math.abs(ratio - count) <= OFF_BEAT;
    if (onBeat) beats.push(count);
    else if (interval <= limit) beats.push(1);
    else end(k + 1);
  });
  end(0);
  return runs;
}
