/**
 * The tone between two strokes: did it ring on, or did the damper fall upon it?
 *
 * The free decay is a straight line in decibels through the note's slow strokes, from 60 ms after the onset until well
 * before their release. What should still sound just before a re-strike is the stroke before, decayed, and what rang
 * before that one, decayed too; what is missing of it is the gap. Only strokes over which the room's noise does not lie
 * are judged: a tone that sank into the noise says nothing.
 */

import type { Layer } from '../signal/pyramid.ts';
import { median, quantile } from '../statistics/order.ts';
import { powerToDecibels, type Decibels, type Seconds } from '../units.ts';

/** From so much beyond the free decay on a gap is damped (model study of repeated strokes, section 5). */
export const DAMPED_FROM: Decibels = 6;

/** A gap before a stroke; both `null` where it cannot be known. */
export interface Gap {
  readonly damped: boolean | null;
  /** How far the tone fell beyond its free decay, dB; about 0 where it rang on. */
  readonly gapDb: Decibels | null;
}

/** A stroke as it is needed here. */
export interface Sounding {
  readonly onset: Seconds;
  readonly slow: boolean;
}

const UNKNOWN: Gap = { damped: null, gapDb: null };
const WINDOW: Seconds = 0.02;
const CLEAR: Seconds = 0.004;
const DECAY_FROM: Seconds = 0.06;
const DECAY_TO: Seconds = 0.27;
const STEP: Seconds = 0.03;
const LEAST_SLOW = 3;
/** A decay is not followed further than this. */
const LONGEST: Seconds = 1.5;
/** What is expected must stand so far over the noise. */
const OVER_NOISE: Decibels = 9;

/** The gap before each of `strokes` (sounded ones, ascending). */
export function gapsBefore(layer: Layer, strokes: readonly Sounding[]): Gap[] {
  const decay = decayOf(layer, strokes);
  const before = strokes.map(({ onset }) => meanPower(layer, onset - CLEAR - WINDOW, WINDOW));
  if (decay === null) return strokes.map(() => UNKNOWN);
  const quiet = quantile(
    before.filter((power) => power !== null),
    0.05,
  );
  return strokes.map(({ onset }, i) => {
    const sounding = i > 0 ? meanPower(layer, strokes[i - 1].onset + DECAY_FROM, WINDOW) : null;
    const now = before[i];
    if (sounding === null || now === null) return UNKNOWN;
    const lag = onset - CLEAR - WINDOW - (strokes[i - 1].onset + DECAY_FROM);
    if (lag < 0 || lag > LONGEST) return UNKNOWN;
    const expected = powerToDecibels(sounding) + decay * lag;
    if (expected < powerToDecibels(quiet + 1e-14) + OVER_NOISE) return UNKNOWN;
    const gapDb = expected - powerToDecibels(now + 1e-14);
    return { damped: gapDb >= DAMPED_FROM, gapDb };
  });
}

/** Decibels a second (at most 0) of the note's free decay; `null` with fewer than three slow strokes that ring on. */
function decayOf(layer: Layer, strokes: readonly Sounding[]): number | null {
  const slopes: number[] = [];
  strokes.forEach(({ onset, slow }, i) => {
    const until = i + 1 < strokes.length ? strokes[i + 1].onset - onset : Infinity;
    if (!slow || until < DECAY_TO + 0.05) return;
    let n = 0;
    let [sx, sy, sxx, sxy] = [0, 0, 0, 0];
    for (let lag = DECAY_FROM; lag + STEP <= DECAY_TO; lag += STEP) {
      const power = meanPower(layer, onset + lag, STEP);
      if (power === null) return;
      const level = powerToDecibels(power + 1e-14);
      n++;
      sx += lag;
      sy += level;
      sxx += lag * lag;
      sxy += lag * level;
    }
    slopes.push((n * sxy - sx * sy) / (n * sxx - sx * sx));
  });
  return slopes.length >= LEAST_SLOW ? Math.min(0, median(slopes)) : null;
}

function meanPower({ samples, rate }: Layer, from: Seconds, duration: Seconds): number | null {
  const start = Math.round(from * rate);
  const count = Math.round(duration * rate);
  if (start < 0 || start + count > samples.length) return null;
  let sum = 0;
  for (let i = start; i < start + count; i++) sum += samples[i] * samples[i];
  return sum / count;
}
