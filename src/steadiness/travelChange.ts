/**
 * Whether a note's travel time at equal loudness moved between two rounds.
 *
 * A microphone moved, or a player who plays otherwise, moves all notes alike: from five notes on the median of all shifts
 * is taken out of each, and what is left is the note's own. Where the two rounds timed a note by templates of their own,
 * the zero of each template is a constant of the round, good to about 2 ms below C3, 0.9 falling to 0.3 ms from there to B4,
 * and 0.2 ms above (measured on made and real attacks): that stands in the interval. With one template for both it falls out.
 */

import { mean } from '../statistics/intervals.ts';
import { median } from '../statistics/order.ts';
import { normalCdf } from '../statistics/tails.ts';
import { boundedCentre } from '../statistics/winsorised.ts';
import type { MidiNote, Seconds } from '../units.ts';
import type { TravelStroke } from './evidence.ts';

/** One note's usable strokes in both rounds. */
export interface TravelPair {
  readonly midi: MidiNote;
  readonly before: readonly TravelStroke[];
  readonly after: readonly TravelStroke[];
  /** Both rounds' strokes are timed by one template. */
  readonly oneTemplate: boolean;
}

/** The change of a travel time at equal loudness. */
export interface TravelChange {
  /** At the reference level, seconds. */
  readonly before: Seconds;
  readonly after: Seconds;
  /** After against before, percent; less the common shift where that is known. */
  readonly percent: number;
  /** 95 %, percent. */
  readonly interval: readonly [number, number];
  readonly n: readonly [number, number];
  /** The shift that all notes have in common is taken out. */
  readonly own: boolean;
  /** What of the interval is the zero's scatter alone, seconds; 0 with one template. */
  readonly zeroScatter: Seconds;
  /** The interval holds all of this without the note having moved: two-sided probability of so large a shift by chance. */
  readonly p: number;
}

/** What the level does to the travel time, and the spread on firm notes. */
export interface TravelHand {
  readonly scale: number;
  readonly slopePerDb: number;
  readonly slopeError: number;
  /** Level at which times are stated, dB re full scale. */
  readonly referenceDb: number;
}

const LEAST_STROKES = 3;
const LEAST_COMMON = 5;
/** A bounded mean of a few strokes is a little less sure than a mean. */
const CENTRE_LOSS = 1.2;
const ONE_TEMPLATE: Seconds = 0.00005;
const SURE = 1.96;
const C3: MidiNote = 48;
const B4: MidiNote = 71;

/** Scatter of the zero of a note's template from one round to another. */
export function zeroScatter(midi: MidiNote): Seconds {
  if (midi < C3) return 0.002;
  if (midi > B4) return 0.0002;
  return 0.0009 - (0.0006 * (midi - C3)) / (B4 - C3);
}

/** A shift as it is, with what all notes have in common. */
export interface RawShift {
  readonly pair: TravelPair;
  /** At the reference level, seconds. */
  readonly times: readonly [Seconds, Seconds];
  /** Of ln travel time, after less before, and its standard error. */
  readonly shift: number;
  readonly error: number;
  /** How much louder after was, dB. */
  readonly louder: number;
}

/** The shifts of all notes that have three usable strokes in both rounds. */
export function travelChanges(pairs: readonly TravelPair[], hand: TravelHand): Map<MidiNote, TravelChange> {
  const raw = pairs.flatMap((pair) => rawShift(pair, hand) ?? []);
  const own = raw.length >= LEAST_COMMON;
  const common = own ? median(raw.map(({ shift }) => shift)) : 0;
  const commonError = own ? 1.25 * Math.sqrt(mean(raw.map(({ error }) => error ** 2)) / raw.length) : 0;
  return new Map(
    raw.map(({ pair, times, shift, error }) => {
      const difference = shift - common;
      const total = Math.hypot(error, commonError);
      return [
        pair.midi,
        {
          before: times[0],
          after: times[1],
          percent: percentOf(difference),
          interval: [percentOf(difference - SURE * total), percentOf(difference + SURE * total)],
          n: [pair.before.length, pair.after.length],
          own,
          zeroScatter: pair.oneTemplate ? 0 : zeroScatter(pair.midi),
          p: 2 * normalCdf(-Math.abs(difference) / total),
        },
      ];
    }),
  );
}

/** Percent of a change of ln travel time. */
export function percentOf(logRatio: number): number {
  return 100 * Math.expm1(logRatio);
}

/** The shift of one note; null with fewer than three usable strokes in either. */
export function rawShift(pair: TravelPair, hand: TravelHand): RawShift | null {
  const { before, after } = pair;
  if (before.length < LEAST_STROKES || after.length < LEAST_STROKES) return null;
  const [first, second] = [centreOf(before, hand), centreOf(after, hand)];
  const zero = pair.oneTemplate ? ONE_TEMPLATE : zeroScatter(pair.midi);
  const levels = mean(after.map(({ levelDb }) => levelDb)) - mean(before.map(({ levelDb }) => levelDb));
  return {
    pair,
    times: [Math.exp(first.centre), Math.exp(second.centre)],
    shift: second.centre - first.centre,
    error: Math.hypot(first.error, second.error, levels * hand.slopeError, zero / Math.exp(first.centre)),
    louder: levels,
  };
}

/** Centre of ln travel time at the reference level, and its standard error. */
function centreOf(strokes: readonly TravelStroke[], { scale, slopePerDb, referenceDb }: TravelHand) {
  const values = strokes.map(({ logTravel, levelDb }) => logTravel - slopePerDb * (levelDb - referenceDb));
  const centre = boundedCentre(values, scale);
  const square = values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / Math.max(1, values.length - 1);
  return { centre, error: (CENTRE_LOSS * Math.max(scale, Math.sqrt(square))) / Math.sqrt(values.length) };
}
