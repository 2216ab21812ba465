/**
 * How unevenly loud a note's slow strokes are, against the piano's other notes.
 *
 * Most of it is the player's: of 1.5 dB a hand scatters by itself, a note must add 3 dB to be seen in twelve strokes
 * (simulation study of the statistics). It is the only thing to go by where no contacts are heard. Never more than
 * `watch`, and no finding: an uneven level has too many causes to be named.
 *
 * Statistic: logarithm of the winsorised spread, values held at ±3 of the piano's scale, about the median of each
 * recording. Compared with the median of the other notes; the scatter it has on notes in order is what so many strokes
 * of a normal hand leave, widened by what the other notes differ beyond that, told from their middle half, so that a
 * third of bad notes does not hide itself.
 */

import { median, medianDeviation } from '../../statistics/order.ts';
import { normalCdf } from '../../statistics/tails.ts';
import type { MidiNote } from '../../units.ts';
import type { SupportEvidence } from '../evidence.ts';
import type { RecordedStroke } from '../measures.ts';
import { EIGHTY_POWER, NINETY, NO_EVIDENCE, strokesByNote } from './residuals.ts';

const LEAST_STROKES = 5;
const LEAST_OTHERS = 11;
const HELD = 3;
const LIMIT = 0.01;
/** Quantile of the standard normal distribution at 1 − LIMIT. */
const LIMIT_DEVIATION = 2.3263478740408408;
/**
 * Scatter of the logarithm of a spread beyond 1/√(2(n − 1)): slips and the winsorising make it wider (simulated with 3 %
 * of slips).
 */
const WIDENED = 1.15;

interface Spread {
  readonly log: number;
  readonly n: number;
  readonly error: number;
}

/**
 * Evidence of the level spread of slow strokes, for every note with at least five of them and eleven other such notes.
 * Firm and gentle strokes are left out: they were meant to differ. One-sided p; the measure is the spread itself, dB, with
 * its 90 % interval; `couldHaveShown` is the smallest spread found with 80 % power, dB.
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
    const beyond = Math.max(0, medianDeviation(logs) ** 2 - median(others.map(({ error }) => error)) ** 2);
    const error = Math.hypot(own.error, Math.sqrt(beyond));
    const p = normalCdf((usual - own.log) / error);
    const value = Math.exp(own.log);
    const factor = Math.exp(NINETY * own.error);
    found.set(midi, {
      ...NO_EVIDENCE,
      watch: p <= LIMIT,
      p,
      measures: [
        { kind: 'slow-level-spread', value, unit: 'dB', interval: [value / factor, value * factor], n: own.n },
      ],
      couldHaveShown: Math.exp(usual + (LIMIT_DEVIATION + EIGHTY_POWER) * error),
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
  return { log: Math.log(spread), n, error: WIDENED / Math.sqrt(2 * (n - 1)) };
}
