/**
 * Hands-free takes: where in what is played one note's take begins, turns to fast, and ends.
 *
 * Strokes come one by one, each with its note, as they were played. A note played twice begins a take; another note played
 * twice ends it and begins its own. A note played once within a take, or beside all takes, is left out and told as stray. A pause ends a
 * take: 1.2 s after a complete fast passage, else 2.5 s or 2.5 times the running interval, whichever is longer. So the
 * player needs no tap between notes, and a slip of the finger spoils nothing.
 *
 * Conventions: seconds from the beginning of listening. Strokes and the clock must come in order of time.
 */

import { median } from '../statistics/order.ts';
import type { MidiNote, Seconds } from '../units.ts';
import { TAKE_PAUSE, TAKE_PAUSE_INTERVALS } from './grouping.ts';
import { passagesOf } from './passages.ts';
import type { Take } from './types.ts';

/** What is asked of the player. */
export type Asked = NonNullable<Take['asked']>;

/** One stroke as it is known shortly after it was played. */
export interface NamedStroke {
  readonly seconds: Seconds;
  /** `null` where it has no clear note. */
  readonly midi: MidiNote | null;
  /** Its attack resembles those of the running take. */
  readonly alike: boolean;
}

/** Why a take is kept or not. */
export const TAKE_WORTHS = [
  'enough',
  'too-few-strokes',
  'fast-only-of-a-new-note',
  'several-notes',
  'no-struck-string',
] as const;
export type TakeWorth = (typeof TAKE_WORTHS)[number];

/** What the strokes came to. */
export type Cut =
  | { readonly type: 'begun'; readonly midi: MidiNote; readonly seconds: Seconds }
  /** A stroke of the running take, and in which passage it stands now; told again where that changes. */
  | { readonly type: 'stroke'; readonly seconds: Seconds; readonly passage: 'slow' | 'fast' }
  /** A note that was played once and belongs to nothing. */
  | { readonly type: 'stray'; readonly midi: MidiNote; readonly seconds: Seconds }
  /** `toSeconds`: where its sound ends, before whatever came next. */
  | { readonly type: 'ended'; readonly midi: MidiNote; readonly toSeconds: Seconds; readonly worth: TakeWorth };

/** Two strokes of a note further apart than this do not begin a take. */
const LONGEST_FIRST: Seconds = 4;
const PAUSE_AFTER_FAST: Seconds = 1.2;
/** Sound before another note's stroke that is the stroke's own: its contact stands up to 0.3 s before it, its attack a little. */
const BEFORE_OTHER: Seconds = 0.05;
/** Least strokes that are kept: slow ones, gentle ones, those under a bar, beats of one fast passage. */
const LEAST_SLOW = 5;
const LEAST_GENTLE = 6;
const LEAST_BAR = 6;
const LEAST_FAST = 6;
/** Intervals that make the running one. */
const RUNNING = 5;

interface Running {
  readonly midi: MidiNote;
  readonly asked: Asked;
  readonly fastWanted: number;
  readonly times: Seconds[];
  /** As told last. */
  told: ('slow' | 'fast')[];
}

/** Cuts what is played into takes. */
export class TakeCutter {
  #running: Running | null = null;
  /** The last stroke of another note, or, without a take, of any. */
  #other: { midi: MidiNote; seconds: Seconds } | null = null;
  #resting = false;
  readonly #heard: Set<MidiNote>;

  /** `heard`: notes that have a take in this round; `fastWanted`: strokes of a complete fast passage. */
  constructor(
    heard: Iterable<MidiNote>,
    private asked: Asked,
    private fastWanted: number,
  ) {
    this.#heard = new Set(heard);
  }

  /** The note of the running take. */
  get midi(): MidiNote | null {
    return this.#running?.midi ?? null;
  }

  /** Up to here nothing can be cut away from the running take any more. */
  settledBefore(now: Seconds): Seconds {
    return Math.min(now, this.#running && this.#other ? this.#other.seconds : Infinity) - BEFORE_OTHER;
  }

  /** From the next take on this is asked. */
  ask(asked: Asked, fastWanted: number): void {
    this.asked = asked;
    this.fastWanted = fastWanted;
  }

  /** A note's take was taken back: a fast passage alone no longer counts for it. */
  forget(midi: MidiNote): void {
    this.#heard.delete(midi);
  }

  /** Ends the running take and begins none until {@link goOn}. */
  rest(now: Seconds): Cut[] {
    this.#resting = true;
    const cuts = this.cut(now);
    this.#other = null;
    return cuts;
  }

  goOn(): void {
    this.#resting = false;
  }

  /** Ends the running take here. */
  cut(now: Seconds): Cut[] {
    return this.#running ? [...this.#leaveOther(), this.#end(this.#running, now)] : [];
  }

  /** The next stroke. */
  stroke({ seconds, midi, alike }: NamedStroke): Cut[] {
    if (this.#resting) return [];
    const cuts = this.advance(seconds);
    const running = this.#running;
    if (running && (alike || midi === running.midi)) {
      cuts.push(...this.#leaveOther());
      running.times.push(seconds);
      cuts.push(...this.#told(running));
      return cuts;
    }
    if (midi === null) return cuts;
    const other = this.#other;
    if (other?.midi !== midi || seconds - other.seconds > LONGEST_FIRST) {
      cuts.push(...this.#leaveOther());
      this.#other = { midi, seconds };
      return cuts;
    }
    if (running) cuts.push(this.#end(running, other.seconds - BEFORE_OTHER));
    this.#other = null;
    this.#running = { midi, asked: this.asked, fastWanted: this.fastWanted, times: [other.seconds, seconds], told: [] };
    cuts.push({ type: 'begun', midi, seconds: other.seconds }, ...this.#told(this.#running));
    return cuts;
  }

  /** Time passes without a stroke: up to `now` all strokes have been given. */
  advance(now: Seconds): Cut[] {
    const running = this.#running;
    const cuts: Cut[] = [];
    if (running && now - running.times[running.times.length - 1] > this.#pauseOf(running)) {
      // A note played once meanwhile may be the next take's first.
      cuts.push(this.#end(running, Math.min(now, (this.#other?.seconds ?? Infinity) - BEFORE_OTHER)));
    }
    if (this.#other && now - this.#other.seconds > LONGEST_FIRST) cuts.push(...this.#leaveOther());
    return cuts;
  }

  /**
   * What the refinement found of the running take up to `until`: the times of its strokes that sounded. They take the place of those
   * heard so far.
   */
  refined(times: readonly Seconds[], until: Seconds): void {
    const running = this.#running;
    if (!running) return;
    const later = running.times.filter((time) => time > until);
    if (times.length + later.length >= 2) running.times.splice(0, Infinity, ...times, ...later);
  }

  #leaveOther(): Cut[] {
    const other = this.#other;
    this.#other = null;
    return other ? [{ type: 'stray', ...other }] : [];
  }

  /** Longest pause that this take bears after its last stroke. */
  #pauseOf(running: Running): Seconds {
    if (lastFastBeats(running.times) >= running.fastWanted) return PAUSE_AFTER_FAST;
    const last = running.times.slice(-RUNNING - 1);
    const interval = median(last.slice(1).map((time, i) => time - last[i]));
    return Math.max(TAKE_PAUSE, TAKE_PAUSE_INTERVALS * interval);
  }

  #end(running: Running, toSeconds: Seconds): Cut {
    this.#running = null;
    const worth = worthOf(running.times, running.asked, this.#heard.has(running.midi));
    if (worth === 'enough') this.#heard.add(running.midi);
    return { type: 'ended', midi: running.midi, toSeconds, worth };
  }

  #told(running: Running): Cut[] {
    const { passages } = passagesOf(running.times);
    const now = passages.map((passage) => (passage === 'fast' ? 'fast' : 'slow'));
    const before = running.told;
    running.told = now;
    return now.flatMap((passage, i): Cut[] =>
      passage === before[i] ? [] : [{ type: 'stroke', seconds: running.times[i], passage }],
    );
  }
}

/**
 * Whether a take counts, from the times of its sounded strokes: with five slow strokes, or six gentle, or six under a bar, or
 * one fast passage of a note that was `heard` in the round already.
 */
export function worthOf(
  times: readonly Seconds[],
  asked: Asked,
  heard: boolean,
): 'enough' | 'too-few-strokes' | 'fast-only-of-a-new-note' {
  const { passages, missing } = passagesOf(times);
  const slow = passages.filter((passage) => passage === 'slow').length;
  if (asked === 'gentle') return slow >= LEAST_GENTLE ? 'enough' : 'too-few-strokes';
  if (asked === 'bar') return times.length >= LEAST_BAR ? 'enough' : 'too-few-strokes';
  if (slow >= LEAST_SLOW) return 'enough';
  if (passages.length - slow + missing.length < LEAST_FAST) return 'too-few-strokes';
  return heard ? 'enough' : 'fast-only-of-a-new-note';
}

/** Beats of the fast passage that the take stands in now; 0 after a slow stroke. */
function lastFastBeats(times: readonly Seconds[]): number {
  const { passages, missing } = passagesOf(times);
  const lastSlow = passages.findLastIndex((passage) => passage !== 'fast');
  return passages.length - 1 - lastSlow + missing.filter(({ after }) => after > lastSlow).length;
}
