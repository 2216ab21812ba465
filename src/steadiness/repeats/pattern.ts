/**
 * How a note's failed repeats lie: each pattern has its own first check.
 */

import { jeffreysGreater } from '../../statistics/proportions.ts';
import type { RepeatPattern } from '../kinds.ts';
import type { RepeatCounts, RepeatPassage } from './counts.ts';

/** A pattern of every second stroke is told from so many failures on. */
const LEAST_ALTERNATING = 4;
const ALTERNATING_TAIL = 0.02;
/** So many in a row to the passage's end, or two passages that end so, are "until the key is let up". */
const LONG_END = 4;
const SHORT_END = 2;
const SURE = 0.975;

/** The pattern of the failures; null where nothing failed. */
export function patternOf(counts: RepeatCounts): RepeatPattern | null {
  const failures = counts.steady.faint + counts.quick.faint;
  const damped = counts.dampedSteady.failed + counts.dampedQuick.failed;
  if (damped >= 2 && damped * 2 >= failures) return 'after-damped';
  if (failures === 0) return null;
  if (failures === 1) return 'lone';
  if (isEverySecond(counts.passages)) return 'every-second';
  if (isUntilReturn(counts.passages)) return 'until-return';
  const { steady, quick } = counts;
  const faster = steady.n > 0 && quick.n > 0 && jeffreysGreater(quick.faint, quick.n, steady.faint, steady.n) > SURE;
  return faster ? 'rate' : 'scattered';
}

/**
 * Whether failures lie on every second repeat more than chance puts them there: given how many of a passage's repeats failed, each
 * placing is as likely; the chance that at least so many lie on repeats of one parity, both parities tried.
 */
function isEverySecond(passages: readonly RepeatPassage[]): boolean {
  let [total, same] = [0, 0];
  // Distribution of how many of all failures lie on the fuller parity of their passage, exact, by convolution.
  let chances = [1];
  for (const { failed } of passages) {
    const n = failed.length;
    const count = failed.filter(Boolean).length;
    if (count === 0) continue;
    const odd = failed.filter((one, i) => one && i % 2 === 0).length;
    total += count;
    same += Math.max(odd, count - odd);
    chances = convolved(chances, fullerParity(n, count));
  }
  if (total < LEAST_ALTERNATING) return false;
  const tail = chances.slice(same).reduce((sum, v) => sum + v, 0);
  return tail <= ALTERNATING_TAIL && same >= 0.8 * total;
}

/** Chance that the fuller parity holds k of `count` failures placed at random among n repeats, by k. */
function fullerParity(n: number, count: number): number[] {
  const odd = Math.ceil(n / 2);
  const chances: number[] = Array(count + 1).fill(0);
  const all = choose(n, count);
  for (let k = 0; k <= count; k++) {
    const ways = choose(odd, k) * choose(n - odd, count - k);
    if (ways > 0) chances[Math.max(k, count - k)] += ways / all;
  }
  return chances;
}

function choose(n: number, k: number): number {
  if (k < 0 || k > n) return 0;
  let ways = 1;
  for (let i = 0; i < k; i++) ways = (ways * (n - i)) / (i + 1);
  return ways;
}

function convolved(a: readonly number[], b: readonly number[]): number[] {
  const sum: number[] = Array(a.length + b.length - 1).fill(0);
  a.forEach((x, i) => b.forEach((y, j) => (sum[i + j] += x * y)));
  return sum;
}

/** From a failure on silent to the passage's end: long once, or short in two passages. */
function isUntilReturn(passages: readonly RepeatPassage[]): boolean {
  const ends = passages.map(({ silent }) => {
    const sounded = silent.lastIndexOf(false);
    const end = silent.length - 1 - sounded;
    // Nothing may have failed before that end: then failures are scattered and one happened to be last.
    return silent.slice(0, Math.max(0, sounded)).includes(true) ? 0 : end;
  });
  return ends.some((end) => end >= LONG_END) || ends.filter((end) => end >= SHORT_END).length >= 2;
}
