/**
 * The hand of one sitting: how it strikes, scatters, slips and drifts, and how well its contacts are heard.
 *
 * The law is on purpose not the one that the judgement assumes: touch scatters with heavy tails (Student's t, 8 degrees),
 * slips are late fingers only, of skewed size, and soft strokes lose their contacts more often.
 */

import type { RandomStream } from '../../src/synthesis/random.ts';
import type { Decibels, Millimetres, Seconds } from '../../src/units.ts';
import { LOG_TRAVEL_PER_MM, OTHER_REST, type PianoNote } from './piano.ts';

export interface HandOptions {
  /** Scatter of the touch, natural logarithm of the travel time. */
  readonly touch: number;
  /** Share of strokes in which the finger comes late. */
  readonly slips: number;
  /** Share of contacts that are not heard, at the usual loudness. */
  readonly missing: number;
  /** How far the finger lets the key up at 6 a second, mean and scatter. */
  readonly depth: Millimetres;
  readonly depthScatter: Millimetres;
  /** Slow strokes by a weight let go from a fixed height. */
  readonly weight: boolean;
}

export const USUAL_HAND: HandOptions = {
  touch: 0.03,
  slips: 0.03,
  missing: 0.3,
  depth: 5,
  depthScatter: 0.8,
  weight: false,
};

export interface Hand extends HandOptions {
  /** travel = a·v^-exponent·exp(curve·ln² v). */
  readonly exponent: number;
  readonly curve: number;
  /** Level per decade of speed. */
  readonly levelPerDecade: Decibels;
  /** Scatter of ln speed from stroke to stroke, and from take to take. */
  readonly speed: number;
  readonly takeSpeed: number;
  /** Typical scatter of ln travel at equal level of a note in order, and the part of it that is not the touch. */
  readonly scale: number;
  readonly beside: number;
  /** Slow drifts, as functions of the time in the sitting. */
  readonly travelDrift: (seconds: Seconds) => number;
  readonly speedDrift: (seconds: Seconds) => number;
}

/** Error of a measured level. */
export const LEVEL_ERROR: Decibels = 0.4;
/** Error of a contact's time, and the share that is wholly wrong. */
export const CONTACT_ERROR: Seconds = 0.0005;
export const CONTACT_WRONG = 0.02;
/** A weight's scatter against the finger's: of travel, of speed, and its slips. */
const WEIGHT = { touch: 0.45, speed: 0.45, slips: 0.003 } as const;

/** Draws a hand. */
export function handOf(random: RandomStream, options: HandOptions): Hand {
  const exponent = random.between(0.5, 0.75);
  const curve = random.between(0.03, 0.12) * (random.chance(0.5) ? 1 : -1);
  const levelPerDecade = random.between(20, 23);
  const speed = 0.17 * (options.weight ? WEIGHT.speed : 1);
  const touch = options.touch * (options.weight ? WEIGHT.touch : 1);
  const decibelPerLog = levelPerDecade / Math.LN10;
  // What an error of the level leaves behind when travel is set against it.
  const spread = speed * decibelPerLog;
  const byLevel = (exponent / decibelPerLog) * ((spread * LEVEL_ERROR) / Math.hypot(spread, LEVEL_ERROR));
  const beside = Math.hypot(byLevel, CONTACT_ERROR / 0.09);
  return {
    ...options,
    touch,
    slips: options.weight ? Math.min(WEIGHT.slips, options.slips) : options.slips,
    depth: options.depth + random.normal(0, 0.15),
    exponent,
    curve,
    levelPerDecade,
    speed,
    takeSpeed: 0.08 * (options.weight ? WEIGHT.speed : 1),
    scale: Math.hypot(touch, beside),
    beside,
    travelDrift: driftOf(random, 0.012, 0.015),
    speedDrift: driftOf(random, 0.06, 0.08),
  };
}

/** A wave of some minutes on a line. */
function driftOf(random: RandomStream, wave: number, perHalfHour: number): (seconds: Seconds) => number {
  const slope = random.normal(0, perHalfHour) / 1800;
  const turn = (2 * Math.PI) / random.between(700, 2200);
  const phase = random.between(0, 2 * Math.PI);
  return (seconds) => slope * seconds + wave * Math.sin(turn * seconds + phase);
}

/** How a note's travel times scatter at equal level, all of it, against the firm scale: what "spread-ratio" should say. */
export function trueRatio(note: PianoNote, hand: Hand): number | null {
  const { fault } = note;
  if (fault?.kind === 'two-heights' && fault.when === 'after-firm') return null;
  const twoRests = Math.sqrt(OTHER_REST * (1 - OTHER_REST)) * apart(note, hand);
  return Math.hypot(touchOf(note, hand), hand.beside, wanderOf(note, hand), twoRests) / hand.scale;
}

/** Scatter of the touch on this note, heavy-tailed: it and all else make the note's own firm scatter. */
export function touchOf({ firm }: PianoNote, { scale, beside, touch }: Hand): number {
  return Math.sqrt(Math.max((0.3 * touch) ** 2, (firm * scale) ** 2 - beside ** 2));
}

/** What a wandering rest adds, normal; 0 without one. */
export function wanderOf({ fault, firm }: PianoNote, { scale }: Hand): number {
  return fault?.kind === 'spread' ? firm * scale * Math.sqrt(fault.ratio ** 2 - 1) : 0;
}

/** How much shorter the travel is from the other rest, natural logarithm; 0 without one. */
export function apart({ fault, firm }: PianoNote, { scale }: Hand): number {
  if (fault?.kind === 'two-heights') return LOG_TRAVEL_PER_MM * fault.millimetres;
  if (fault?.kind !== 'two-state') return 0;
  return firm * scale * Math.sqrt((fault.ratio ** 2 - 1) / (OTHER_REST * (1 - OTHER_REST)));
}

/** Student's t with 8 degrees, scaled to variance 1. */
export function heavyTailed(random: RandomStream): number {
  // A chi square of 8 degrees is minus twice the logarithm of four uniforms' product.
  const product =
    (1 - random.between(0, 1)) * (1 - random.between(0, 1)) * (1 - random.between(0, 1)) * (1 - random.between(0, 1));
  const chiSquare = -2 * Math.log(product);
  return (random.normal() / Math.sqrt(chiSquare / 8)) * Math.sqrt(6 / 8);
}

/** An exponential draw of this mean. */
export function exponential(random: RandomStream, mean: number): number {
  return -mean * Math.log(1 - random.between(0, 1));
}
