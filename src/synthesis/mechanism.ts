/**
 * One key's mechanism as it meets the hand: rest height before a stroke, and what becomes of the stroke.
 *
 * Applies the faults of `faults.ts`; beside them the hand's own failures where it lets the key up too little.
 * Sources stand with the fault entries; the chance of failing against the finger's return is the model study of
 * repeated strokes, section 1 (7 strokes a second, in order: 67, 33, 10, 2, 0 % at 3.75 to 5.75 mm; spring x0.7: 92, 83,
 * 60, 26, 13 %), as a logistic curve.
 */

import type { Decibels, Millimetres } from '../units.ts';
import { HAMMER_PER_JACK, LEVER_HIGH, type FaultName } from './faults.ts';
import type { FaultPlan } from './plan.ts';
import type { RandomStream } from './random.ts';

/** What a stroke asks of the mechanism. */
export interface StrokeAsked {
  readonly passage: 'slow' | 'fast' | 'gentle';
  /** Place in the note, 0 for its first stroke to 1 for its last; and in its passage. */
  readonly place: number;
  readonly placeInPassage: number;
  /** Number within the passage, from 0. */
  readonly index: number;
  /** Finger's return before the stroke, mm. */
  readonly returnMm: Millimetres;
  readonly ratePerSecond: number;
  readonly afterFirm: boolean;
}

/** How the hammer rests before a stroke. */
export interface Rest {
  readonly heightMm: Millimetres;
  /** The part of the height that acts on the travel time by the law per millimetre; a high lever has its own table. */
  readonly actingMm: Millimetres;
  readonly faults: FaultName[];
}

/** What the mechanism makes of a stroke. */
export interface Outcome {
  readonly silent: boolean;
  /** Loss of level, dB. */
  readonly lossDb: Decibels;
  readonly double: { readonly afterSeconds: number; readonly relativeDb: Decibels } | null;
  readonly faults: string[];
}

const FULL_RETURN_MM = 10;
const GENTLE_SPEED = 0.6;
const FIRM_DB = 5;

export class Mechanism {
  readonly #sizes: ReadonlyMap<FaultName, number>;
  readonly #random: RandomStream;
  #stuck: 'silent' | 'weak' | null = null;

  constructor(faults: readonly FaultPlan[], random: RandomStream) {
    this.#sizes = new Map(faults.map(({ name, size }) => [name, size]));
    this.#random = random;
  }

  /** Height of the waiting hammer. */
  rest(asked: StrokeAsked): Rest {
    const random = this.#random;
    const faults: FaultName[] = [];
    let acting = 0;
    const raise = (name: FaultName, millimetres: (size: number) => number): void => {
      const size = this.#sizes.get(name);
      const rise = size === undefined ? 0 : millimetres(size);
      if (rise !== 0) faults.push(name);
      acting += rise;
    };
    raise('rest-height-spread', (size) => random.normal(0, size));
    raise('two-rest-heights', (size) => (random.chance(0.3) ? size : 0));
    raise('hanging-hammer', (size) => (random.chance(0.3) ? size * random.between(1, 1.5) : 0));
    raise('rest-height-drift', (size) => size * asked.place);
    raise('rest-after-firm', (size) => (asked.afterFirm ? size : 0));
    const lever = this.#sizes.get('lever-high') ?? 0;
    if (lever > 0) faults.push('lever-high');
    return { heightMm: acting + HAMMER_PER_JACK * lever, actingMm: acting, faults };
  }

  /** Change of ln travel time at equal loudness, and of the level at equal force, by a lever set too high. */
  leverShift(): { readonly lnTravel: number; readonly levelDb: Decibels } {
    const size = this.#sizes.get('lever-high') ?? 0;
    const above = LEVER_HIGH.findIndex(([millimetres]) => millimetres >= size);
    if (above <= 0) return { lnTravel: 0, levelDb: 0 };
    const [x0, t0, l0] = LEVER_HIGH[above - 1];
    const [x1, t1, l1] = LEVER_HIGH[above];
    const share = (size - x0) / (x1 - x0);
    return { lnTravel: Math.log1p(t0 + share * (t1 - t0)), levelDb: l0 + share * (l1 - l0) };
  }

  /** What becomes of a stroke with this speed; `overMediumDb` is its level over the note's medium. */
  strike(asked: StrokeAsked, velocity: number, overMediumDb: Decibels): Outcome {
    const random = this.#random;
    const faults: string[] = [];
    let silent = false;
    let lossDb = 0;
    const happens = (name: FaultName, may: boolean): boolean => {
      const size = this.#sizes.get(name);
      const so = size !== undefined && may && random.chance(size);
      if (so) faults.push(name);
      return so;
    };
    const repeat = asked.passage === 'fast' && asked.index > 0;
    const weakDb = random.between(10, 15);
    if (asked.returnMm >= FULL_RETURN_MM) this.#stuck = null;
    if (this.#stuck) faults.push(this.#stuck === 'silent' ? 'missed-until-return' : 'weak-until-return');
    else if (happens('missed-until-return', repeat)) this.#stuck = 'silent';
    else if (happens('weak-until-return', repeat)) this.#stuck = 'weak';
    const everySecond = repeat && asked.index % 2 === 1;
    if (this.#stuck === 'silent') silent = true;
    if (this.#stuck === 'weak') lossDb = weakDb;
    if (happens('missed-repeats', repeat)) silent = true;
    if (happens('missed-every-second', everySecond)) silent = true;
    if (happens('silent-when-gentle', velocity < GENTLE_SPEED)) silent = true;
    if (happens('weak-repeats', repeat)) lossDb = weakDb;
    if (happens('weak-every-second', everySecond)) lossDb = weakDb;

    const shallow = repeat ? this.#shallow(asked) : null;
    if (shallow) {
      faults.push(this.#sizes.has('weak-spring') ? 'weak-spring' : 'shallow-return');
      if (shallow === 'silent') silent = true;
      else lossDb = Math.max(lossDb, shallow);
    }
    const hard = this.#sizes.get('weak-when-hard');
    if (hard !== undefined && overMediumDb >= FIRM_DB) {
      faults.push('weak-when-hard');
      lossDb += hard;
    }
    const fading = this.#sizes.get('fading-repeats');
    if (fading !== undefined && repeat) {
      faults.push('fading-repeats');
      lossDb += fading * asked.placeInPassage;
    }
    return { silent, lossDb, double: silent ? null : this.#double(asked, velocity, faults), faults };
  }

  /** Failure for want of return: silent, or the loss in dB. */
  #shallow(asked: StrokeAsked): 'silent' | Decibels | null {
    const weak = 1 - (this.#sizes.get('weak-spring') ?? 1);
    const centre = 4 + 3 * weak + 0.1 * (asked.ratePerSecond - 7);
    const steepness = 3 - 2.5 * weak;
    if (!this.#random.chance(1 / (1 + Math.exp(steepness * (asked.returnMm - centre))))) return null;
    const silentShare = weak > 0 ? 0.8 : asked.ratePerSecond > 7.5 ? 0.2 : 0.05;
    return this.#random.chance(silentShare) ? 'silent' : this.#random.between(6, 14);
  }

  #double(asked: StrokeAsked, velocity: number, faults: string[]): Outcome['double'] {
    const random = this.#random;
    const soft = Math.min(1, Math.max(0, Math.log(1.2 / velocity) / Math.log(1.2 / 0.6)));
    const loud = Math.min(1, Math.max(0, Math.log(velocity / 0.5) / Math.log(0.9 / 0.5)));
    const kinds = [
      ['double-strikes', 1],
      ['double-when-soft', soft],
      ['double-when-loud', loud],
    ] as const;
    for (const [name, weight] of kinds) {
      const size = this.#sizes.get(name);
      if (size === undefined || !random.chance(size * weight)) continue;
      faults.push(name);
      // Before 60 % of a quick interval: later it could not be told from the next stroke.
      const latest = Math.min(0.12, 0.55 / asked.ratePerSecond);
      return { afterSeconds: random.between(0.04, latest), relativeDb: random.between(-20, -6) };
    }
    return null;
  }
}
