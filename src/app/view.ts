/** Which stretch of the recording is in view, and how it moves. Times in seconds. */

import type { Seconds } from '../units.ts';

export interface View {
  readonly from: Seconds;
  readonly to: Seconds;
}

/** The closest view: one stroke's attack fills it. */
export const CLOSEST: Seconds = 0.05;

/** The whole recording. */
export function wholeOf(duration: Seconds): View {
  return { from: 0, to: Math.max(duration, CLOSEST) };
}

/** The view made `factor` times as long about its middle, kept within the recording. */
export function zoomed(view: View, factor: number, duration: Seconds): View {
  const whole = wholeOf(duration).to;
  const span = Math.min(whole, Math.max(CLOSEST, (view.to - view.from) * factor));
  const from = (view.from + view.to - span) / 2;
  return within({ from, to: from + span }, whole);
}

/** The view moved by `share` of its own length, kept within the recording. */
export function moved(view: View, share: number, duration: Seconds): View {
  const by = (view.to - view.from) * share;
  return within({ from: view.from + by, to: view.to + by }, wholeOf(duration).to);
}

function within({ from, to }: View, whole: Seconds): View {
  const start = Math.min(Math.max(0, from), Math.max(0, whole - (to - from)));
  return { from: start, to: start + (to - from) };
}

/** Round times for the axis: steps of 1, 2 or 5 times a power of ten, at most `most` of them. */
export function axisTimes({ from, to }: View, most: number): { readonly times: Seconds[]; readonly decimals: number } {
  const least = (to - from) / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(least));
  const step = [1, 2, 5, 10].map((n) => n * power).find((size) => size >= least * (1 - 1e-9))!;
  const times: Seconds[] = [];
  // Adding 0 makes a plain zero of a negative one.
  for (let i = Math.ceil(from / step - 1e-9) + 0; i * step <= to + step * 1e-9; i++) times.push(i * step);
  return { times, decimals: Math.max(0, -Math.floor(Math.log10(step) + 1e-9)) };
}
