/**
 * The strokes that hide: weak re-strikes at beats that seemed empty, and doubles under the tone of their stroke.
 *
 * Conventions: times are those of the template's zero, ascending.
 */

import type { Attack, Found } from '../signal/attack.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { median } from '../statistics/order.ts';
import { midiToHertz, type Decibels, type MidiNote, type Seconds } from '../units.ts';
import type { Empty } from './assemble.ts';
import { DOUBLE_UNDER } from './company.ts';
import { passagesOf, type Passages } from './passages.ts';
import { DOUBLE_FROM, DOUBLE_SHARE, DOUBLE_TO, underTones, type Under, type UnderTones } from './underTones.ts';

/** A stroke or second contact; `contrast` where it was found under a tone, else `null`. */
export interface Place extends Pick<Found, 'seconds' | 'match' | 'gain' | 'runnerUp' | 'timingError'> {
  readonly contrast: number | null;
  /** Scale of the tone's body, below its third partial; `null` where it is not known. */
  readonly body: Decibels | null;
}

/** A place as the search for the attack gives it. */
export type Seen = Omit<Place, 'contrast' | 'body'>;

/** What findHidden gives back. */
export interface Hidden {
  readonly strokes: readonly Place[];
  readonly doubles: readonly Place[];
  readonly empty: readonly Empty[];
}

/** From so much contrast on a place under a tone is a double; at a beat where a stroke is due less is asked. */
export const DOUBLE_CONTRAST = 3;
export const WEAK_CONTRAST = 2;
/** A weak re-strike may be so far from its beat, in beats. */
const OFF_BEAT = 0.25;
/** How far from half-way, in intervals, how many and what share of the intervals make doubles the strokes of a faster passage. */
const OFF_HALF = 0.13;
const LEAST_BETWEEN = 3;
const SHARE_BETWEEN = 0.7;
/** A place so near a double that is known already is the same one. */
const SAME: Seconds = 0.012;
/** So many at distances so near each other are not the hammer's. */
const FELLOWS = 3;
const FELLOW_SPREAD: Seconds = 0.0006;
/** Neighbouring intervals that say how fast the beat is. */
const NEIGHBOURS = 4;

/** Looks for what hides. `strokes` are told from `doubles` already; both come back complete, with what was found. */
export function findHidden(
  pyramid: Pyramid,
  attack: Attack,
  midi: MidiNote,
  seen: { readonly strokes: readonly Seen[]; readonly doubles: readonly Seen[] },
): Hidden {
  const open = (place: Seen): Place => ({ ...place, contrast: null, body: null });
  const strokes = seen.strokes.map(open);
  const doubles = seen.doubles.map(open);
  const found = findOnce(pyramid, attack, midi, strokes, doubles);
  const between = halfBeats(found);
  if (between.size === 0) return found;
  const more = [...found.strokes, ...between].sort((a, b) => a.seconds - b.seconds);
  return findOnce(
    pyramid,
    attack,
    midi,
    more,
    doubles.filter((double) => !between.has(double)),
    true,
  );
}

/**
 * Doubles that are strokes: where every second stroke of a fast passage is soft and was not seen, the passage seems half as
 * fast, and what is found half-way between its strokes again and again is the rest of it.
 */
function halfBeats({ strokes, doubles }: Hidden): Set<Place> {
  const { passages } = passagesOf(strokes.map(({ seconds }) => seconds));
  const between = new Set<Place>();
  let intervals = 0;
  for (let i = 0; i + 1 < strokes.length; i++) {
    const interval = strokes[i + 1].seconds - strokes[i].seconds;
    if (passages[i] !== 'fast' || passages[i + 1] !== 'fast') continue;
    intervals++;
    for (const double of doubles) {
      const share = (double.seconds - strokes[i].seconds) / interval;
      if (Math.abs(share - 0.5) <= OFF_HALF) between.add(double);
    }
  }
  return between.size >= LEAST_BETWEEN && between.size >= SHARE_BETWEEN * intervals ? between : new Set();
}

function findOnce(
  pyramid: Pyramid,
  attack: Attack,
  midi: MidiNote,
  strokes: readonly Place[],
  doubles: readonly Place[],
  alternating = false,
): Hidden {
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
    midiToHertz(midi),
  );
  const plain = passages.missing.map(({ seconds }) => ({ seconds, contrast: null }));
  if (!under) return { strokes: [...strokes], doubles: [...doubles], empty: plain };

  const { weak, empty } = atBeats(strokes, passages, under);
  if (alternating) weak.push(...atEnds(strokes, passages, under));
  const all = [...strokes, ...weak].sort((a, b) => a.seconds - b.seconds);
  const due = [...all, ...empty].map(({ seconds }) => seconds).sort((a, b) => a - b);
  const seconds: { place: Place; lag: Seconds }[] = [];
  strokes.forEach((stroke, i) => {
    const to = Math.min(DOUBLE_TO, DOUBLE_SHARE * beatAfter(stroke.seconds, due, passages.passages[i] === 'fast'));
    const known = doubles.some((d) => d.seconds > stroke.seconds && d.seconds <= stroke.seconds + to + SAME);
    if (known || to <= DOUBLE_FROM) return;
    const best = under.best(i, DOUBLE_FROM, to);
    if (best && best.contrast >= DOUBLE_CONTRAST && best.gain <= stroke.gain - DOUBLE_UNDER) {
      seconds.push({ place: placeOf(best), lag: best.seconds - stroke.seconds });
    }
  });
  const second = [...doubles, ...withoutFellows(seconds)].sort((a, b) => a.seconds - b.seconds);
  const withBody = (place: Place): Place => ({ ...place, body: under.body(place.seconds) });
  return { strokes: all.map(withBody), doubles: second.map(withBody), empty };
}

/** Drops what stands at one and the same distance after several strokes: the room's, or the tone's own. */
function withoutFellows(found: readonly { readonly place: Place; readonly lag: Seconds }[]): Place[] {
  return found
    .filter(({ lag }) => found.filter((other) => Math.abs(other.lag - lag) <= FELLOW_SPREAD).length < FELLOWS)
    .map(({ place }) => place);
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

/** Looks one beat past the end of every fast passage, where every second stroke is soft: so may its last be. */
function atEnds(strokes: readonly Place[], { passages }: Passages, under: UnderTones): Place[] {
  return strokes.flatMap(({ seconds }, i) => {
    if (passages[i] !== 'fast' || passages[i - 1] !== 'fast' || passages[i - 2] !== 'fast') return [];
    const beat = Math.min(seconds - strokes[i - 1].seconds, strokes[i - 1].seconds - strokes[i - 2].seconds);
    if (i + 1 < strokes.length && strokes[i + 1].seconds - seconds < 2 * beat) return [];
    const best = under.best(i, (1 - OFF_BEAT) * beat, (1 + OFF_BEAT) * beat);
    return best && best.contrast >= WEAK_CONTRAST ? [placeOf(best)] : [];
  });
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
  return { seconds, match, gain, runnerUp: 0, timingError, contrast, body: null };
}
