/**
 * Matching of estimated times to reference times, one to one.
 *
 * Purpose: which estimate belongs to which stroke, before anything is said about errors. Of all one-to-one matchings
 * within the tolerance, the one with the most pairs, and among those the one with the least total distance.
 * Conventions: seconds, ascending; the tolerance is a closed interval, |estimate - reference| <= tolerance.
 * Sources: maximum-cardinality matching as in mir_eval (Raffel et al., ISMIR 2014), which solves it on a bipartite
 * graph and leaves the choice among equals open. On a line an exchange argument shows that some best matching keeps
 * the order of both lists, so a shortest-path recursion over the two lists (as in sequence alignment, Needleman &
 * Wunsch 1970) finds it exactly.
 */

import type { Seconds } from '../units.ts';
import { checkPairOfTimes } from './times.ts';

/** One matched pair, as indices into the two lists. */
export interface MatchedPair {
  readonly reference: number;
  readonly estimate: number;
}

/** What was found and what was not: counts, and the three usual shares of them. */
export interface Retrieval {
  readonly hits: number;
  /** References without an estimate. */
  readonly misses: number;
  /** Estimates without a reference. */
  readonly extras: number;
  /** hits / estimates; `null` where nothing was estimated. */
  readonly precision: number | null;
  /** hits / references; `null` where there was nothing to find. */
  readonly recall: number | null;
  /** 2·hits / (2·hits + misses + extras), the harmonic mean of the two; `null` where both lists are empty. */
  readonly fMeasure: number | null;
}

/** A matching and its score. */
export interface OnsetMatching extends Retrieval {
  /** Ascending in both indices. */
  readonly pairs: readonly MatchedPair[];
  /** Indices of references that no estimate was matched to. */
  readonly missed: readonly number[];
  /** Indices of estimates that were matched to no reference. */
  readonly extra: readonly number[];
}

/** Retrieval of counted hits, misses and extras. */
export function retrieval(hits: number, misses: number, extras: number): Retrieval {
  const ratio = (part: number, whole: number): number | null => (whole === 0 ? null : part / whole);
  return {
    hits,
    misses,
    extras,
    precision: ratio(hits, hits + extras),
    recall: ratio(hits, hits + misses),
    fMeasure: ratio(2 * hits, 2 * hits + misses + extras),
  };
}

/** Retrieval of several recordings counted together. */
export function pooledRetrieval(parts: readonly Retrieval[]): Retrieval {
  let hits = 0;
  let misses = 0;
  let extras = 0;
  for (const part of parts) {
    hits += part.hits;
    misses += part.misses;
    extras += part.extras;
  }
  return retrieval(hits, misses, extras);
}

/** One row of the recursion: best matchings of the references so far with the first `from`..`from + count.length - 1` estimates. */
interface Row {
  readonly from: number;
  readonly count: Int32Array;
  readonly distance: Float64Array;
}

/**
 * Matches estimated onsets to reference onsets within a tolerance, one to one: most pairs first, then least total
 * distance. Time and memory grow with the number of pairs within the tolerance, not with the product of the lists.
 * @param reference true times, seconds, ascending.
 * @param estimate estimated times, seconds, ascending.
 * @param toleranceSeconds largest distance of a pair, 0 or more.
 * @throws RangeError if a list is no list of times in seconds, or the tolerance is negative or not finite.
 */
export function matchOnsets(
  reference: readonly Seconds[],
  estimate: readonly Seconds[],
  toleranceSeconds: Seconds,
): OnsetMatching {
  checkPairOfTimes(reference, estimate);
  if (!(toleranceSeconds >= 0 && Number.isFinite(toleranceSeconds))) {
    throw new RangeError(`tolerance ${toleranceSeconds} s; expected 0 or more, for instance 0.01`);
  }
  if (toleranceSeconds >= 5) {
    throw new RangeError(`tolerance ${toleranceSeconds} s is longer than any stroke; it looks like milliseconds`);
  }

  const rows: Row[] = [{ from: 0, count: new Int32Array(1), distance: new Float64Array(1) }];
  let from = 0;
  let to = 0;
  for (const time of reference) {
    while (from < estimate.length && estimate[from] < time - toleranceSeconds) from++;
    to = Math.max(to, from);
    while (to < estimate.length && estimate[to] <= time + toleranceSeconds) to++;
    rows.push(nextRow(rows.at(-1)!, time, estimate, from, to));
  }

  const pairs: MatchedPair[] = [];
  let prefix = estimate.length;
  for (let r = reference.length; r > 0; r--) {
    const row = rows[r];
    prefix = Math.min(prefix, row.from + row.count.length - 1);
    while (prefix > row.from && same(row, prefix, row, prefix - 1)) prefix--;
    if (same(row, prefix, rows[r - 1], prefix)) continue;
    prefix--;
    pairs.push({ reference: r - 1, estimate: prefix });
  }
  pairs.reverse();

  const matchedReference = new Set(pairs.map((pair) => pair.reference));
  const matchedEstimate = new Set(pairs.map((pair) => pair.estimate));
  const missed = [...reference.keys()].filter((i) => !matchedReference.has(i));
  const extra = [...estimate.keys()].filter((i) => !matchedEstimate.has(i));
  return { pairs, missed, extra, ...retrieval(pairs.length, missed.length, extra.length) };
}

/** The recursion, one reference further: leave it out, leave the last estimate out, or pair the two. */
function nextRow(before: Row, time: Seconds, estimate: readonly Seconds[], from: number, to: number): Row {
  const count = new Int32Array(to - from + 1);
  const distance = new Float64Array(to - from + 1);
  for (let j = 0; j < count.length; j++) {
    const above = at(before, from + j);
    count[j] = before.count[above];
    distance[j] = before.distance[above];
    if (j === 0) continue;
    if (better(count[j - 1], distance[j - 1], count[j], distance[j])) {
      count[j] = count[j - 1];
      distance[j] = distance[j - 1];
    }
    const diagonal = at(before, from + j - 1);
    const pairCount = before.count[diagonal] + 1;
    const pairDistance = before.distance[diagonal] + Math.abs(estimate[from + j - 1] - time);
    if (better(pairCount, pairDistance, count[j], distance[j])) {
      count[j] = pairCount;
      distance[j] = pairDistance;
    }
  }
  return { from, count, distance };
}

/** Place in a row of the first `prefix` estimates: later ones are out of every earlier reference's reach. */
function at(row: Row, prefix: number): number {
  return Math.min(prefix - row.from, row.count.length - 1);
}

function better(countA: number, distanceA: number, countB: number, distanceB: number): boolean {
  return countA > countB || (countA === countB && distanceA < distanceB);
}

function same(a: Row, prefixA: number, b: Row, prefixB: number): boolean {
  if (prefixA < a.from || prefixB < b.from) return false;
  const i = at(a, prefixA);
  const j = at(b, prefixB);
  return a.count[i] === b.count[j] && a.distance[i] === b.distance[j];
}
