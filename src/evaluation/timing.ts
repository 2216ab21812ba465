/**
 * Errors of onset times within a note.
 *
 * Purpose: how well one note's strokes are timed against each other. An onset as heard is the hammer's contact plus a
 * constant of the note (and of the way it is defined), so one constant per group, the median of its errors, is taken
 * out; what remains is repeatability, not trueness.
 * Conventions: seconds; error = estimate - reference. A stroke without an estimate is an infinite error. A group is
 * what shares one constant: a note, or a note and one recorded stroke of it.
 */

import type { Seconds } from '../units.ts';
import { distribution, median, type Distribution } from './distribution.ts';

/** Errors above this are slips: a jump by a period, or a mis-pick, not noise. */
export const SLIP_SECONDS: Seconds = 0.0003;

/** With fewer strokes found, the constant would swallow the errors. */
export const FEWEST_IN_GROUP = 3;

/** One stroke: where it was, and where it was said to be. */
export interface TimedStroke {
  readonly group: string;
  readonly referenceSeconds: Seconds;
  /** `null`: the stroke was not found, or no time was given. */
  readonly estimateSeconds: Seconds | null;
  /** The estimator itself doubted this time. */
  readonly marked: boolean;
}

/** Timing errors of a set of strokes after one constant per group. */
export interface TimingErrors {
  /** Of |error|, seconds; strokes not found are infinite. */
  readonly absolute: Distribution;
  /** Of |error| over the strokes that the estimator did not mark; `null` if it marked all. */
  readonly unmarked: Distribution | null;
  readonly strokes: number;
  readonly missed: number;
  /** Found, and off by more than the slip limit. */
  readonly slips: number;
  /** Slips that the estimator did not mark: the dangerous ones. */
  readonly unmarkedSlips: number;
  readonly marked: number;
  /** (slips + missed) / strokes. */
  readonly slipShare: number;
  /** marked / found; `null` if none was found. */
  readonly markedShare: number | null;
  /** The constant taken out of each group; `null` where too few strokes were found to have one. */
  readonly constants: ReadonlyMap<string, Seconds | null>;
}

/**
 * Timing errors with one constant per group removed.
 *
 * A group in which fewer than {@link FEWEST_IN_GROUP} strokes were found has no constant, and all of its strokes count
 * as missed: two strokes would share their error between them and look better than they are.
 * @throws RangeError if there are no strokes, a group has fewer than {@link FEWEST_IN_GROUP} of them, or a time is
 * not finite.
 */
export function timingErrors(strokes: readonly TimedStroke[], slipSeconds: Seconds = SLIP_SECONDS): TimingErrors {
  if (strokes.length === 0) throw new RangeError('no strokes to judge; expected at least one group of strokes');
  const groups = new Map<string, TimedStroke[]>();
  strokes.forEach((stroke, i) => {
    const { group, referenceSeconds, estimateSeconds } = stroke;
    if (!Number.isFinite(referenceSeconds)) {
      throw new RangeError(`reference time of stroke ${i} is ${referenceSeconds}; expected seconds`);
    }
    if (estimateSeconds !== null && !Number.isFinite(estimateSeconds)) {
      throw new RangeError(`estimate of stroke ${i} is ${estimateSeconds}; expected seconds, or null if it has none`);
    }
    const members = groups.get(group);
    if (members) members.push(stroke);
    else groups.set(group, [stroke]);
  });

  const constants = new Map<string, Seconds | null>();
  const all: number[] = [];
  const unmarked: number[] = [];
  let missed = 0;
  let slips = 0;
  let unmarkedSlips = 0;
  let marked = 0;
  for (const [group, members] of groups) {
    if (members.length < FEWEST_IN_GROUP) {
      throw new RangeError(
        `group "${group}" has ${members.length} strokes; expected at least ${FEWEST_IN_GROUP}, or its constant would hide its errors`,
      );
    }
    const errors = members.map(({ referenceSeconds, estimateSeconds }) =>
      estimateSeconds === null ? null : estimateSeconds - referenceSeconds,
    );
    const found = errors.filter((error) => error !== null);
    const constant = found.length < FEWEST_IN_GROUP ? null : median(found);
    constants.set(group, constant);
    members.forEach((member, i) => {
      const error = errors[i];
      if (error === null || constant === null) {
        missed++;
        all.push(Infinity);
        unmarked.push(Infinity);
        return;
      }
      const size = Math.abs(error - constant);
      all.push(size);
      if (size > slipSeconds) slips++;
      if (member.marked) {
        marked++;
      } else {
        unmarked.push(size);
        if (size > slipSeconds) unmarkedSlips++;
      }
    });
  }
  const found = strokes.length - missed;
  return {
    absolute: distribution(all),
    unmarked: unmarked.length === 0 ? null : distribution(unmarked),
    strokes: strokes.length,
    missed,
    slips,
    unmarkedSlips,
    marked,
    slipShare: (slips + missed) / strokes.length,
    markedShare: found === 0 ? null : marked / found,
    constants,
  };
}
