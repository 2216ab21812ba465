/**
 * The key's way up between two strokes, and what the damper does meanwhile.
 *
 * The key front rises 0.85 mm less than the finger and 10 mm at most; the damper begins to touch about half-way (4.2 to
 * 5.8 mm between notes) and is fully down 1 mm higher: model study of repeated strokes, head and section 5.
 */

import type { MidiNote, Seconds } from '../units.ts';
import type { PlayedStroke } from './playing.ts';
import { RandomStream } from './random.ts';
import type { Damping } from './tone.ts';

export interface KeyTravel {
  /** The key passes the damper's point on its way up after this stroke; `null` if it never gets there. */
  readonly releaseSeconds: Seconds | null;
  readonly damping: Damping | null;
}

/** The key rises about 10 mm in 70 ms (chosen). */
const RISE_MM_PER_SECOND = 145;

/** What follows each stroke of one key; strokes ordered in time. */
export function keyTravel(strokes: readonly PlayedStroke[], midi: MidiNote, seed: number): KeyTravel[] {
  const damperMm = new RandomStream(seed, `damper ${midi}`).between(4.2, 5.8);
  return strokes.map((stroke, index) => {
    const next = strokes[index + 1];
    const height = next ? Math.min(10, Math.max(0, next.returnMm - 0.85)) : 10;
    if (height <= damperMm) return { releaseSeconds: null, damping: null };
    const hold = stroke.beatSeconds + stroke.holdSeconds;
    if (!next) {
      const releaseSeconds = hold + damperMm / RISE_MM_PER_SECOND;
      return { releaseSeconds, damping: { fromSeconds: releaseSeconds, toSeconds: Infinity, strength: 1 } };
    }
    // The key must be down before it can rise and up when the finger presses again, however quick the repeat.
    const room = 0.85 * (next.contactSeconds - stroke.keyBottomSeconds);
    const rise = Math.min(height / RISE_MM_PER_SECOND, Math.max(0.001, room));
    const quick = next.passage === 'fast' && next.take === stroke.take && next.returnMm < 11;
    const begins = quick ? next.contactSeconds - rise : Math.min(hold, next.contactSeconds - rise);
    const releaseSeconds = begins + (rise * damperMm) / height;
    // Pressed with even acceleration the key passes a depth s after the share sqrt(s) of its time.
    const travel = next.beatSeconds - next.contactSeconds;
    const lifts = next.contactSeconds + travel * Math.sqrt((height - damperMm) / height);
    const over = height - damperMm;
    const strength = over >= 1 ? 1 - 0.5 / Math.max(1, over) / 2 : over / 2;
    return {
      releaseSeconds,
      damping: { fromSeconds: releaseSeconds, toSeconds: Math.min(lifts, next.beatSeconds - 0.001), strength },
    };
  });
}
