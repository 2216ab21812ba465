/**
 * Thresholds of one recording for what may be a contact: what windows show in which there can be none, but no less than
 * the usual ones, which are those that noise of real rooms passes 2 times in 100.
 */

import { quantile } from '../statistics/order.ts';
import type { Seconds } from '../units.ts';
import { ALONE_FROM, CLICK_OVER, CLICK_OVER_FAST, THUMP_OVER, WHITENED_OVER } from '../signal/contactChoice.ts';
import { type ContactEvidence, type ContactKind, type ContactListener } from './contactEvidence.ts';
import type { HeardTake } from './takes.ts';

/** Control windows end so long before an onset, and are so long; they want a rest of at least so much. */
const CONTROL_BEFORE: Seconds = 0.2;
const CONTROL_WINDOW: Seconds = 0.12;
const CONTROL_REST: Seconds = 0.8;
const LEAST_CONTROLS = 8;
/** So many, spread over the recording, say enough. */
const MOST_CONTROLS = 24;
const CONTROL_SHARE = 0.95;
const CONTROL_MARGIN = 1.2;

export type Thresholds = Readonly<Record<ContactKind, number>>;

/** Threshold for a candidate of a stroke that comes `rest` seconds after the one before. */
export function thresholdFor(kind: ContactKind, rest: Seconds, thresholds: Thresholds): number {
  return thresholds[kind] * (kind === 'click' && rest < ALONE_FROM ? CLICK_OVER_FAST / CLICK_OVER : 1);
}

/** Usual thresholds. */
export const USUAL: Thresholds = { click: CLICK_OVER, thump: THUMP_OVER, 'whitened-thump': WHITENED_OVER };

/** What a recording asks. */
export interface Asked {
  readonly thresholds: Thresholds;
  /** What passes the usual thresholds where no contact can be. */
  readonly chance: Chance;
}

/** Candidates that stood where no contact can be. */
export interface Chance {
  /** Their evidence in units of the usual thresholds, of those that pass them. */
  readonly strengths: readonly number[];
  /** How long was looked. */
  readonly seconds: Seconds;
}

/** Candidates as strong as this that stand in `width` seconds by chance, in this recording. */
export function expectedByChance({ strengths, seconds }: Chance, strength: number, width: Seconds): number {
  const stronger = strengths.reduce((count, other) => count + (other >= strength ? 1 : 0), 0);
  return seconds > 0 ? (stronger * width) / seconds : 0;
}

/** What this recording asks. `restOf` says how long before an onset nothing was struck. */
export function askedOf(
  listener: ContactListener,
  takes: readonly HeardTake[],
  restOf: (onset: Seconds) => Seconds,
): Asked {
  const places = takes.flatMap(({ strokes }) =>
    strokes.flatMap(({ onsetSeconds, passage }) => {
      if (onsetSeconds === null || passage === 'fast' || restOf(onsetSeconds) < CONTROL_REST) return [];
      return [{ at: onsetSeconds - CONTROL_BEFORE, rest: restOf(onsetSeconds) - CONTROL_BEFORE }];
    }),
  );
  const every = Math.max(1, places.length / MOST_CONTROLS);
  const chosen = places.filter((_, i) => Math.floor(i / every) !== Math.floor((i - 1) / every));
  const controls = chosen.flatMap(({ at, rest }): ContactEvidence[] => {
    const evidence = listener.before(at, rest, CONTROL_WINDOW);
    return evidence ? [evidence] : [];
  });
  const over = (kind: ContactKind, least: number): number => {
    if (controls.length < LEAST_CONTROLS) return least;
    const highest = controls.map(({ candidates }) =>
      Math.max(0, ...candidates.filter((candidate) => candidate.kind === kind).map(({ score }) => score)),
    );
    return Math.max(least, CONTROL_MARGIN * quantile(highest, CONTROL_SHARE));
  };
  const thresholds = {
    click: over('click', CLICK_OVER),
    thump: over('thump', THUMP_OVER),
    'whitened-thump': over('whitened-thump', WHITENED_OVER),
  };
  const strengths = controls.flatMap(({ candidates }) => candidates.map(({ kind, score }) => score / USUAL[kind]));
  const passing = strengths.filter((strength) => strength >= 1);
  return { thresholds, chance: { strengths: passing, seconds: CONTROL_WINDOW * controls.length } };
}
