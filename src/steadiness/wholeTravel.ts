/**
 * The travel time of each note against itself, over many notes: the mean shift, and each section's against all other notes.
 *
 * Shifts are of ln travel time at equal loudness. The error of a mean is the greater of two: what the notes' shifts scatter (a section against
 * the rest by Welch's test, which lets the two scatter differently), and what the strokes of each note leave uncertain. How far off the slope
 * on the level may be is common to all notes and widens both.
 *
 * A shift that all notes have in common is the hand's or the microphone's before it is the piano's: it is told, and never called a change.
 * Source of the test: Welch 1947, Biometrika 34:28.
 */

import type { Section } from '../piano/sections.ts';
import { fisherTail, studentQuantile } from '../statistics/distributions.ts';
import { mean } from '../statistics/intervals.ts';
import type { MidiNote } from '../units.ts';
import type { TravelHand } from './travelChange.ts';
import { percentOf, rawShift, type RawShift, type TravelPair } from './travelChange.ts';

/** Fewest notes of a section, and of the rest. */
export const LEAST_NOTES = 4;

export const SHIFTS = ['longer', 'shorter', 'none-shown', 'insufficient'] as const;
export type ShiftVerdict = (typeof SHIFTS)[number];

/** A mean shift over notes, percent of the travel time, with 95 %. */
export interface MeanShift {
  readonly percent: number;
  readonly interval: readonly [number, number];
  readonly notes: number;
}

/** A section's mean shift less the mean of all other notes. */
export interface SectionShift {
  readonly name: string;
  readonly lowest: MidiNote;
  readonly highest: MidiNote;
  readonly shift: ShiftVerdict;
  /** Percent; null with fewer than four notes in it, or beside it. */
  readonly percent: number | null;
  readonly interval: readonly [number, number] | null;
  /** Chance of so much in any of the comparison's tests where nothing moved (Holm); null where it decides nothing. */
  readonly adjusted: number | null;
  readonly notes: number;
  readonly others: number;
  /** Both rounds timed all its notes by one template each; else part of the shift may be the timing's. */
  readonly oneTemplate: boolean;
}

/** Before the adjustment over the family. */
export interface RawSection {
  readonly section: Omit<SectionShift, 'shift' | 'adjusted'>;
  /** Two-sided; null where there are too few notes. */
  readonly p: number | null;
}

/** The shifts of all notes that have three usable strokes in both rounds; the mean is null below four of them. */
export function wholeTravel(
  pairs: readonly TravelPair[],
  hand: TravelHand,
  sections: readonly Section[],
): { readonly mean: MeanShift | null; readonly sections: readonly RawSection[] } {
  const shifts = pairs.flatMap((pair) => rawShift(pair, hand) ?? []);
  return {
    mean: shifts.length >= LEAST_NOTES ? meanShift(shifts, hand) : null,
    sections: sections.map((section) => sectionShift(section, shifts, hand)),
  };
}

function meanShift(shifts: readonly RawShift[], { slopeError }: TravelHand): MeanShift {
  const { centre, square, degrees, louder } = momentsOf(shifts);
  const error = Math.hypot(Math.sqrt(square), louder * slopeError);
  return { ...around(centre, error * studentQuantile(0.975, degrees)), notes: shifts.length };
}

function sectionShift(
  { name, lowest, highest }: Section,
  shifts: readonly RawShift[],
  { slopeError }: TravelHand,
): RawSection {
  const isIn = ({ pair: { midi } }: RawShift) => midi >= lowest && midi <= highest;
  const [own, others] = [shifts.filter(isIn), shifts.filter((shift) => !isIn(shift))];
  const oneTemplate = own.length > 0 && own.every(({ pair }) => pair.oneTemplate);
  const known = { name, lowest, highest, notes: own.length, others: others.length, oneTemplate };
  if (own.length < LEAST_NOTES || others.length < LEAST_NOTES) {
    return { section: { ...known, percent: null, interval: null }, p: null };
  }
  const [a, b] = [momentsOf(own), momentsOf(others)];
  const difference = a.centre - b.centre;
  const welch = a.square + b.square;
  const degrees = welch ** 2 / (a.square ** 2 / a.degrees + b.square ** 2 / b.degrees);
  const error = Math.hypot(Math.sqrt(welch), (a.louder - b.louder) * slopeError);
  return {
    section: { ...known, ...around(difference, error * studentQuantile(0.975, degrees)) },
    p: fisherTail((difference / error) ** 2, 1, degrees),
  };
}

function around(centre: number, half: number): Pick<MeanShift, 'percent' | 'interval'> {
  return { percent: percentOf(centre), interval: [percentOf(centre - half), percentOf(centre + half)] };
}

/** Mean of shifts, the square of its error by their scatter or by their own errors, degrees of freedom, how much louder after was. */
function momentsOf(shifts: readonly RawShift[]) {
  const n = shifts.length;
  const centre = mean(shifts.map(({ shift }) => shift));
  const scatter = shifts.reduce((sum, { shift }) => sum + (shift - centre) ** 2, 0) / (n - 1) / n;
  const own = shifts.reduce((sum, { error }) => sum + error ** 2, 0) / n ** 2;
  return {
    centre,
    square: Math.max(scatter, own),
    degrees: n - 1,
    louder: mean(shifts.map(({ louder }) => louder)),
  };
}
