/**
 * From a group of coarse strokes to a take: every stroke of the note found, timed, measured and placed in a passage.
 */

import { arrivalOffset } from '../signal/arrival.ts';
import { findAttack, learnAttack, type Attack, type Found } from '../signal/attack.ts';
import { isClipped, peakLevel } from '../signal/loudness.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { median, quantile } from '../statistics/order.ts';
import { midiToHertz, type Decibels, type MidiNote, type Seconds } from '../units.ts';
import { assemble, type Empty, type Raw } from './assemble.ts';
import { tellDoubles, withoutEchoes } from './company.ts';
import type { Group } from './grouping.ts';
import { sureOfDouble, sureOfStroke, sureOfWeak } from './confidence.ts';
import { findHidden, type Place } from './hidden.ts';
import { fittedLevels } from './levels.ts';
import type { Doubt, Stroke, Take } from './types.ts';

/** A take with its strokes, and the attack that they were found by. */
export interface HeardTake {
  readonly take: Take;
  readonly strokes: readonly Stroke[];
  readonly attack: Attack | null;
}

/** Region searched before the first and after the last coarse stroke. */
const MARGIN: Seconds = 0.3;
const MARGIN_AFTER: Seconds = 0.8;
/** The match that makes a stroke lies this many deviations over the matches of nothing, within limits. */
const CONTRAST = 3.5;
const LEAST_MATCH = 0.33;
const SURE_MATCH = 0.5;
/** Fainter than this against the take's own strokes is not one of them. */
const LEAST_GAIN: Decibels = -26;
/** The same for a match that is not sure. */
const LEAST_GAIN_UNSURE: Decibels = -16;
/** A match this far under the take's own marks a low fit. */
const LOW_FIT = 0.6;
/** Runner-up over peak from which a slip by a period is possible. */
const AMBIGUOUS = 0.93;
/** The loudest coarse stroke may be the late wave of a bass note, or the contact just before a stroke. */
const LATE_HINT: Seconds = 0.08;
const EARLY_HINT: Seconds = 0.06;
/** Without a template only what is nearly as loud as the loudest counts: a beating tone makes faint starts. */
const PICKED_UNDER: Decibels = 12;

/** Refines one group. `from` and `to` bound the search: other notes' strokes lie beyond. */
export function refineTake(
  pyramid: Pyramid,
  group: Group,
  number: number,
  from: Seconds,
  to: Seconds,
): HeardTake | null {
  const { midi } = group.naming;
  const first = group.hints[0].seconds;
  const last = group.hints[group.hints.length - 1].seconds;
  const attack = group.hints.length >= 3 ? learnAttack(pyramid, midi, group.hints) : null;
  const found = attack ? timed(pyramid, attack, Math.max(from, first - MARGIN), last, to, midi) : NOTHING;
  const holds = attack !== null && findsLoudest(found.raw, group);
  const raw = holds ? found.raw : picked(pyramid, group);
  if (raw.length === 0) return null;
  if (group.doubtful) for (const stroke of raw) stroke.doubt.push('note-uncertain');
  return { ...assemble(pyramid, raw, holds ? found.empty : [], midi, number), attack: holds ? attack : null };
}

/** An attack learned from a beating tone does not find the stroke that began it: then it was none. */
function findsLoudest(found: readonly Raw[], group: Group): boolean {
  const loudest = group.hints.reduce((a, b) => (b.level > a.level ? b : a));
  return found.some(({ seconds }) => seconds > loudest.seconds - LATE_HINT && seconds < loudest.seconds + EARLY_HINT);
}

/** Finds the attack from `from` on, past the last coarse stroke and past every stroke found after it, up to `limit`. */
function findOnwards(pyramid: Pyramid, attack: Attack, from: Seconds, last: Seconds, limit: Seconds): Found[] {
  let end = Math.min(limit, last + MARGIN_AFTER);
  for (;;) {
    const found = findAttack(pyramid, attack, from, end);
    const latest = found.findLast(({ match }) => match >= SURE_MATCH);
    const next = latest ? Math.min(limit, latest.seconds + MARGIN_AFTER) : end;
    if (next <= end + 0.01) return found;
    end = next;
  }
}

interface Timed {
  readonly raw: readonly Raw[];
  /** Beats that stayed empty. */
  readonly empty: readonly Empty[];
}

const NOTHING: Timed = { raw: [], empty: [] };

function timed(pyramid: Pyramid, attack: Attack, from: Seconds, last: Seconds, limit: Seconds, midi: MidiNote): Timed {
  const found = findOnwards(pyramid, attack, from, last, limit);
  if (found.length === 0) return NOTHING;
  const threshold = thresholdOf(found);
  const clear = found.filter(({ match }) => match >= threshold);
  if (clear.length === 0) return NOTHING;
  const usual = quantile(
    clear.map(({ gain }) => gain),
    0.6,
  );
  const told = tellDoubles(
    withoutEchoes(
      clear.filter(({ gain, match }) => gain > usual + (match >= SURE_MATCH ? LEAST_GAIN : LEAST_GAIN_UNSURE)),
    ),
  );
  const seen = (double: boolean) => told.filter((one) => one.double === double).map(({ place }) => place);
  const hidden = findHidden(pyramid, attack, midi, { strokes: seen(false), doubles: seen(true) });
  const full = pyramid.full;
  const cleanest = mostIsolated(hidden.strokes.filter(({ contrast }) => contrast === null));
  const zero =
    arrivalOffset(
      full,
      cleanest.map(({ seconds }) => seconds),
      midiToHertz(midi),
    ) ?? 0;
  const places = [
    ...hidden.strokes.map((place) => ({ place, double: false })),
    ...hidden.doubles.map((place) => ({ place, double: true })),
  ].sort((x, y) => x.place.seconds - y.place.seconds);
  const levels = fittedLevels(
    full,
    midi,
    places.map(({ place }) => ({ onset: place.seconds + zero, gain: place.gain, body: place.body })),
  );
  const usualMatch = median(hidden.strokes.map(({ match }) => match));
  const raw = places.map(({ place, double }, i): Raw => {
    const { seconds, match, runnerUp, timingError, contrast } = place;
    const doubt: Doubt[] = [];
    if (runnerUp > AMBIGUOUS && midi >= 72) doubt.push('period-ambiguous');
    if (match < LOW_FIT * usualMatch) doubt.push('low-fit');
    if (isClipped(full, seconds + zero)) doubt.push('clipped');
    return {
      double,
      error: timingError,
      seconds: seconds + zero,
      level: levels[i],
      confidence:
        contrast === null ? sureOfStroke(match - threshold) : double ? sureOfDouble(contrast) : sureOfWeak(contrast),
      doubt,
    };
  });
  return { raw, empty: hidden.empty.map(({ seconds, contrast }) => ({ seconds: seconds + zero, contrast })) };
}

/** What matches by chance, plus a margin: from all the peaks of the stretch, strokes being the few. */
function thresholdOf(found: readonly Found[]): number {
  const [{ match, contrast }] = found;
  const other = found.find((f) => Math.abs(f.contrast - contrast) > 1e-6);
  if (!other) return LEAST_MATCH;
  const deviation = (other.match - match) / (other.contrast - contrast);
  const centre = match - contrast * deviation;
  return Math.max(LEAST_MATCH, Math.min(SURE_MATCH, centre + CONTRAST * deviation));
}

/** The strokes with most silence before them, up to eight: the cleanest view of the attack. */
function mostIsolated(strokes: readonly Place[]): Place[] {
  return strokes
    .map((stroke, i) => ({ stroke, rest: i > 0 ? stroke.seconds - strokes[i - 1].seconds : 10 }))
    .sort((a, b) => Math.min(b.rest, 0.7) - Math.min(a.rest, 0.7) || b.stroke.match - a.stroke.match)
    .slice(0, Math.max(1, Math.min(8, Math.ceil(strokes.length / 2))))
    .map(({ stroke }) => stroke);
}

/** Without a template: the coarse strokes as they were picked, and said to be so. */
function picked(pyramid: Pyramid, group: Group): Raw[] {
  const loudest = Math.max(...group.hints.map(({ level }) => level));
  return group.hints
    .filter(({ level }) => level > loudest - PICKED_UNDER)
    .map((hint) => {
      const offset = arrivalOffset(pyramid.full, [hint.seconds], midiToHertz(group.naming.midi));
      const seconds = Math.max(0, hint.seconds + (offset ?? 0));
      return {
        double: false,
        error: null,
        seconds,
        level: peakLevel(pyramid.full, hint.seconds),
        confidence: 0.6,
        doubt: ['no-template'] as Doubt[],
      };
    });
}
