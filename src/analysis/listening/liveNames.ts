/**
 * Which note a stroke is, a sixth of a second after it: by the comb of naming.ts on the little that has sounded, and by its
 * attack beside those of the running take.
 *
 * A name that is not clear at once is asked for again when twice as much has sounded. Once several clear notes have told the piano's
 * own tuning, keys are looked for there.
 */

import { attackPiece, likeness, type AttackPiece } from '../../signal/likeness.ts';
import { Pyramid } from '../../signal/pyramid.ts';
import { median } from '../../statistics/order.ts';
import { isSingleTone } from '../../strokes/grouping.ts';
import { allKeys, nameTone, type Naming } from '../../strokes/naming.ts';
import type { Cents, MidiNote, Seconds } from '../../units.ts';

/** Tone that is enough for a clear name, and that is looked at where the first is not. */
export const FIRST_LOOK: Seconds = 0.15;
export const SECOND_LOOK: Seconds = 0.32;
/** The first frames of a stroke are the hammer's. */
const SKIP: Seconds = 0.012;
/** Sound before a stroke that its attack needs. */
export const BEFORE: Seconds = 0.04;
const ATTACK_RATE = 10800;
const ALIKE = 0.5;
/** Attacks of a take that others are held against: its first ones, and the latest. */
const REMEMBERED = 3;
const CLEAR_SCORE = 0.9;
const CLEAR_MARGIN = 0.25;
/** The piano's tuning is known from so many clear notes of its middle. */
const LEAST_CLEAR = 4;
const MIDDLE: readonly [MidiNote, MidiNote] = [40, 88];
/** Further than this from an average piano, a recording needs to be told its note. */
const FAR: Cents = 30;

/** What one look at a stroke gave. */
export interface LiveName {
  readonly midi: MidiNote | null;
  /** Asking again with more sound would tell nothing new. */
  readonly clear: boolean;
}

export class LiveNames {
  readonly #cents: Cents[] = [];
  #keys = allKeys();
  #attacks: AttackPiece[] = [];

  /** The piano's tuning against the usual, where it is known and far from it. */
  get farTuning(): Cents | null {
    const tuning = this.#tuning();
    return tuning !== null && Math.abs(tuning) > FAR ? tuning : null;
  }

  /**
   * Names the stroke that stands at `at` in `samples`, which end `sounding` seconds after it.
   * @param sounding until the next stroke, or what has come so far; at least 0.06.
   */
  name(samples: Float32Array, rate: number, at: Seconds, sounding: Seconds): LiveName {
    const naming = nameTone(
      new Pyramid(samples, rate),
      [{ start: at + SKIP, duration: Math.min(SECOND_LOOK, sounding - SKIP) }],
      this.#keys,
    );
    if (!naming || !isSingleTone(naming)) return { midi: null, clear: false };
    const clear = naming.score >= CLEAR_SCORE && naming.margin >= CLEAR_MARGIN;
    if (clear) this.#learn(naming);
    return { midi: naming.midi, clear };
  }

  /** Whether a stroke's attack resembles those remembered. */
  isAlike(samples: Float32Array, rate: number, at: Seconds): boolean {
    const piece = attackPiece(new Pyramid(samples, rate).atLeast(ATTACK_RATE), at);
    return this.#attacks.some((known) => likeness(known, piece) > ALIKE);
  }

  /** Remembers a stroke's attack as the running take's. */
  remember(samples: Float32Array, rate: number, at: Seconds): void {
    const piece = attackPiece(new Pyramid(samples, rate).atLeast(ATTACK_RATE), at);
    this.#attacks[Math.min(this.#attacks.length, REMEMBERED - 1)] = piece;
  }

  /** Another take begins. */
  forgetAttacks(): void {
    this.#attacks = [];
  }

  #learn({ midi, cents }: Naming): void {
    if (midi < MIDDLE[0] || midi > MIDDLE[1]) return;
    this.#cents.push(cents);
    const tuning = this.#tuning();
    if (tuning !== null && this.#cents.length % LEAST_CLEAR === 0) this.#keys = allKeys(tuning);
  }

  #tuning(): Cents | null {
    return this.#cents.length >= LEAST_CLEAR ? median(this.#cents) : null;
  }
}
