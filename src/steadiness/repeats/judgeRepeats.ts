/**
 * What quick repeats decide: silent ones, and silent and weak ones together, against the base rates of hand and piano;
 * failures after damped gaps, which need no base rate; and doubles against their own.
 *
 * Error levels: 0.0005 a series (silent and faint, each below and from 7 strokes a second, and doubles), two failures after
 * damped gaps (three at the quicker rate). First strokes choose which notes are played again, so a note that was is judged on
 * its fresh strokes alone. Limits are beta-binomial (see baseRates). Nothing is decided on series where the notes in order
 * themselves fail too often: then the keys were not let up enough. Nothing counts as clear where nothing was found and hardly
 * a stroke was weak: then they were let up so far that repeats were not tested. Both gauges stand on notes in order, so a
 * piano with many failing notes does not silence the test; figures: model study of repeated strokes.
 */

import { shareEstimate } from '../../statistics/intervals.ts';
import { betaBinomialLimit, betaBinomialTail } from '../../statistics/tails.ts';
import type { MidiNote } from '../../units.ts';
import type { BaseRates, RepeatEvidence, RepeatsEvidence } from '../evidence.ts';
import type { Finding, Measure, ReturnGauge } from '../kinds.ts';
import type { HandReference } from '../reference.ts';
import type { NotePlay } from '../round.ts';
import { baseRate, DISPERSION, failingProbability, type BaseRate, type Count } from './baseRates.ts';
import { countRepeats, type RepeatCounts } from './counts.ts';
import { patternOf } from './pattern.ts';

export const SERIES_ALPHA = 0.0005;
export const DAMPED_LIMIT = { steady: 2, quick: 3 } as const;
/** Chance of two failures after damped gaps on a note in order: at most 0.04 in 88 notes (model study of repeated strokes). */
const DAMPED_ALPHA = 0.04 / 88;
export const LEAST_NOTES = 12;
const FAILURE_RATES = [0.003, 0.15] as const;
const DOUBLE_RATES = [0.001, 0.05] as const;
const DEFAULT_RATES: BaseRates = {
  steady: { silent: 0.01, faint: 0.01 },
  quick: { silent: 0.01, faint: 0.01 },
  doubles: 0.003,
  notes: 0,
};
const MOST_SILENT = 0.06;
const MOST_FAINT = 0.12;
const LEAST_UNDER = 0.05;
const LEAST_FOR_GAUGE = 60;
const OPEN_UP_TO = 0.1;
const CLEAR_FROM = 0.2;
const DOUBTFUL_UP_TO = 0.02;
/** Up to this base rate of weak repeats one weak repeat is worth a second look; above, every good note has some. */
const WEAK_TELLS_UP_TO = 0.03;
const FRESH_STROKES = 36;
const POWER = 0.8;

/** One series of strokes with its base rate. */
interface Held {
  readonly count: Count;
  readonly rate: number;
}

/** Judges the repeats of a round's notes; `reference` gives base rates where fewer than twelve notes were played fast. */
export function judgeRepeats(plays: readonly NotePlay[], reference: HandReference | null): RepeatsEvidence {
  const whole = plays.map((play) => countRepeats(play.looks.flat(), play.takes));
  const playedFast = whole.filter(({ steady, quick }) => steady.n + quick.n > 0).length;
  const fits = fitsOf(plays);
  const enough = playedFast >= LEAST_NOTES;
  const stored = reference?.baseRates ?? null;
  const base: BaseRates = enough ? ratesOf(fits, playedFast) : (stored ?? DEFAULT_RATES);
  const kind = enough ? 'this-round' : stored ? 'stored' : 'none';
  const tooLittle =
    Math.max(base.steady.silent, base.quick.silent) > MOST_SILENT ||
    Math.max(base.steady.faint, base.quick.faint) > MOST_FAINT;
  const may = { series: kind !== 'none' && !tooLittle, damped: kind !== 'none' };
  const judged = plays.map((play) => noteRepeats(play, base, may, fits));
  const found = judged.some(({ decides }) => decides);
  const gauge = gaugeOf(whole, tooLittle, found);
  const notes = new Map<MidiNote, RepeatEvidence>();
  plays.forEach(({ midi }, i) => {
    const one = judged[i];
    notes.set(midi, gauge === 'let-up-less' ? { ...one, clear: false } : one);
  });
  const expectedFalse = kind === 'none' ? 0 : plays.reduce((sum, play) => sum + chanceOf(play, base, may), 0);
  return { base: kind === 'none' ? null : base, reference: kind, gauge, expectedFalse, notes };
}

interface Fits {
  readonly steadySilent: BaseRate;
  readonly steadyFaint: BaseRate;
  readonly quickSilent: BaseRate;
  readonly quickFaint: BaseRate;
  readonly doubles: BaseRate;
}

/** Rates are learned on the first look of each note, for later looks hold doubtful notes only; where those alone were quick, on them. */
function fitsOf(plays: readonly NotePlay[]): Fits {
  const first = plays.map(({ looks, takes }) => countRepeats(looks[0], takes));
  const all = plays.map(({ looks, takes }) => countRepeats(looks.flat(), takes));
  const firstQuick = first.filter(({ quick }) => quick.n > 0).length;
  const ofQuick = firstQuick >= LEAST_NOTES ? first : all;
  const of = (
    counts: readonly RepeatCounts[],
    pick: (one: RepeatCounts) => Count,
    [least, most]: readonly [number, number],
  ) => baseRate(counts.map(pick), least, most);
  const steadySilent = of(first, ({ steady }) => ({ n: steady.n, failed: steady.silent }), FAILURE_RATES);
  const steadyFaint = of(first, ({ steady }) => ({ n: steady.n, failed: steady.faint }), FAILURE_RATES);
  const quickSilent = of(ofQuick, ({ quick }) => ({ n: quick.n, failed: quick.silent }), FAILURE_RATES);
  const quickFaint = of(ofQuick, ({ quick }) => ({ n: quick.n, failed: quick.faint }), FAILURE_RATES);
  return {
    steadySilent,
    steadyFaint,
    // A hand does not fail less when it is quicker: few quick strokes, all clean, prove no lower rate.
    quickSilent: atLeast(quickSilent, steadySilent),
    quickFaint: atLeast(quickFaint, steadyFaint),
    doubles: of(first, ({ struck }) => ({ n: struck.n, failed: struck.doubles }), DOUBLE_RATES),
  };
}

function atLeast(one: BaseRate, other: BaseRate): BaseRate {
  return one.rate >= other.rate ? one : { ...one, rate: other.rate };
}

function ratesOf(fits: Fits, notes: number): BaseRates {
  return {
    steady: { silent: fits.steadySilent.rate, faint: Math.max(fits.steadySilent.rate, fits.steadyFaint.rate) },
    quick: { silent: fits.quickSilent.rate, faint: Math.max(fits.quickSilent.rate, fits.quickFaint.rate) },
    doubles: fits.doubles.rate,
    notes,
  };
}

function gaugeOf(whole: readonly RepeatCounts[], tooLittle: boolean, found: boolean): ReturnGauge {
  const n = whole.reduce((sum, { steady, quick }) => sum + steady.n + quick.n, 0);
  if (n < LEAST_FOR_GAUGE) return 'unknown';
  if (tooLittle) return 'let-up-more';
  const under = whole.reduce((sum, one) => sum + one.under, 0);
  return !found && under < LEAST_UNDER * n ? 'let-up-less' : 'right';
}

/** The strokes that count at a look: the first look's own, later the fresh ones alone. */
function countsAt(play: NotePlay, look: number): RepeatCounts {
  const strokes = look === 1 ? play.looks[0] : play.looks.slice(1, look).flat();
  return countRepeats(strokes, play.takes);
}

function seriesOf({ steady, quick, struck }: RepeatCounts, base: BaseRates): Held[] {
  return [
    { count: { n: steady.n, failed: steady.silent }, rate: base.steady.silent },
    { count: { n: steady.n, failed: steady.faint }, rate: base.steady.faint },
    { count: { n: quick.n, failed: quick.silent }, rate: base.quick.silent },
    { count: { n: quick.n, failed: quick.faint }, rate: base.quick.faint },
    { count: { n: struck.n, failed: struck.doubles }, rate: base.doubles },
  ];
}

function tail({ count, rate }: Held): number {
  return count.failed === 0 ? 1 : betaBinomialTail(count.failed, count.n, rate, DISPERSION);
}

function noteRepeats(
  play: NotePlay,
  base: BaseRates,
  may: { readonly series: boolean; readonly damped: boolean },
  fits: Fits,
): RepeatEvidence {
  let decidedAt: number | null = null;
  for (let look = 1; look <= play.looks.length && decidedAt === null; look++) {
    if (reachesLimits(countsAt(play, look), base, may)) decidedAt = look;
  }
  const counts = countsAt(play, decidedAt ?? play.looks.length);
  const held = seriesOf(counts, base);
  const tails = held.map(tail);
  const least = Math.min(...tails);
  const decides = decidedAt !== null;
  const silent = counts.steady.silent + counts.quick.silent;
  const weak = counts.steady.faint + counts.quick.faint - silent;
  const damped = counts.dampedSteady.failed + counts.dampedQuick.failed;
  const n = counts.steady.n + counts.quick.n;
  const weakTells = base.steady.faint <= WEAK_TELLS_UP_TO;
  const open = !decides && n > 0 && (silent > 0 || (weakTells && weak > 0) || damped > 0 || least <= OPEN_UP_TO);
  const doubtful = !decides && (least <= DOUBTFUL_UP_TO || damped >= 2);
  const probability = probabilityOf(counts, fits, may.series);
  return {
    decides,
    decidedAt,
    open,
    clear: !decides && n > 0 && least >= CLEAR_FROM && damped === 0,
    doubtful,
    probability: decides ? Math.max(probability, 1 - SERIES_ALPHA) : probability,
    pattern: patternOf(counts),
    findings: decides || doubtful ? findingsOf(counts, tails) : [],
    measures: measuresOf(counts),
    couldHaveShown: may.series ? smallestShown(counts, base) : null,
    fastNeeded: open ? FRESH_STROKES : n === 0 ? 12 : 0,
    n,
    failed: silent + weak,
  };
}

/** Whether failures or doubles reach a limit. */
function reachesLimits(
  counts: RepeatCounts,
  base: BaseRates,
  may: { readonly series: boolean; readonly damped: boolean },
): boolean {
  const tails = seriesOf(counts, base).map(tail);
  const bySeries = may.series && tails.slice(0, 4).some((p) => p <= SERIES_ALPHA);
  const byDoubles = may.damped && tails[4] <= SERIES_ALPHA;
  const byDamped =
    may.damped &&
    (counts.dampedSteady.failed >= DAMPED_LIMIT.steady || counts.dampedQuick.failed >= DAMPED_LIMIT.quick);
  return bySeries || byDoubles || byDamped;
}

function probabilityOf({ steady, quick, struck }: RepeatCounts, fits: Fits, series: boolean): number {
  const each = [
    ...(series
      ? [
          failingProbability({ n: steady.n, failed: steady.silent }, fits.steadySilent),
          failingProbability({ n: steady.n, failed: steady.faint }, fits.steadyFaint),
          failingProbability({ n: quick.n, failed: quick.silent }, fits.quickSilent),
          failingProbability({ n: quick.n, failed: quick.faint }, fits.quickFaint),
        ]
      : []),
    failingProbability({ n: struck.n, failed: struck.doubles }, fits.doubles),
  ];
  return Math.max(0, ...each);
}

/** What is off, kinds apart: the series that speak, and doubles. */
function findingsOf(counts: RepeatCounts, tails: readonly number[]): Finding[] {
  const { steady, quick, struck } = counts;
  const n = steady.n + quick.n;
  const silent = steady.silent + quick.silent;
  const weak = steady.faint + quick.faint - silent;
  const findings: Finding[] = [];
  const say = (kind: Finding['kind'], count: number, of: number) => {
    const { value, interval } = shareEstimate(count, of);
    findings.push({ kind, size: value, unit: 'share', interval, n: of });
  };
  const repeats =
    Math.min(...tails.slice(0, 4)) <= DOUBTFUL_UP_TO || counts.dampedSteady.failed + counts.dampedQuick.failed >= 2;
  if (repeats && silent > 0) say('missed-repeats', silent, n);
  if (repeats && weak > 0) say('weak-repeats', weak, n);
  if (tails[4] <= DOUBTFUL_UP_TO) say('double-strikes', struck.doubles, struck.n);
  return findings;
}

function measuresOf({ steady, quick, dampedSteady, dampedQuick, struck }: RepeatCounts): Measure[] {
  const measures: Measure[] = [];
  const say = (kind: Measure['kind'], count: number, n: number) => {
    if (n > 0) measures.push({ kind, unit: 'share', ...shareEstimate(count, n), n });
  };
  const silent = steady.silent + quick.silent;
  say('silent-repeats', silent, steady.n + quick.n);
  say('weak-repeats', steady.faint + quick.faint - silent, steady.n + quick.n);
  say('after-damped', dampedSteady.failed + dampedQuick.failed, dampedSteady.n + dampedQuick.n);
  say('double-strikes', struck.doubles, struck.n);
  return measures;
}

/** The smallest share of silent repeats that one of the two series would have shown with 80 % power; null if none would. */
function smallestShown({ steady, quick }: RepeatCounts, base: BaseRates): number | null {
  const series = [
    { n: steady.n, limit: limitOf(steady.n, base.steady.silent) },
    { n: quick.n, limit: limitOf(quick.n, base.quick.silent) },
  ].filter(({ n, limit }) => limit <= n);
  if (series.length === 0) return null;
  const power = (share: number) =>
    1 - series.reduce((missed, { n, limit }) => missed * (1 - betaBinomialTail(limit, n, share, DISPERSION)), 1);
  let [low, high] = [0, 1];
  for (let step = 0; step < 20; step++) {
    const share = (low + high) / 2;
    if (power(share) >= POWER) high = share;
    else low = share;
  }
  return high;
}

function limitOf(n: number, rate: number): number {
  return n === 0 ? 1 : betaBinomialLimit(n, rate, DISPERSION, SERIES_ALPHA);
}

/** Chance that a note in order, so played, is called failing: what the limits at its own numbers leave. */
function chanceOf(
  play: NotePlay,
  base: BaseRates,
  may: { readonly series: boolean; readonly damped: boolean },
): number {
  let chance = 0;
  for (let look = 1; look <= play.looks.length; look++) {
    const counts = countsAt(play, look);
    seriesOf(counts, base).forEach(({ count: { n }, rate }, i) => {
      if (n === 0 || !(i < 4 ? may.series : may.damped)) return;
      const limit = limitOf(n, rate);
      if (limit <= n) chance += betaBinomialTail(limit, n, rate, DISPERSION);
    });
    if (may.damped && counts.dampedSteady.n + counts.dampedQuick.n > 0) chance += DAMPED_ALPHA;
  }
  return chance;
}
