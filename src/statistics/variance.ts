/**
 * Analysis of variance: one way (groups of values) and two ways (notes × takes, one value each), with the components
 * of variance that a repeatability study reports.
 *
 * Sources: Fisher's F; Searle, Casella & McCulloch 1992, Variance Components, chapters 3 and 4 (mean squares and
 * their expectations; a negative component is taken as none); chi-square interval of the repeatability on its own
 * degrees of freedom; gauge figures by common practice, no source.
 */

import { fisherTail } from './distributions.ts';
import { deviationEstimate, mean, type Estimate } from './intervals.ts';

interface MeanSquare {
  readonly squares: number;
  readonly degrees: number;
  readonly meanSquare: number;
}

export interface OneWay {
  readonly between: MeanSquare;
  readonly within: MeanSquare;
  readonly f: number;
  /** Probability of so great an F where all groups have one mean. */
  readonly probability: number;
  /** Standard deviation within groups, with its interval. */
  readonly repeatability: Estimate;
  /** Standard deviation of the groups' true means; 0 where they differ no more than chance. */
  readonly betweenDeviation: number;
}

/**
 * One-way analysis of variance of groups of any sizes from 1.
 * @throws RangeError for fewer than two groups, an empty group, or no group of two.
 */
export function oneWay(groups: readonly (readonly number[])[], coverage = 0.9): OneWay {
  if (groups.length < 2) throw new RangeError(`${groups.length} groups, expected at least two`);
  const n = groups.reduce((sum, group) => sum + group.length, 0);
  if (n <= groups.length) throw new RangeError('no group of two values');
  const grand = mean(groups.flat());
  const means = groups.map(mean);
  const between = squares(
    groups.reduce((sum, group, i) => sum + group.length * (means[i] - grand) ** 2, 0),
    groups.length - 1,
  );
  const within = squares(
    groups.reduce((sum, group, i) => sum + group.reduce((s, v) => s + (v - means[i]) ** 2, 0), 0),
    n - groups.length,
  );
  const f = between.meanSquare / within.meanSquare;
  // The size of group that the mean square between is worth; the common one where all are alike.
  const size = (n - groups.reduce((sum, group) => sum + group.length ** 2, 0) / n) / between.degrees;
  return {
    between,
    within,
    f,
    probability: fisherTail(f, between.degrees, within.degrees),
    repeatability: deviationEstimate(Math.sqrt(within.meanSquare), within.degrees, coverage),
    betweenDeviation: component(between, within, size),
  };
}

export interface Repeatability {
  readonly notes: MeanSquare;
  readonly takes: MeanSquare;
  readonly rest: MeanSquare;
  /** Standard deviation of one value that neither its note nor its take explains, with its interval. */
  readonly repeatability: Estimate;
  /** Standard deviation from take to take common to all notes. */
  readonly takeDeviation: number;
  /** Standard deviation of the notes' true values. */
  readonly noteDeviation: number;
  /** Repeatability and takes together, over the total: 0 (the study sees only notes) to 1 (only itself). */
  readonly gaugeShare: number;
  /** 1.41 · note deviation / (repeatability and takes together): how many classes of notes can be told apart. */
  readonly classes: number;
  /** The change of one note between two takes that chance exceeds once in twenty, 1.96 · √2 · repeatability. */
  readonly detectableChange: number;
}

/**
 * A repeatability study: `table[note][take]`, each note once in every take.
 * @throws RangeError for fewer than two notes or takes, or rows of unequal length.
 */
export function repeatabilityStudy(table: readonly (readonly number[])[], coverage = 0.9): Repeatability {
  const notes = table.length;
  const takes = table[0]?.length ?? 0;
  if (notes < 2 || takes < 2) throw new RangeError(`${notes} notes × ${takes} takes, expected at least 2 × 2`);
  if (table.some((row) => row.length !== takes)) throw new RangeError('a note is missing from a take');
  const grand = mean(table.flat());
  const ofNote = table.map(mean);
  const ofTake = table[0].map((_, t) => mean(table.map((row) => row[t])));
  const about = (means: readonly number[]): number => means.reduce((sum, m) => sum + (m - grand) ** 2, 0);
  const byNote = squares(takes * about(ofNote), notes - 1);
  const byTake = squares(notes * about(ofTake), takes - 1);
  const left = table.flatMap((row, k) => row.map((v, t) => v - ofNote[k] - ofTake[t] + grand));
  const rest = squares(
    left.reduce((sum, v) => sum + v * v, 0),
    (notes - 1) * (takes - 1),
  );
  const deviation = Math.sqrt(rest.meanSquare);
  const takeDeviation = component(byTake, rest, notes);
  const noteDeviation = component(byNote, rest, takes);
  const gauge = Math.hypot(deviation, takeDeviation);
  return {
    notes: byNote,
    takes: byTake,
    rest,
    repeatability: deviationEstimate(deviation, rest.degrees, coverage),
    takeDeviation,
    noteDeviation,
    gaugeShare: gauge === 0 ? 0 : gauge / Math.hypot(gauge, noteDeviation),
    classes: noteDeviation === 0 ? 0 : (1.41 * noteDeviation) / gauge,
    detectableChange: 1.96 * Math.SQRT2 * deviation,
  };
}

function squares(sum: number, degrees: number): MeanSquare {
  return { squares: sum, degrees, meanSquare: sum / degrees };
}

function component(effect: MeanSquare, rest: MeanSquare, size: number): number {
  return Math.sqrt(Math.max(0, effect.meanSquare - rest.meanSquare) / size);
}
