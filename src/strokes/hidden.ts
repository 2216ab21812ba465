/**
 * The strokes that hide: weak re-strikes at beats that seemed empty, and doubles under the tone of their stroke.
 *
 * Conventions: times are those of the template's zero, ascending.
 */

import type { Attack, Found } from '../signal/attack.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { median } from '../statistics/order.ts';
import type { Seconds } from '../units.ts';
import { passagesOf, type Passages } from './passages.ts';
import { DOUBLE_FROM, DOUBLE_SHARE, DOUBLE_TO, underTones, type Under, type UnderTones } from './underTones.ts';

/** A stroke or second contact; `contrast` where it was found under a tone, else `null`. */
export interface Place extends Pick<Found, 'seconds' | 'match' | 'gain' | 'runnerUp' | 'timingError'> {
  readonly contrast: number | null;
}

/** A beat that stayed empty, and how much there was to be seen: the contrast of the best place near it. */
export interface Empty {
  readonly seconds: Seconds;
  readonly contrast: number | null;
}

/** From so much contrast on a place under a tone is a double; at a beat where a stroke is due less is asked. */
export const DOUBLE_CONTRAST = 3;
export const WEAK_CONTRAST = 2.5;
/** A weak re-strike may be so far from its beat, in beats. */
const OFF_BEAT = 0.25;
/** A place so near a double that is known already is the same one. */
const SAME: Seconds = 0.012;
/** Neighbouring intervals that say how fast the beat is. */
const NEIGHBOURS = 4;

/** Looks for what hides. `strokes` are told from `doubles` already; both come back complete, with what was found. */
export function findHidden(
  pyramid: Pyramid,
  attack: Attack,
  strokes: readonly Place[],
  doubles: readonly Place[],
): { strokes: Place[]; doubles: Place[]; empty: Empty[] } {
  const passages = passagesOf(strokes.map(({ seconds }) => seconds));
  const whole = strokes.map(({ seconds, gain }, i) => ({
    seconds,
    gain,
    until: i + 1 < strokes.length ? strokes[i + 1].seconds - seconds : 1,
  }));
  const under = underTones(
    pyramid,
    attack,
    whole,
    passages.passages.map((passage) => passage === 'slow'),
  );
  const plain = passages.missing.map(({ seconds }) => ({ seconds, contrast: null }));
  if (!under) return { strokes: [...strokes], doubles: [...doubles], empty: plain };

  const { weak, empty } = atBeats(strokes, passages, under);
  const all = [...strokes, ...weak].sort((a, b) => a.seconds - b.seconds);
  const due = [...all, ...empty].map(({ seconds }) => seconds).sort((a, b) => a - b);
  const seconds = [...doubles];
  strokes.forEach((stroke, i) => {
    const to = Math.min(DOUBLE_TO, DOUBLE_SHARE * beatAfter(stroke.seconds, due, passages.passages[i] === 'fast'));
    const known = doubles.some((d) => d.seconds > stroke.seconds && d.seconds <= stroke.seconds + to + SAME);
    if (known || to <= DOUBLE_FROM) return;
    const best = under.best(i, DOUBLE_FROM, to);
    if (best && best.contrast >= DOUBLE_CONTRAST) seconds.push(placeOf(best));
  });
  return { strokes: all, doubles: seconds.sort((a, b) => a.seconds - b.seconds), empty };
}

/** Looks at every beat that seemed empty. */
function atBeats(
  strokes: readonly Place[],
  { missing }: Passages,
  under: UnderTones,
): { weak: Place[]; empty: Empty[] } {
  const weak: Place[] = [];
  const empty: Empty[] = [];
  for (const { seconds, after } of missing) {
    const holes = missing.filter((beat) => beat.after === after).length;
    const reach = (OFF_BEAT * (strokes[after + 1].seconds - strokes[after].seconds)) / (holes + 1);
    const lag = seconds - strokes[after].seconds;
    const best = under.best(after, lag - reach, lag + reach);
    if (best && best.contrast >= WEAK_CONTRAST) weak.push(placeOf(best));
    else empty.push({ seconds, contrast: best ? best.contrast : null });
  }
  return { weak, empty };
}

/** Time from a stroke to the next that is due; in a fast passage no more than its usual beat there. */
function beatAfter(at: Seconds, due: readonly Seconds[], fast: boolean): Seconds {
  const i = due.indexOf(at);
  const next = i + 1 < due.length ? due[i + 1] - at : Infinity;
  if (!fast) return next;
  const near = due.slice(Math.max(0, i - NEIGHBOURS), i + NEIGHBOURS + 2);
  const intervals = near.slice(1).map((time, k) => time - near[k]);
  return intervals.length ? Math.min(next, median(intervals)) : next;
}

function placeOf({ seconds, match, gain, timingError, contrast }: Under): Place {
  return { seconds, match, gain, runnerUp: 0, timingError, contrast };
}
