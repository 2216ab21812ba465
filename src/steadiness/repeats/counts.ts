/**
 * The quick repeats of a note, counted: silent, weak, after damped gaps, doubles, by rate.
 *
 * A repeat is a fast stroke but the first of its passage; a passage is consecutive fast strokes of one take. Kinds are those of
 * the strokes themselves (silent: absent at its beat or more than 16 dB under; weak: 10 to 16 dB under, against the note's own
 * upper strokes). Passages asked for with full return are counted apart: failures there are no hand's. What fell after a damped
 * gap counts as such in any passage, for the tone itself shows that the key came up.
 */

import { median } from '../../statistics/order.ts';
import type { Decibels } from '../../units.ts';
import type { RecordedStroke } from '../measures.ts';
import type { RecordedTake } from '../round.ts';

/** From this rate on a passage counts as quick, strokes a second: there checking shows more than springs (model study of repeated strokes). */
export const QUICK_FROM = 7;
/** So far under, a repeat has failed where the damper had fallen: a note in order never does that. */
export const DAMPED_FAILS_UNDER: Decibels = 6;

/** Repeats and how they came out. `faint` is silent or weak. */
export interface Series {
  readonly n: number;
  readonly silent: number;
  readonly faint: number;
}

/** One passage, repeat by repeat. */
export interface RepeatPassage {
  readonly quick: boolean;
  readonly failed: readonly boolean[];
  readonly silent: readonly boolean[];
}

export interface RepeatCounts {
  readonly steady: Series;
  readonly quick: Series;
  /** Repeats after damped gaps, and the failed ones: silent, or 6 dB under. */
  readonly dampedSteady: { readonly n: number; readonly failed: number };
  readonly dampedQuick: { readonly n: number; readonly failed: number };
  /** Failed ones among these that are neither silent nor weak: elsewhere they would be the hand's scatter. */
  readonly dampedLow: number;
  /** Sounded strokes, slow and fast, and those struck twice. */
  readonly struck: { readonly n: number; readonly doubles: number };
  /** Repeats asked for with full return. */
  readonly fullReturn: { readonly n: number; readonly failed: number };
  /** Repeats 6 dB or more under, silent ones among them. */
  readonly under: number;
  readonly passages: readonly RepeatPassage[];
}

/** Counts the repeats among strokes in order of play. */
export function countRepeats(
  strokes: readonly RecordedStroke[],
  takes: ReadonlyMap<number, RecordedTake>,
): RepeatCounts {
  const passages: RepeatPassage[] = [];
  const series = { steady: [0, 0, 0], quick: [0, 0, 0] };
  const damped = { steady: [0, 0], quick: [0, 0] };
  const fullReturn = [0, 0];
  let under = 0;
  let dampedLow = 0;
  for (const run of fastRuns(strokes)) {
    const quick = rateOf(run) >= QUICK_FROM;
    const repeats = run.slice(1);
    const silent = repeats.map(({ kind }) => kind === 'silent');
    const failed = repeats.map(({ force }, i) => silent[i] || force === 'weak');
    const failures = failed.filter(Boolean).length;
    const [counts, gaps] = quick ? [series.quick, damped.quick] : [series.steady, damped.steady];
    const low = repeats.map(
      ({ relativeDb }, i) => silent[i] || (relativeDb !== null && relativeDb <= -DAMPED_FAILS_UNDER),
    );
    repeats.forEach(({ preceding }, i) => {
      if (preceding.damped !== true) return;
      gaps[0]++;
      if (low[i]) gaps[1]++;
      if (low[i] && !failed[i]) dampedLow++;
    });
    if (takes.get(run[0].take)?.asked === 'full-return') {
      fullReturn[0] += repeats.length;
      fullReturn[1] += failures;
      continue;
    }
    counts[0] += repeats.length;
    counts[1] += silent.filter(Boolean).length;
    counts[2] += failures;
    under += low.filter(Boolean).length;
    passages.push({ quick, failed, silent });
  }
  const counted = strokes.filter(({ passage }) => passage === 'slow' || passage === 'fast');
  const sounded = counted.filter(({ kind }) => kind === 'sounded').length;
  return {
    steady: seriesOf(series.steady),
    quick: seriesOf(series.quick),
    dampedSteady: { n: damped.steady[0], failed: damped.steady[1] },
    dampedQuick: { n: damped.quick[0], failed: damped.quick[1] },
    dampedLow,
    struck: { n: sounded, doubles: Math.min(sounded, struckTwice(counted)) },
    fullReturn: { n: fullReturn[0], failed: fullReturn[1] },
    under,
    passages,
  };
}

/** Strokes that a second contact followed, or several: a stroke counts once. */
function struckTwice(strokes: readonly RecordedStroke[]): number {
  return strokes.filter(({ kind }, i) => kind === 'double' && strokes[i - 1]?.kind !== 'double').length;
}

function seriesOf([n, silent, faint]: readonly number[]): Series {
  return { n, silent, faint };
}

/** Consecutive fast strokes of one take, doubles left out; a pause longer than any beat parts two passages. */
export function fastRuns(strokes: readonly RecordedStroke[]): RecordedStroke[][] {
  const runs: RecordedStroke[][] = [];
  let run: RecordedStroke[] = [];
  const close = () => {
    if (run.length >= 2) runs.push(run);
    run = [];
  };
  for (const stroke of strokes) {
    if (stroke.kind === 'double') continue;
    const last = run[run.length - 1];
    if (stroke.passage !== 'fast') close();
    else {
      const apart =
        last !== undefined && (last.take !== stroke.take || stroke.timeSeconds - last.timeSeconds > LONGEST_PAUSE);
      if (apart) close();
      run.push(stroke);
    }
  }
  close();
  return runs;
}

/** Seconds; the slowest fast passage has intervals of 0.4 s, and silent strokes stand at their beats. */
const LONGEST_PAUSE = 0.8;

/** Strokes a second; empty beats hold silent strokes and so count. */
function rateOf(run: readonly RecordedStroke[]): number {
  return 1 / Math.max(1e-3, median(run.slice(1).map(({ timeSeconds }, i) => timeSeconds - run[i].timeSeconds)));
}

/** Counts of several looks as one. */
export function joined(counts: readonly RepeatCounts[]): RepeatCounts {
  const sum = (of: (one: RepeatCounts) => number) => counts.reduce((total, one) => total + of(one), 0);
  const series = (of: (one: RepeatCounts) => Series): Series => ({
    n: sum((one) => of(one).n),
    silent: sum((one) => of(one).silent),
    faint: sum((one) => of(one).faint),
  });
  const failures = (of: (one: RepeatCounts) => { n: number; failed: number }) => ({
    n: sum((one) => of(one).n),
    failed: sum((one) => of(one).failed),
  });
  return {
    steady: series(({ steady }) => steady),
    quick: series(({ quick }) => quick),
    dampedSteady: failures(({ dampedSteady }) => dampedSteady),
    dampedQuick: failures(({ dampedQuick }) => dampedQuick),
    dampedLow: sum(({ dampedLow }) => dampedLow),
    struck: { n: sum(({ struck }) => struck.n), doubles: sum(({ struck }) => struck.doubles) },
    fullReturn: failures(({ fullReturn }) => fullReturn),
    under: sum(({ under }) => under),
    passages: counts.flatMap(({ passages }) => passages),
  };
}
