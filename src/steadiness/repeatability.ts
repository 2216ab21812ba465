/**
 * How well the measures repeat: the same notes played several times over with nothing adjusted between.
 *
 * A table of notes × takes, one value each, parted into notes, takes and rest (two-way analysis of variance without
 * replication). The rest is the repeatability: what one value of a note strays by when nothing has changed. What takes differ
 * by on all notes alike (the microphone moved, the player warmed up) stands apart. Intervals hold 90 %: chi-square
 * for the repeatability, Fisher's F for its ratio to the notes (Searle, Casella & McCulloch 1992, section 3.6).
 */

import { betaQuantile } from '../statistics/distributions.ts';
import type { Estimate } from '../statistics/intervals.ts';
import { mean } from '../statistics/intervals.ts';
import { spreadTest } from '../statistics/spreadTests.ts';
import { repeatabilityStudy } from '../statistics/variance.ts';
import type { MidiNote } from '../units.ts';

export const STUDY_MEASURES = ['travel-at-level', 'travel-spread', 'level', 'failed-repeats'] as const;
export type StudyMeasureKind = (typeof STUDY_MEASURES)[number];

/** `ln`: natural logarithm of a ratio. */
export const STUDY_UNITS = ['percent', 'ln', 'dB', 'share'] as const;
export type StudyUnit = (typeof STUDY_UNITS)[number];

/** Fewest notes and takes. */
export const LEAST_STUDY_NOTES = 5;
export const LEAST_STUDY_TAKES = 2;

/** One measure's values: a list a note with one value a take, null where it could not be had. */
export interface StudyValues {
  readonly kind: StudyMeasureKind;
  readonly unit: StudyUnit;
  readonly values: ReadonlyMap<MidiNote, readonly (number | null)[]>;
}

/** What the study says of one measure; all but the probability in its unit. */
export interface MeasureStudy {
  readonly kind: StudyMeasureKind;
  readonly unit: StudyUnit;
  /** Notes that have the measure in every take. */
  readonly notes: readonly MidiNote[];
  readonly takes: number;
  /** Standard deviation of one value when nothing has changed, with its 90 % interval. */
  readonly repeatability: Estimate;
  /** Standard deviation of what takes differ by on all notes alike. */
  readonly betweenTakes: number;
  /** Standard deviation of the notes themselves. */
  readonly betweenNotes: number;
  /** Smallest change of one note that chance exceeds no oftener than once in twenty: 1.96·√2·repeatability. */
  readonly smallestChange: number;
  /** Repeatability over between-notes; an upper end or value of null: the notes are not shown to differ at all. */
  readonly ratio: { readonly value: number | null; readonly interval: readonly [number, number | null] };
  /** Whether takes scatter alike (Brown & Forsythe): a small probability says that one take was less steady. Null for two. */
  readonly takesAlike: { readonly probability: number } | null;
}

/** Notes that have a value in every take, from bass to treble. */
export function completeNotes({ values }: StudyValues): MidiNote[] {
  return [...values]
    .filter(([, row]) => row.every((value) => value !== null))
    .map(([midi]) => midi)
    .sort((a, b) => a - b);
}

/** The study of one measure; null with fewer than five notes or two takes. */
export function measureStudy(study: StudyValues): MeasureStudy | null {
  const notes = completeNotes(study);
  const table = notes.map((midi) => study.values.get(midi)!.map((value) => value!));
  const takes = table[0]?.length ?? 0;
  if (notes.length < LEAST_STUDY_NOTES || takes < LEAST_STUDY_TAKES) return null;
  const result = repeatabilityStudy(table);
  const { repeatability, takeDeviation, noteDeviation, detectableChange } = result;
  const f = result.notes.meanSquare / result.rest.meanSquare;
  return {
    kind: study.kind,
    unit: study.unit,
    notes,
    takes,
    repeatability,
    betweenTakes: takeDeviation,
    betweenNotes: noteDeviation,
    smallestChange: detectableChange,
    ratio: {
      value: noteDeviation > 0 ? repeatability.value / noteDeviation : null,
      interval: ratioInterval(f, takes, result.notes.degrees, result.rest.degrees),
    },
    // With two takes what is left of one is the other's turned round: they scatter alike by construction.
    takesAlike: takes > 2 ? { probability: spreadTest(leftOver(table)).probability } : null,
  };
}

/** 90 % interval of repeatability over between-notes, from F = notes' over rest's mean square. */
function ratioInterval(f: number, takes: number, degrees: number, rest: number): [number, number | null] {
  const share = (p: number): number => (f / fisherQuantile(p, degrees, rest) - 1) / takes;
  const [most, least] = [share(0.05), share(0.95)];
  return [most > 0 ? 1 / Math.sqrt(most) : 0, least > 0 ? 1 / Math.sqrt(least) : null];
}

function fisherQuantile(p: number, numerator: number, denominator: number): number {
  const x = betaQuantile(p, numerator / 2, denominator / 2);
  return (denominator * x) / (numerator * (1 - x));
}

/** What neither note nor take explains, a list a take. */
function leftOver(table: readonly (readonly number[])[]): number[][] {
  const ofNote = table.map((row) => mean(row));
  const grand = mean(ofNote);
  return table[0].map((_, take) => {
    const ofTake = mean(table.map((row) => row[take]));
    return table.map((row, k) => row[take] - ofNote[k] - ofTake + grand);
  });
}
