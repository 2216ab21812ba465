/**
 * Each note's centre against a robust curve through its neighbours: the estimate behind a shift.
 *
 * Works in ln travel time. Rounds of: the curve at every note from the other notes alone; the difference of black and
 * white keys; the part of the centres that follows the notes' mean level; what good notes differ among themselves; how
 * far each note is to be trusted as a neighbour of others (bisquare, Beaton & Tukey 1974).
 *
 * The level: centres are stated at equal level at the microphone, but one note's strings sound louder than the next one's
 * at the same hammer speed. Then its strokes are loud, its travel time at equal level is long, and nothing is wrong with
 * it. So the centres are regressed on the notes' mean levels, both against their curves, between no share of the hand's
 * slope (levels differ because the player struck harder) and all of it (levels differ because strings do).
 */

import { isBlackKey } from '../../piano/keys.ts';
import { localLinearAt } from '../../statistics/localLinear.ts';
import { median, medianDeviation } from '../../statistics/order.ts';
import type { MidiNote } from '../../units.ts';

/** Reach of the curve to either side, keys; at the ends as many keys inward. */
const REACH = 12;
const LEAST_NEIGHBOURS = 5;
const ROUNDS = 6;
/** From this round on the scatter is learned. */
const SETTLED = 3;
/** What good notes differ among themselves: the least and the most assumed, shares of the travel time. */
export const LEAST_SCATTER = 0.005;
export const SCATTER_CAP = 0.022;
/** The scatters tried, and what is expected of them before: spread of the logarithm (assumption). */
const SCATTERS = Array.from({ length: 16 }, (_, i) => LEAST_SCATTER * 1.16 ** i);
const USUAL_SCATTER = 0.012;
const SCATTER_PRIOR = 0.6;
/** Shares of bad notes tried, and how far those lie off (model study of one grand action: 5 to 12 %). */
const BAD_SHARES = [0.01, 0.05, 0.1, 0.2, 0.35];
const BAD_SPREAD = 0.1;
/** Square of a standard normal value: its median. */
const MEDIAN_SQUARE = 0.454936;
/** By how much, at most, a third of bad notes widens the median of the squares: (0.75 quantile / 0.5 quantile of |z|)². */
const THIRD_BAD = (1.1503493803760079 / 0.6744897501960817) ** 2;
/** Beyond so many errors a note has no say in its neighbours' curve. */
const CUT = 4.685;
/** A cut-off neighbour keeps so much weight that the curve stays defined. */
const LEAST_TRUST = 1e-3;
/** Black against white keys: expected size of the difference (3 ms in 90), and the fewest of each colour to tell it. */
const OFFSET_PRIOR = 0.035;
const LEAST_OF_COLOUR = 4;
/** Fewest notes with a level from which its share is learned; with fewer, half of it is taken, and may be either way. */
const LEAST_LEVELS = 20;
const UNKNOWN_SHARE = 0.5;

/** What a note is compared by. */
export interface Placed {
  readonly midi: MidiNote;
  /** ln travel time at the reference level. */
  readonly centre: number;
  /** Error of the centre and of the note's zero together. */
  readonly error: number;
  /** Mean level, dB, or null. */
  readonly level: number | null;
}

/** How a note lies against its neighbours: ln travel time, and the error of that. */
export interface Deviation {
  readonly size: number;
  readonly error: number;
}

export interface Comparison {
  /** In the order of the notes; null where too few lie near. */
  readonly deviations: readonly (Deviation | null)[];
  /** Black minus white keys, ln travel time. */
  readonly blackOffset: number;
  /** What good notes differ among themselves, as used. */
  readonly scatter: number;
  /** Share of the hand's slope by which centres follow the mean levels, 0 to 1. */
  readonly levelShare: number;
}

/**
 * Compares notes (in order of pitch) with their neighbours.
 *
 * @param slopePerDb of the hand, ln travel time per dB
 * @param sectionOf the section a note stands in: curves keep within one
 */
export function compareNeighbours(
  notes: readonly Placed[],
  slopePerDb: number,
  sectionOf: (midi: MidiNote) => number,
): Comparison {
  const near = notes.map(({ midi }, i) => {
    const own = sectionOf(midi);
    const others = notes.flatMap((other, j) =>
      j !== i && sectionOf(other.midi) === own && Math.abs(other.midi - midi) <= 2 * (REACH + 1) ? [j] : [],
    );
    const close = others.filter((j) => Math.abs(notes[j].midi - midi) <= REACH);
    return close.length >= LEAST_NEIGHBOURS ? others : [];
  });
  const trust = notes.map(() => 1);
  let scatter = SCATTER_CAP;
  let offset = { value: 0, error: 0 };
  let levelShare = 0;
  let levels: readonly (number | null)[] = notes.map(() => null);
  let deviations: (Deviation | null)[] = [];
  const curveAt = (i: number, values: readonly (number | null)[], errorOf: (j: number) => number) => {
    const points = near[i].flatMap((j) => {
      const y = values[j];
      return y === null ? [] : [{ x: notes[j].midi, y, se: errorOf(j) / Math.sqrt(trust[j]) }];
    });
    if (points.length < LEAST_NEIGHBOURS) return null;
    const curve = localLinearAt(points, notes[i].midi, { halfWindow: REACH + 1, fewest: LEAST_NEIGHBOURS });
    if (!curve) return null;
    // The errors are known here: the curve's own scale would let bad neighbours widen it.
    const typical = points.reduce((sum, { se }) => sum + se ** -2, 0) ** -0.5;
    return { value: curve.value, error: curve.scale > 0 ? curve.standardError / curve.scale : typical };
  };
  notes.forEach(({ midi, centre, error }, i) => {
    const close = near[i].filter((j) => Math.abs(notes[j].midi - midi) <= REACH).map((j) => notes[j]);
    if (close.length > 0) trust[i] = bisquare((centre - middleLineAt(close, midi)) / Math.hypot(error, scatter));
  });
  for (let round = 0; round < ROUNDS; round++) {
    const errorOf = (j: number) => Math.hypot(notes[j].error, scatter);
    const adjusted = notes.map(({ midi, centre }, i) => {
      return centre - (isBlackKey(midi) ? offset.value : 0) + levelShare * slopePerDb * (levels[i] ?? 0);
    });
    const curves = notes.map((_, i) => curveAt(i, adjusted, errorOf));
    const byLevel = levelNoise(levels, levelShare, slopePerDb);
    const parts = notes.map(({ midi, error }, i) => {
      const curve = curves[i];
      if (!curve) return null;
      const known = Math.hypot(error, curve.error, isBlackKey(midi) ? offset.error : 0, byLevel);
      return { size: adjusted[i] - curve.value, known };
    });
    const told = parts.flatMap((part) => part ?? []);
    if (told.length === 0) return { deviations: parts.map(() => null), blackOffset: 0, scatter, levelShare: 0 };
    // Until the curve has settled the cap stands: what bad notes do to the first curves is no scatter of the good ones.
    const last = round === ROUNDS - 1;
    if (round >= SETTLED) scatter = scatterOf(told);
    deviations = parts.map((part) => part && { size: part.size, error: Math.hypot(part.known, scatter) });
    if (last) break;
    deviations.forEach((deviation, i) => {
      if (deviation) trust[i] = bisquare(deviation.size / deviation.error);
    });
    offset = offsetOf(notes, deviations, offset.value);
    if (round === 0) levels = levelDeviations(notes, (i, values) => curveAt(i, values, () => 1)?.value ?? null);
    levelShare = shareOf(levels, deviations, trust, levelShare, slopePerDb);
  }
  return { deviations, blackOffset: offset.value, scatter, levelShare };
}

/** Line of the median slope of all pairs, at a key (Theil 1950, Sen 1968): a third of bad neighbours moves it little. */
function middleLineAt(close: readonly Placed[], midi: MidiNote): number {
  const slopes = close.flatMap((a, i) => close.slice(i + 1).map((b) => (b.centre - a.centre) / (b.midi - a.midi)));
  const slope = median(slopes);
  return median(close.map((note) => note.centre - slope * (note.midi - midi)));
}

function bisquare(z: number): number {
  return Math.max(LEAST_TRUST, Math.abs(z) < CUT ? (1 - (z / CUT) ** 2) ** 2 : 0);
}

/**
 * What good notes differ among themselves: the least of three. The median of the squares is sharp while few notes are bad;
 * the likeliest scatter of a mixture holds up to a third that are far off; the cap holds where neither can tell. Where both
 * estimates are over the cap, never less than the median of the squares leaves if a third of the notes were bad and all
 * of them far off: so much the good ones differ in any case.
 */
function scatterOf(parts: readonly { size: number; known: number }[]): number {
  const estimate = Math.min(middleScatter(parts, MEDIAN_SQUARE), likeliestScatter(parts));
  if (estimate <= SCATTER_CAP) return Math.max(LEAST_SCATTER, estimate);
  return Math.max(SCATTER_CAP, middleScatter(parts, MEDIAN_SQUARE * THIRD_BAD));
}

/** The scatter with which the median of the squared deviations, in their errors, is `target`; 0 where it is less without. */
function middleScatter(parts: readonly { size: number; known: number }[], target: number): number {
  let [low, high] = [0, 1];
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    const squares = parts.map(({ size, known }) => size ** 2 / (known ** 2 + middle ** 2));
    if (median(squares) > target) low = middle;
    else high = middle;
  }
  return high;
}

/** The likeliest scatter where some share of the notes may be bad and lie anywhere within a wide normal. */
function likeliestScatter(parts: readonly { size: number; known: number }[]): number {
  let best = { scatter: LEAST_SCATTER, likelihood: -Infinity };
  for (const scatter of SCATTERS) {
    const prior = -0.5 * (Math.log(scatter / USUAL_SCATTER) / SCATTER_PRIOR) ** 2;
    for (const share of BAD_SHARES) {
      let likelihood = prior;
      for (const { size, known } of parts) {
        const good = Math.hypot(known, scatter);
        const bad = Math.hypot(good, BAD_SPREAD);
        const density = (error: number) => Math.exp(-0.5 * (size / error) ** 2) / error;
        likelihood += Math.log((1 - share) * density(good) + share * density(bad));
      }
      if (likelihood > best.likelihood) best = { scatter, likelihood };
    }
  }
  return best.scatter;
}

/** Black minus white keys: difference of the medians, shrunk by its error (that of medians of normal values). */
function offsetOf(notes: readonly Placed[], deviations: readonly (Deviation | null)[], before: number) {
  const of = (black: boolean) =>
    deviations.flatMap((deviation, i) => (deviation && isBlackKey(notes[i].midi) === black ? [deviation] : []));
  const [blacks, whites] = [of(true), of(false)];
  if (blacks.length < LEAST_OF_COLOUR || whites.length < LEAST_OF_COLOUR) return { value: before, error: 0 };
  const middle = (list: readonly Deviation[]) => median(list.map(({ size }) => size));
  const variance = (list: readonly Deviation[]) =>
    ((Math.PI / 2) * median(list.map(({ error }) => error)) ** 2) / list.length;
  const own = variance(blacks) + variance(whites);
  const shrink = OFFSET_PRIOR ** 2 / (OFFSET_PRIOR ** 2 + own);
  return { value: shrink * (before + middle(blacks) - middle(whites)), error: Math.sqrt(shrink * own) };
}

/** Mean levels against their own curves, dB. */
function levelDeviations(
  notes: readonly Placed[],
  curveAt: (i: number, values: readonly (number | null)[]) => number | null,
): (number | null)[] {
  const levels = notes.map(({ level }) => level);
  return notes.map(({ level }, i) => {
    const usual = level === null ? null : curveAt(i, levels);
    return usual === null ? null : level! - usual;
  });
}

/**
 * What the levels leave uncertain, ln travel time: of a deviation in level the share s is the strings', with variance
 * s(1 − s) of that of the levels (regression of one normal part on the sum of two).
 */
function levelNoise(levels: readonly (number | null)[], share: number, slopePerDb: number): number {
  const told = levels.flatMap((level) => level ?? []);
  if (told.length === 0 || share === 0) return 0;
  return Math.abs(slopePerDb) * Math.sqrt(share * (1 - share)) * medianDeviation(told);
}

/**
 * Share of the slope by which centres follow the levels, weighted by trust: what they still do, added to the share before.
 * None where it is less than twice its error; where there are too few notes to learn it, one half.
 */
function shareOf(
  levels: readonly (number | null)[],
  deviations: readonly (Deviation | null)[],
  trust: readonly number[],
  before: number,
  slopePerDb: number,
): number {
  const pairs = levels.flatMap((level, i) => {
    const deviation = deviations[i];
    return level === null || !deviation ? [] : [{ level, ...deviation, weight: trust[i] / deviation.error ** 2 }];
  });
  if (slopePerDb === 0) return 0;
  if (pairs.length < LEAST_LEVELS) return UNKNOWN_SHARE;
  const product = pairs.reduce((sum, { level, size, weight }) => sum + weight * level * size, 0);
  const square = pairs.reduce((sum, { level, weight }) => sum + weight * level * level, 0);
  if (square === 0) return before;
  const share = before - product / square / slopePerDb;
  const error = 1 / Math.sqrt(square) / Math.abs(slopePerDb);
  return share < 2 * error ? 0 : Math.min(1, share);
}
