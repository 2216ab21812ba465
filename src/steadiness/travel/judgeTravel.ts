/**
 * The spread of travel time: whether a note's hammer seems to start from the same place before every slow stroke.
 *
 * Loudness is taken out with one slope for the piano, the hand with its firm scale; what is left is held against what notes in
 * order show. Looks are cumulative, each with its own error level ({@link LOOK_ALPHA}); nothing is decided below four
 * strokes, nor without a scale learned on at least {@link LEAST_NOTES} notes or stored before. The fit is one for the whole
 * round, so the order in which notes were played changes nothing.
 */

import { spreadTail, criticalRow, LEAST_VALUES } from '../../statistics/criticalValues.ts';
import { normalQuantile } from '../../statistics/tails.ts';
import { median } from '../../statistics/order.ts';
import { posteriorAbove, posteriorQuantile, spreadPosterior } from '../../statistics/spreadPosterior.ts';
import { boundedCentre, boundedSpread } from '../../statistics/winsorised.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, TravelEvidence, TravelStroke } from '../evidence.ts';
import type { Finding, Measure } from '../kinds.ts';
import type { HandReference } from '../reference.ts';
import { cellsOf, pooledSlope, PRIOR_SLOPE, PRIOR_SLOPE_SD } from './slope.ts';
import { firmScale, LEAST_STROKES, RETURNING_LOG_SD } from './scale.ts';
import type { UsableStrokes } from './usable.ts';

/** Error level of the first, second and third look (from simulated sittings: about 0.15 false per 88 notes together). */
export const LOOK_ALPHA = [0.0005, 0.002, 0.002] as const;
/** Fewest notes with three usable strokes that make a reference. */
export const LEAST_NOTES = 12;
/** Fewest strokes that may decide. */
export const LEAST_DECIDING = 4;
const OPEN_UP_TO = 0.1;
const DOUBTFUL_UP_TO = 0.05;
/** From here on a spread is well over the firm scale. */
const WELL_OVER = Math.log(1.4);
/** Most strokes that are asked for; more is no reasonable time. */
const MOST_ASKED = 40;
/** Usable strokes that clear most notes in order. */
const CLEARING = 12;
/** Points and weights of the Gauss-Hermite rule with five points, for a standard normal. */
const HERMITE = [
  [-2.8569700138728056, 0.011257411327720693],
  [-1.355626179974266, 0.2220759220056126],
  [0, 0.5333333333333333],
  [1.355626179974266, 0.2220759220056126],
  [2.8569700138728056, 0.011257411327720693],
] as const;

export interface TravelJudgement {
  /** Null where no stroke of the round was usable. */
  readonly hand: HandScale | null;
  readonly notes: ReadonlyMap<MidiNote, TravelEvidence>;
}

/** Judges the travel times of a round's notes; `reference` from an earlier sitting with the same player, touch and place. */
export function judgeTravel(notes: readonly UsableStrokes[], reference: HandReference | null): TravelJudgement {
  const strokes = notes.flatMap(({ usual }) => usual);
  const hand = strokes.length > 0 ? handOf(strokes, reference) : null;
  return { hand, notes: new Map(notes.map((note) => [note.midi, evidenceOf(note, hand)])) };
}

function handOf(strokes: readonly TravelStroke[], stored: HandReference | null): HandScale {
  const slope = pooledSlope(
    strokes,
    stored
      ? { slope: stored.slopePerDb, error: Math.hypot(stored.slopeError, PRIOR_SLOPE_SD / 3) }
      : { slope: PRIOR_SLOPE, error: PRIOR_SLOPE_SD },
  );
  const residuals = [...residualsByNote(strokes, slope.slope).values()];
  const fit = firmScale(residuals, stored ? { scale: stored.scale, logSd: RETURNING_LOG_SD } : undefined);
  const enough = fit.notes >= LEAST_NOTES && fit.firmShare >= 0.5;
  const scale =
    !enough && stored
      ? { scale: stored.scale, logError: Math.hypot(stored.logError, RETURNING_LOG_SD), strayShare: stored.slipRate }
      : fit;
  const referenceDb = median(strokes.map(({ levelDb }) => levelDb));
  const atLevel = strokes.map(({ logTravel, levelDb }) => logTravel - slope.slope * (levelDb - referenceDb));
  return {
    scale: scale.scale,
    logError: scale.logError,
    slopePerDb: slope.slope,
    slopeError: slope.error,
    slipRate: scale.strayShare,
    referenceDb,
    referenceTravel: Math.exp(median(atLevel)),
    reference: enough ? 'this-round' : stored ? 'stored' : 'none',
    notes: fit.notes,
    firmShare: fit.firmShare,
  };
}

/**
 * Residuals of ln travel time about the centre of each note, look and recording, by note, in the order given. Where a note
 * has several, its residuals are widened for the centres that were taken out besides the first.
 */
function residualsByNote(strokes: readonly TravelStroke[], slope: number, scale?: number): Map<MidiNote, number[]> {
  const free = strokes.map(({ logTravel, levelDb }) => logTravel - slope * levelDb);
  const cells = cellsOf(strokes);
  const residuals = new Float64Array(strokes.length);
  for (const cell of cells) {
    const own = cell.map((i) => free[i]);
    const centre = scale === undefined ? median(own) : boundedCentre(own, scale);
    for (const i of cell) residuals[i] = free[i] - centre;
  }
  const counts = new Map<MidiNote, number>();
  for (const cell of cells) counts.set(strokes[cell[0]].midi, (counts.get(strokes[cell[0]].midi) ?? 0) + 1);
  const byNote = new Map<MidiNote, number[]>();
  strokes.forEach(({ midi }, i) => {
    const list = byNote.get(midi);
    if (list) list.push(residuals[i]);
    else byNote.set(midi, [residuals[i]]);
  });
  for (const [midi, own] of byNote) {
    const centres = counts.get(midi)!;
    if (centres === 1) continue;
    const widen = own.length > centres ? Math.sqrt((own.length - 1) / (own.length - centres)) : 0;
    byNote.set(
      midi,
      own.map((r) => r * widen),
    );
  }
  return byNote;
}

function evidenceOf({ usual, unused }: UsableStrokes, hand: HandScale | null): TravelEvidence {
  const n = usual.length;
  const asked = askedFor(n, unused);
  const nothing: TravelEvidence = {
    n,
    unused,
    decides: false,
    decidedAt: null,
    open: true,
    steady: false,
    p: null,
    probability: 0,
    findings: [],
    measures: [],
    centre: null,
    centreError: null,
    meanLevelDb: null,
    residuals: [],
    couldHaveShown: null,
    slowNeeded: asked(LEAST_DECIDING + 1),
  };
  if (hand === null || n === 0) return nothing;
  const residuals = residualsByNote(usual, hand.slopePerDb, hand.scale).get(usual[0].midi)!;
  const centred = centreOf(usual, hand, residuals);
  if (n < LEAST_VALUES || n <= cellsOf(usual).length)
    return { ...nothing, ...centred, residuals, measures: [atLevelMeasure(centred, n)] };

  const posterior = spreadPosterior(residuals, hand.scale, hand.slipRate, hand.logError);
  const quantiles = [0.05, 0.5, 0.95].map((q) => Math.exp(posteriorQuantile(posterior, q)));
  const [low, middle, high] = quantiles;
  const p = freeOf(usual) >= LEAST_DECIDING ? tailOf(usual, residuals, hand) : null;
  const may = hand.reference !== 'none';
  const decidedAt = may ? firstDeciding(usual, hand) : null;
  const steady = decidedAt === null && tOf(residuals, hand) <= criticalRow(freeOf(usual), hand.slipRate).steady10;
  const doubtful = may && p !== null && p <= DOUBTFUL_UP_TO;
  const open = decidedAt === null && (p === null || p <= OPEN_UP_TO);
  const percent = 100 * hand.scale;
  const spread = { unit: 'percent', interval: [percent * low, percent * high], n } as const;
  const findings: Finding[] =
    decidedAt !== null || doubtful ? [{ kind: 'wandering-rest', size: percent * middle, ...spread }] : [];
  const measures: Measure[] = [
    atLevelMeasure(centred, n),
    { kind: 'travel-spread', value: percent * middle, ...spread },
    // Against an assumed hand the ratio would say nothing.
    ...(may ? [{ kind: 'spread-ratio', value: middle, unit: 'ratio', interval: [low, high], n } as const] : []),
  ];
  return {
    n,
    unused,
    decides: decidedAt !== null,
    decidedAt,
    open,
    steady,
    p,
    probability: posteriorAbove(posterior, WELL_OVER, shrinking),
    findings,
    measures,
    ...centred,
    residuals,
    couldHaveShown: freeOf(usual) >= LEAST_DECIDING ? criticalRow(freeOf(usual), hand.slipRate).shown : null,
    slowNeeded: decidedAt !== null || (steady && !open) ? 0 : asked(usableNeeded(middle, hand.slipRate)),
  };
}

/** Most notes are in order: their spreads lie close to the firm scale; the others anywhere up to six times. */
function shrinking(logRatio: number): number {
  const firm = Math.exp(-0.5 * (logRatio / 0.13) ** 2) / (0.13 * Math.sqrt(2 * Math.PI));
  const other = logRatio > 0 && logRatio < Math.log(6) ? 1 / Math.log(6) : 0;
  return 0.85 * firm + 0.15 * other;
}

function tOf(residuals: readonly number[], { scale }: HandScale): number {
  return boundedSpread(residuals, scale);
}

/** Chance of so much spread on a note in order, averaged over what is uncertain in the scale. */
function tailOf(usual: readonly TravelStroke[], residuals: readonly number[], hand: HandScale): number {
  return HERMITE.reduce((sum, [z, weight]) => {
    const t = boundedSpread(residuals, hand.scale * Math.exp(z * hand.logError));
    return sum + weight * spreadTail(t, freeOf(usual), hand.slipRate);
  }, 0);
}

/** So many strokes about one centre are worth what these are about the centres of their looks; at least as many as a table has. */
function freeOf(usual: readonly TravelStroke[]): number {
  return Math.max(LEAST_VALUES, usual.length - cellsOf(usual).length + 1);
}

/** First look, from 1, whose strokes so far show more spread than its error level allows; null if none. */
function firstDeciding(usual: readonly TravelStroke[], hand: HandScale): number | null {
  const last = usual.reduce((most, { look }) => Math.max(most, look), 1);
  for (let look = 1; look <= last; look++) {
    const so = usual.filter((stroke) => stroke.look <= look);
    if (freeOf(so) < LEAST_DECIDING) continue;
    const residuals = residualsByNote(so, hand.slopePerDb, hand.scale).get(so[0].midi)!;
    if (tailOf(so, residuals, hand) <= LOOK_ALPHA[look - 1]) return look;
  }
  return null;
}

/** Centre of ln travel time at the reference level, with what the strokes' scatter and the slope leave uncertain. */
function centreOf(
  usual: readonly TravelStroke[],
  hand: HandScale,
  residuals: readonly number[],
): { centre: number; centreError: number; meanLevelDb: number } {
  const n = usual.length;
  const atLevel = usual.map(({ logTravel, levelDb }) => logTravel - hand.slopePerDb * (levelDb - hand.referenceDb));
  const meanLevelDb = usual.reduce((sum, { levelDb }) => sum + levelDb, 0) / n;
  const away = meanLevelDb - hand.referenceDb;
  const ratio = n >= LEAST_STROKES ? Math.max(1, Math.sqrt(boundedSpread(residuals, hand.scale))) : 1;
  return {
    centre: boundedCentre(atLevel, hand.scale),
    // A bounded centre of normal values that sometimes go astray scatters about a fifth more than their mean.
    centreError: Math.hypot((1.2 * hand.scale * ratio) / Math.sqrt(n), away * hand.slopeError),
    meanLevelDb,
  };
}

function atLevelMeasure({ centre, centreError }: { centre: number; centreError: number }, n: number): Measure {
  const half = normalQuantile(0.95) * centreError;
  const ms = (log: number) => 1000 * Math.exp(log);
  return {
    kind: 'travel-at-level',
    value: ms(centre),
    unit: 'ms',
    interval: [ms(centre - half), ms(centre + half)],
    n,
  };
}

/** Usable strokes with which a spread of `ratio` would mostly be found, or a note in order mostly be cleared. */
function usableNeeded(ratio: number, slipRate: number): number {
  if (ratio < 1.5) return CLEARING;
  for (let n = LEAST_DECIDING; n <= 60; n++) {
    const { shown } = criticalRow(n, slipRate);
    if (shown !== null && shown <= ratio) return Math.max(n, CLEARING);
  }
  return Infinity;
}

/** Strokes to play so that so many are usable, as so far; null where that is no reasonable number. */
function askedFor(n: number, unused: UsableStrokes['unused']): (needed: number) => number | null {
  const lost = Object.entries(unused).reduce((sum, [why, count]) => sum + (why === 'gentle' ? 0 : count), 0);
  const share = (n + 1) / (n + lost + 2);
  return (needed) => {
    const more = Math.ceil(Math.max(0, needed - n) / share);
    return more > MOST_ASKED ? null : more;
  };
}
