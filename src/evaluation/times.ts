/**
 * Lists of times as they come in from outside: checked, with a guess at what went wrong.
 *
 * Conventions: seconds from the start of a recording, ascending, finite, not negative. The habit of guessing the
 * user's mistake is that of mir_eval (Raffel et al., ISMIR 2014).
 */

import type { Seconds } from '../units.ts';

/** No recording of strokes is longer than this: eight hours, a working day. */
export const LONGEST_RECORDING: Seconds = 8 * 3600;

/** Spans that differ by about such a factor are the same times in another unit. */
const OTHER_UNITS = [
  { factor: 1000, unit: 'milliseconds' },
  { factor: 44100, unit: 'frames at 44100 Hz' },
  { factor: 48000, unit: 'frames at 48000 Hz' },
  { factor: 96000, unit: 'frames at 96000 Hz' },
] as const;

/**
 * Refuses a list that cannot be times of strokes in seconds.
 * @param name what the list is, for the message: "reference", "estimate".
 * @throws RangeError naming the list, the place in it, what was found and what was expected.
 */
export function checkTimes(name: string, times: readonly Seconds[]): void {
  for (let i = 0; i < times.length; i++) {
    const time = times[i];
    if (Number.isNaN(time)) {
      throw new RangeError(
        `${name} time ${i} is NaN; expected seconds. A stroke without a time is left out of the list`,
      );
    }
    if (!Number.isFinite(time)) throw new RangeError(`${name} time ${i} is ${time}; expected seconds`);
    if (time < 0) {
      throw new RangeError(`${name} time ${i} is ${time} s; expected seconds from the start of the recording, from 0`);
    }
    if (i > 0 && time < times[i - 1]) {
      throw new RangeError(
        `${name} time ${i} is ${time} s, after ${times[i - 1]} s; expected ascending times. Sort the strokes first`,
      );
    }
  }
  const last = times.at(-1) ?? 0;
  if (last > LONGEST_RECORDING) {
    const guess = times.every(Number.isInteger) && last > 1e6 ? 'frames' : 'milliseconds';
    throw new RangeError(`${name} times run to ${last} s, longer than a working day; they look like ${guess}`);
  }
}

/**
 * {@link checkTimes} on both lists, and a look whether one of them is in another unit than the other: the last times
 * of two accounts of one recording do not differ a thousandfold.
 * @throws RangeError as {@link checkTimes}, or naming the list that looks like milliseconds or frames.
 */
export function checkPairOfTimes(reference: readonly Seconds[], estimate: readonly Seconds[]): void {
  checkTimes('reference', reference);
  checkTimes('estimate', estimate);
  if (reference.length < 2 || estimate.length < 2) return;
  const lasts = [reference.at(-1)!, estimate.at(-1)!];
  for (const [larger, smaller, name] of [
    [lasts[0], lasts[1], 'reference'],
    [lasts[1], lasts[0], 'estimate'],
  ] as const) {
    const found = OTHER_UNITS.find(({ factor }) => smaller > 0 && Math.abs(larger / smaller / factor - 1) < 0.02);
    if (found) {
      throw new RangeError(
        `${name} times end at ${larger}, the other list at ${smaller}; the ${name} times look like ${found.unit}, expected seconds`,
      );
    }
  }
}
