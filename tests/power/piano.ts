/**
 * A piano for whole sittings: what each note does to a stroke of given speed, and which notes have which fault.
 *
 * No sound: travel time, level and failing are drawn directly. The law is on purpose not the one that the judgement assumes:
 * travel is a power of the speed with a curve in it, the level follows the speed by a factor of its own, notes in order
 * differ in scatter, sensitivity, travel, and the constant of their onsets.
 */

import { isBlackKey } from '../../src/piano/keys.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';
import type { Decibels, MidiNote, Millimetres, Seconds } from '../../src/units.ts';
import type { ActionFault } from './modelTables.ts';

/** What was planted in a note. Shares are of the strokes. */
export type Fault =
  | { readonly kind: 'silent' | 'weak' | 'double'; readonly share: number }
  /** Scatter of the travel time at equal level, against the firm scale: as a normal law, or as a rest in two places. */
  | { readonly kind: 'spread' | 'two-state'; readonly ratio: number }
  /** Two rests, so far apart at the hammer: three strokes in ten at random, or every stroke after a firm one. */
  | { readonly kind: 'two-heights'; readonly millimetres: Millimetres; readonly when: 'random' | 'after-firm' }
  /** Travel shorter by so much at equal level. */
  | { readonly kind: 'shift'; readonly percent: number }
  | { readonly kind: 'action'; readonly fault: ActionFault };

/** Change of ln travel time per mm of rest height at the hammer (both model studies of the action). */
export const LOG_TRAVEL_PER_MM = 0.014;
/** Share of strokes that start from the other rest. */
export const OTHER_REST = 0.3;

/** One note of the piano. */
export interface PianoNote {
  readonly midi: MidiNote;
  readonly fault: Fault | null;
  /** ln of the travel time in seconds at unit speed (a medium stroke). */
  readonly logTravel: number;
  /** Constant of the note's onsets. */
  readonly zero: Seconds;
  /** dB re full scale at unit speed. */
  readonly level: Decibels;
  /** Scatter of this note as it is, against the median of notes in order. */
  readonly firm: number;
  /** Finger depth of the key, mm, at which the damper begins to touch; null without damper. */
  readonly damperAt: Millimetres | null;
  /** What the tone loses a millisecond while the damper is down. */
  readonly lossPerMs: Decibels;
  /** Logit of the chance of a missing contact, against the piano's. */
  readonly missing: number;
}

export interface PianoOptions {
  /** How many notes, spread over the compass; 88 are all. */
  readonly notes: number;
  /** Share of them that have a fault. */
  readonly bad: number;
  /** The faults, dealt out in turn from `from` on. */
  readonly menu: readonly Fault[];
  readonly from: number;
  /** Scatter of travel between neighbours in order, a share. */
  readonly neighbours: number;
}

/** Scatter between notes in order, natural logarithm. */
const FIRM_SCATTER = 0.12;
const SENSITIVITY: Decibels = 1.5;

/** Draws a piano. */
export function pianoOf(random: RandomStream, options: PianoOptions): PianoNote[] {
  const midis = Array.from({ length: options.notes }, (_, i) => 21 + Math.round((i * 87) / (options.notes - 1)));
  const faulty = new Map<MidiNote, Fault>();
  const places = shuffled(random, midis).slice(0, Math.round(options.bad * midis.length));
  places.forEach((midi, i) => faulty.set(midi, options.menu[(options.from + i) % options.menu.length]));
  const black = random.between(0, 0.04);
  const tilt = random.between(-0.12, -0.04);
  const bow = random.normal(0, 0.03);
  return midis.map((midi) => noteOf(random, midi, faulty.get(midi) ?? null, { black, tilt, bow, ...options }));
}

function noteOf(
  random: RandomStream,
  midi: MidiNote,
  fault: Fault | null,
  piano: { black: number; tilt: number; bow: number; neighbours: number },
): PianoNote {
  const place = (midi - 64.5) / 43.5;
  const trend = piano.tilt * place + piano.bow * (place * place - 0.33);
  const shift = fault?.kind === 'shift' ? Math.log(1 - fault.percent / 100) : 0;
  const lossPerMs = midi < 41 ? 0.1 : midi < 72 ? 0.24 : 0.5;
  return {
    midi,
    fault,
    logTravel:
      Math.log(0.09) + trend + (isBlackKey(midi) ? piano.black : 0) + random.normal(0, piano.neighbours) + shift,
    zero: random.normal(0, zeroScatter(midi)),
    level: -26 - 3 * place * place - 2 * place + random.normal(0, SENSITIVITY),
    firm: Math.exp(random.normal(0, FIRM_SCATTER)),
    damperAt: midi > 90 ? null : Math.min(5.8, Math.max(4.2, random.normal(5, 0.35))) + FINGER_OVER_KEY,
    lossPerMs,
    missing: random.normal(0, 0.5),
  };
}

/** The finger comes up so much further than the key, mm. */
const FINGER_OVER_KEY: Millimetres = 0.85;

/** How far the constants of the onsets of two notes may differ, SD: 2 ms below C3, 0.9 falling to 0.3 at B4, then 0.2. */
function zeroScatter(midi: MidiNote): Seconds {
  if (midi < 48) return 0.002;
  return midi <= 71 ? 0.0009 - (0.0006 * (midi - 48)) / 23 : 0.0002;
}

function shuffled<T>(random: RandomStream, list: readonly T[]): T[] {
  const order = [...list];
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.min(i, Math.floor(random.between(0, i + 1)));
    [order[i], order[j]] = [order[j], order[i]];
  }
  return order;
}

/** A fault in words, as the tables name it. */
export function faultName(fault: Fault): string {
  switch (fault.kind) {
    case 'silent':
    case 'weak':
    case 'double':
      return `${fault.kind} ${Math.round(100 * fault.share)} %`;
    case 'spread':
    case 'two-state':
      return `${fault.kind} x${fault.ratio}`;
    case 'two-heights':
      return `two heights ${fault.millimetres} mm, ${fault.when === 'random' ? 'at random' : 'after firm'}`;
    case 'shift':
      return `shift ${fault.percent} %`;
    case 'action':
      return fault.fault;
  }
}
