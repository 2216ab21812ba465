/**
 * How unevenly loud a note's slow strokes are, against the piano's other notes.
 *
 * Most of it is the player's: of 1.5 dB a hand scatters by itself, a note must add 3 dB to be seen in twelve strokes
 * (simulation study of the statistics). It is the only thing to go by where no contacts are heard. Never more than
 * `watch`, and no finding: an uneven level has too many causes to be named.
 *
 * Statistic: the winsorised mean square of the levels about the median of each recording, held at ±3 of the piano's
 * scale, over that of the middle one of the other notes. On notes in order it is taken for a chi-square over its degrees
 * of freedom: n − 1, fewer by what the notes differ among themselves, which is told from the middle
 * half of the others, so that a third of bad notes does not hide itself.
 */

import { chiSquareQuantile, gammaTail } from '../../statistics/distributions.ts';
import { deviationEstimate } from '../../statistics/intervals.ts';
import { median, medianDeviation } from '../../statistics/order.ts';
import type { MidiNote } from '../../units.ts';
import type { SupportEvidence } from '../evidence.ts';
import type { RecordedStroke } from '../measures.ts';
import { NO_EVIDENCE, strokesByNote } from './residuals.ts';

const LEAST_STROKES = 5;
const LEAST_OTHERS = 11;
const HELD = 3;
const LIMIT = 0.01;

interface Spread {
  /** Logarithm of the spread, dB. */
  readonly log: number;
  readonly n: number;
  readonly degrees: number;
}

/**
 * Evidence of the level spread of slow strokes, for every note with at least five of them and eleven other such notes.
 * Firm and gentle strokes are left out: they were meant to differ. One-sided p; the measure is the spread itself, dB, with
 * its 90 % interval; `couldHaveShown` is the smallest spread found with 80 % power, dB, or null where holding the strays hides it.
 */
export function judgeLevelSpread(strokes: readonly RecordedStroke[]): Map<MidiNote, SupportEvidence> {
  const deviations = new Map<MidiNote, number[]>();
  const heard = strokes.flatMap((stroke) =>
    stroke.midi !== null && stroke.kind === 'sounded' && stroke.passage === 'slow' && stroke.force === 'usual'
      ? stroke.levelDb === null
        ? []
        : [{ midi: stroke.midi, source: stroke.source ?? 0, levelDb: stroke.levelDb }]
      : [],
  );
  for (const [midi, own] of strokesByNote(heard)) {
    const list = aboutRecordings(own);
    if (list.length >= LEAST_STROKES) deviations.set(midi, list);
  }
  const found = new Map<MidiNote, SupportEvidence>();
  if (deviations.size <= LEAST_OTHERS) return found;
  const scale = median([...deviations.values()].map((list) => medianDeviation(list)));
  if (!(scale > 0)) return found;
  const spreads = new Map([...deviations.entries()].map(([midi, list]) => [midi, spreadOf(list, scale)]));
  for (const [midi, own] of spreads) {
    const others = [...spreads.entries()].filter(([other]) => other !== midi).map(([, spread]) => spread);
    const logs = others.map(({ log }) => log);
    const usual = median(logs);
    const expected = median(others.map((other) => logVariance(other.degrees)));
    const beyond = Math.max(0, medianDeviation(logs) ** 2 - expected);
    // What notes differ among themselves takes degrees away: 1/(2ν) is the variance of the logarithm, nearly.
    const degrees = 1 / (1 / own.degrees + 2 * beyond);
    // The median of a chi-square over its degrees of freedom (Wilson & Hilferty 1931).
    const centre = (1 - 2 / (9 * degrees)) ** 3;
    const square = centre * Math.exp(2 * (own.log - usual));
    const p = gammaTail(degrees / 2, (degrees * square) / 2);
    const value = Math.exp(own.log);
    const half = deviationEstimate(value, own.degrees);
    found.set(midi, {
      ...NO_EVIDENCE,
      watch: p <= LIMIT,
      p,
      measures: [{ kind: 'slow-level-spread', value, unit: 'dB', interval: half.interval, n: own.n }],
      couldHaveShown: shown(Math.exp(usual), degrees, centre, HELD * scale),
    });
  }
  return found;
}

/** Levels about the median of their recording; recordings with fewer than three strokes of the note are left out. */
function aboutRecordings(own: readonly { source: number; levelDb: number }[]): number[] {
  return [...new Set(own.map(({ source }) => source))].flatMap((source) => {
    const levels = own.flatMap((stroke) => (stroke.source === source ? [stroke.levelDb] : []));
    if (levels.length < 3) return [];
    const centre = median(levels);
    const inflate = Math.sqrt(levels.length / (levels.length - 1));
    return levels.map((level) => (level - centre) * inflate);
  });
}

function spreadOf(list: readonly number[], scale: number): Spread {
  const squares = list.map((deviation) => Math.min(Math.abs(deviation), HELD * scale) ** 2);
  const n = list.length;
  // Equal levels throughout happen in made material only; a twentieth of the scale stands for them.
  const spread = Math.max(0.05 * scale, Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / n));
  return { log: Math.log(spread), n, degrees: n - 1 };
}

/** Variance of the logarithm of a spread of so many degrees of freedom: a quarter of the trigamma function of ν/2 (DLMF 5.15.9). */
function logVariance(degrees: number): number {
  return 1 / (2 * degrees) + 1 / (2 * degrees ** 2) + 1 / (3 * degrees ** 3);
}

/** Smallest spread whose chi-square passes the limit in 80 of 100 cases; null where the holding of strays hides it. */
function shown(usual: number, degrees: number, centre: number, most: number): number | null {
  const limit = chiSquareQuantile(1 - LIMIT, degrees);
  const spread = usual * Math.sqrt(limit / chiSquareQuantile(0.2, degrees) / centre);
  return spread < most ? spread : null;
}
