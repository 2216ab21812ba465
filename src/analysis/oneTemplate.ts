/**
 * Two rounds timed by one template a note, so that a shift of its travel time does not carry the zero's scatter.
 *
 * Each take is timed by a template of its own, whose zero is a constant of the take (see signal/arrival). Here the attack
 * of a note is learned once, in the first recording of before that has it, and found again at its slow strokes in every recording of
 * both rounds. How late the listed onsets are against it is a constant of each take; the difference of its means over the strokes
 * of the two rounds is what the zeros differ by. Recordings are taken in one by one, so that no round need be held in memory.
 */

import { findAttack, learnAttack, type Attack, type Hint } from '../signal/attack.ts';
import { Pyramid } from '../signal/pyramid.ts';
import { fromSound16 } from '../signal/sound16.ts';
import { mean } from '../statistics/intervals.ts';
import { median, medianDeviation } from '../statistics/order.ts';
import { NO_TAKE_DOUBTS, type Stroke } from '../strokes/types.ts';
import type { Frames, Hertz, MidiNote, Seconds } from '../units.ts';

/** A listed onset may be this far from the template's zero. */
const REACH: Seconds = 0.02;
const LEAST_MATCH = 0.5;
const LEAST_STROKES = 3;
/** A take whose onsets scatter more against the template than this is not timed by it. */
const MOST_SCATTER: Seconds = 0.0003;
const LONG: Seconds = 10;
const QUIET = -90;

interface Template {
  readonly attack: Attack;
  /** How late each slow stroke's onset is against it, in both rounds. */
  readonly late: Readonly<Record<Round, Seconds[]>>;
}

type Round = 'before' | 'after';

/** Kept sound of a note's attack: mono, 16 bit, with its slow strokes. */
export interface KeptTemplate {
  readonly sampleRate: Hertz;
  /** Strokes, frames of `samples`. */
  readonly strokes: readonly Frames[];
  readonly samples: Int16Array;
}

/** Kept sound with what was heard in it. */
export interface HeardSound {
  readonly sampleRate: Hertz;
  readonly samples: Int16Array;
  readonly strokes: readonly Stroke[];
}

/**
 * By how much the onsets of a note are later in after than in before, against one template: the stored one, or without one the
 * first sound of before that teaches it. Null where that cannot be said: no sound of one round, too few strokes, or another sample rate.
 */
export function zeroOf(
  midi: MidiNote,
  template: KeptTemplate | null,
  before: readonly HeardSound[],
  after: readonly HeardSound[],
): Seconds | null {
  const timed = new OneTemplate();
  if (template) timed.learn(midi, fromSound16(template.samples), template.sampleRate, template.strokes);
  for (const [round, sounds] of [
    ['before', before],
    ['after', after],
  ] as const) {
    for (const { samples, sampleRate, strokes } of sounds) {
      const own = strokes.filter((stroke) => stroke.midi === midi);
      timed.add(round, fromSound16(samples), sampleRate, own);
    }
  }
  return timed.zeros().get(midi) ?? null;
}

/** Collects how late the onsets of two rounds are against one template a note. Recordings of before come first. */
export class OneTemplate {
  readonly #templates = new Map<MidiNote, Template>();

  /** Takes the template of a note from kept sound of its strokes, frames of `samples`; what teaches none is passed over. */
  learn(midi: MidiNote, samples: Float32Array, sampleRate: Hertz, strokes: readonly Frames[]): void {
    const times = strokes.map((frame) => frame / sampleRate);
    const hints = times.map((seconds, i) => ({
      seconds,
      until: (times[i + 1] ?? Infinity) - seconds,
      rest: seconds - (times[i - 1] ?? -Infinity),
      // Not kept: the strokes of one slow passage are alike.
      level: 0,
    }));
    const attack = learnAttack(new Pyramid(samples, sampleRate), midi, hints);
    if (attack) this.#templates.set(midi, { attack, late: { before: [], after: [] } });
  }

  /** Takes in a recording: its samples (mono, at `sampleRate`) and its strokes. */
  add(round: Round, samples: Float32Array, sampleRate: Hertz, strokes: readonly Stroke[]): void {
    const pyramid = new Pyramid(samples, sampleRate);
    const byNote = new Map<MidiNote, Stroke[]>();
    for (const stroke of strokes) {
      if (stroke.midi === null || stroke.doubt.some((reason) => NO_TAKE_DOUBTS.includes(reason))) continue;
      byNote.set(stroke.midi, [...(byNote.get(stroke.midi) ?? []), stroke]);
    }
    for (const [midi, own] of byNote) {
      if (!this.#templates.has(midi) && round === 'before') {
        const attack = learnAttack(pyramid, midi, hintsOf(own));
        if (attack) this.#templates.set(midi, { attack, late: { before: [], after: [] } });
      }
      const template = this.#templates.get(midi);
      if (template) template.late[round].push(...lateness(pyramid, template.attack, own));
    }
  }

  /** By how much the onsets of after are later than those of before, against one template; only notes that have both. */
  zeros(): Map<MidiNote, Seconds> {
    const found = new Map<MidiNote, Seconds>();
    for (const [midi, { late }] of this.#templates) {
      if (late.before.length === 0 || late.after.length === 0) continue;
      found.set(midi, mean(late.after) - mean(late.before));
    }
    return found;
  }
}

function hintsOf(strokes: readonly Stroke[]): Hint[] {
  const sounded = strokes.filter(({ kind, onsetSeconds }) => kind === 'sounded' && onsetSeconds !== null);
  return sounded.map(({ onsetSeconds, levelDb }, i) => ({
    seconds: onsetSeconds!,
    until: i + 1 < sounded.length ? sounded[i + 1].onsetSeconds! - onsetSeconds! : LONG,
    rest: i > 0 ? onsetSeconds! - sounded[i - 1].onsetSeconds! : LONG,
    level: levelDb ?? QUIET,
  }));
}

/** How late each slow stroke's onset is: the median of its take, once a stroke. Takes that do not fit are left out. */
function lateness(pyramid: Pyramid, attack: Attack, strokes: readonly Stroke[]): Seconds[] {
  // A template belongs to one sample rate.
  if (Math.abs(pyramid.atLeast(attack.rate * 0.999).rate - attack.rate) > 1e-6) return [];
  const byTake = new Map<number, Seconds[]>();
  for (const { take, kind, passage, onsetSeconds } of strokes) {
    if (kind !== 'sounded' || passage !== 'slow' || onsetSeconds === null) continue;
    const places = findAttack(pyramid, attack, onsetSeconds - REACH, onsetSeconds + REACH);
    const best = places.reduce((a, b) => (b.match > a.match ? b : a), { match: LEAST_MATCH, seconds: NaN });
    if (Number.isNaN(best.seconds)) continue;
    byTake.set(take, [...(byTake.get(take) ?? []), onsetSeconds - best.seconds]);
  }
  return [...byTake.values()].flatMap((late) => {
    if (late.length < LEAST_STROKES || medianDeviation(late) > MOST_SCATTER) return [];
    const middle = median(late);
    return late.map(() => middle);
  });
}
