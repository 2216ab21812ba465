/**
 * What a note's strokes amount to: how evenly and how surely it repeats, each number with its interval and its n.
 *
 * Unevenness is the spread of the intervals of a passage about their own straight drift, in percent of the mean
 * interval. A failed repeat is a fast stroke that is silent, or weak: which it is, the strokes themselves say (see
 * strokes/types: held against the upper quartile of the take's fast strokes). The onset error is the median of what
 * each stroke's own fit expects, its interval the range of nine in ten of them. Travel time is from the finger's contact
 * with the key to the onset, at the loudness it was played with. Nothing here judges the hand: the judgement that
 * takes it out is another module's.
 */

import {
  deviationEstimate,
  detrended,
  mean,
  meanEstimate,
  shareEstimate,
  standardDeviation,
} from '../statistics/intervals.ts';
import { quantile } from '../statistics/order.ts';
import type { Stroke } from '../strokes/types.ts';
import type { Measure } from './kinds.ts';
import { countRepeats } from './repeats/counts.ts';
import type { RecordedTake } from './round.ts';

/** A stroke, with the index of its recording where several are pooled: levels compare within one recording only. */
export type RecordedStroke = Stroke & { readonly source?: number };

const LEAST_INTERVALS = 3;
/** A longer pause parts two passages, seconds. */
const LONGEST = { fast: 0.4, slow: 4 } as const;

/**
 * Measures of one note's strokes, of any number of takes and recordings, in order of time within each. What cannot be
 * estimated is left out.
 * @param takes - by their numbers: repeats asked for with full return are not counted
 */
export function measureNote(
  all: readonly RecordedStroke[],
  takes: ReadonlyMap<number, RecordedTake> = new Map(),
): Measure[] {
  // A double is no stroke of the hand.
  const strokes = all.filter(({ kind }) => kind !== 'double');
  const measures: Measure[] = [];
  for (const passage of ['fast', 'slow'] as const) {
    const runs = runsOf(strokes, passage);
    const unevenness = unevennessOf(runs);
    if (unevenness) measures.push({ kind: `${passage}-unevenness`, unit: 'percent', ...unevenness });
    const bySource = levelsBySource(strokes, passage);
    const levels = [...bySource.values()].flat();
    const spread = levelSpread([...bySource.values()]);
    if (spread) measures.push({ kind: `${passage}-level-spread`, unit: 'dB', ...spread });
    if (passage === 'slow' && levels.length >= 2) {
      measures.push({ kind: 'level', unit: 'dB', ...meanEstimate(levels), n: levels.length });
    }
    if (passage === 'fast') {
      const rates = runs.flat().map((interval) => 1 / interval);
      if (rates.length >= 2)
        measures.push({ kind: 'rate', unit: 'per-second', ...meanEstimate(rates), n: rates.length });
    }
  }
  const errors = strokes.flatMap(({ onsetErrorSeconds }) =>
    onsetErrorSeconds === null ? [] : [1000 * onsetErrorSeconds],
  );
  if (errors.length >= LEAST_INTERVALS) {
    const interval = [quantile(errors, 0.05), quantile(errors, 0.95)] as const;
    measures.push({ kind: 'onset-error', unit: 'ms', value: quantile(errors, 0.5), interval, n: errors.length });
  }
  measures.push(...contactMeasures(strokes));
  const repeats = failedRepeats(strokes, takes);
  if (repeats.n > 0) {
    measures.push({ kind: 'failed-repeats', unit: 'share', ...shareEstimate(repeats.failed, repeats.n), n: repeats.n });
  }
  return measures;
}

/**
 * Contacts less sure than this are as likely another sound: no judgement counts them. The pictures draw them as faint, by a
 * limit of their own of the same size.
 */
export const LEAST_CONTACT_CONFIDENCE = 0.5;

/**
 * How many slow strokes that spoke had their contact heard, and how long those travelled. A faint contact, and one in
 * either of two places, count for neither.
 */
function contactMeasures(strokes: readonly RecordedStroke[]): Measure[] {
  const slow = strokes.filter(
    ({ kind, passage, onsetSeconds }) => kind === 'sounded' && passage === 'slow' && onsetSeconds !== null,
  );
  if (slow.length < LEAST_INTERVALS) return [];
  const travels = slow.filter(contactCounts).map((stroke) => 1000 * (stroke.onsetSeconds! - stroke.contactSeconds!));
  const heard = { ...shareEstimate(travels.length, slow.length), n: slow.length };
  const measures: Measure[] = [{ kind: 'contacts-heard', unit: 'share', ...heard }];
  if (travels.length >= LEAST_INTERVALS) {
    measures.push({ kind: 'travel-time', unit: 'ms', ...meanEstimate(travels), n: travels.length });
  }
  return measures;
}

/** True for one clear contact before the onset. */
function contactCounts(stroke: RecordedStroke): boolean {
  const { contactSeconds, otherContactSeconds, onsetSeconds, contactConfidence, absent, doubt } = stroke;
  if (contactSeconds === null || onsetSeconds === null || contactSeconds >= onsetSeconds) return false;
  if (otherContactSeconds !== null || absent.contact === 'two-candidates' || doubt.includes('two-candidates'))
    return false;
  return contactConfidence === null || contactConfidence >= LEAST_CONTACT_CONFIDENCE;
}

/**
 * Quick repeats (see repeats/counts) and how many of them failed, those asked for with full return aside.
 * @param takes - by their numbers, to know what was asked for
 */
export function failedRepeats(
  strokes: readonly RecordedStroke[],
  takes: ReadonlyMap<number, RecordedTake> = new Map(),
): { failed: number; silent: number; weak: number; n: number } {
  const { steady, quick } = countRepeats(strokes, takes);
  const [silent, failed] = [steady.silent + quick.silent, steady.faint + quick.faint];
  return { failed, silent, weak: failed - silent, n: steady.n + quick.n };
}

/** Levels of the strokes of a passage, by the index of their recording. */
function levelsBySource(strokes: readonly RecordedStroke[], passage: 'fast' | 'slow'): Map<number, number[]> {
  const found = new Map<number, number[]>();
  for (const { passage: own, levelDb, source = 0 } of strokes) {
    if (own === passage && levelDb !== null) found.set(source, [...(found.get(source) ?? []), levelDb]);
  }
  return found;
}

/** Spread about the mean of each recording: another gain or another place of the microphone is no spread of the note. */
function levelSpread(groups: readonly (readonly number[])[]) {
  const several = groups.filter(({ length }) => length >= 2);
  const degrees = several.reduce((sum, { length }) => sum + length - 1, 0);
  if (degrees < LEAST_INTERVALS - 1) return null;
  const parts = several.map((levels) => standardDeviation(levels) * Math.sqrt((levels.length - 1) / degrees));
  return { ...deviationEstimate(Math.hypot(...parts), degrees), n: several.flat().length };
}

/** Intervals between neighbouring sounded strokes of one passage, a list a run; doubtful times are left out. */
function runsOf(strokes: readonly Stroke[], passage: 'fast' | 'slow'): number[][] {
  const runs: number[][] = [];
  let run: number[] = [];
  for (let i = 1; i < strokes.length; i++) {
    const [a, b] = [strokes[i - 1], strokes[i]];
    const joined =
      a.take === b.take &&
      a.passage === passage &&
      b.passage === passage &&
      a.onsetSeconds !== null &&
      b.onsetSeconds !== null;
    if (joined && b.onsetSeconds! - a.onsetSeconds! <= LONGEST[passage]) run.push(b.onsetSeconds! - a.onsetSeconds!);
    else if (run.length) {
      runs.push(run);
      run = [];
    }
  }
  if (run.length) runs.push(run);
  return runs;
}

function unevennessOf(runs: readonly (readonly number[])[]) {
  let squares = 0;
  let degrees = 0;
  let n = 0;
  const centres: number[] = [];
  for (const run of runs) {
    if (run.length < LEAST_INTERVALS) continue;
    const centre = mean(run);
    squares += detrended(run).reduce((sum, r) => sum + (r / centre) ** 2, 0);
    degrees += run.length - 2;
    n += run.length;
    centres.push(centre);
  }
  if (degrees < 1) return null;
  return { ...deviationEstimate(100 * Math.sqrt(squares / degrees), degrees), n };
}
