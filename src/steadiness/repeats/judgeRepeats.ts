/**
 * What quick repeats decide: silent ones, and silent and weak ones together, against the base rates of hand and piano;
 * failures after damped gaps, which need no base rate; and doubles against their own.
 *
 * Error levels: {@link SERIES_ALPHA} a series (silent and faint, each at both rates together and at the quicker alone, and
 * doubles), two failures after damped gaps (three at the quicker rate). First strokes choose which notes are played again, so a
 * note that was is judged on its fresh strokes alone. Base rates differ by rate; limits are sums of beta-binomials (see
 * limits). Nothing is decided on series where the notes in order
 * themselves fail too often: then the keys were not let up enough. Nothing counts as clear where nothing was found and hardly
 * a stroke was weak: then they were let up so far that repeats were not tested. Both gauges stand on notes in order, so a
 * piano with many failing notes does not silence the test; figures: model study of repeated strokes.
 */

import type { MidiNote } from '../../units.ts';
import type { BaseRates, RepeatEvidence, RepeatsEvidence } from '../evidence.ts';
import type { ReturnGauge } from '../kinds.ts';
import type { HandReference } from '../reference.ts';
import type { NotePlay } from '../round.ts';
import { baseRate, failingProbability, type BaseRate, type Count } from './baseRates.ts';
import { countRepeats, joined, type RepeatCounts } from './counts.ts';
import { limitOf, powerOf, tailOf, type Held } from './limits.ts';
import { findingsOf, measuresOf } from './numbers.ts';
import { patternOf } from './pattern.ts';

/** Error level of a series at the first look; later, when only doubtful notes are played, on fresh strokes. */
export const SERIES_ALPHA = [0.0005, 0.001, 0.001] as const;
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
const FIRST_STROKES = 12;
const POWER = 0.8;

/** Judges the repeats of a round's notes; `reference` gives base rates where fewer than twelve notes were played fast. */
export function judgeRepeats(plays: readonly NotePlay[], reference: HandReference | null): RepeatsEvidence {
  const counts = plays.map(({ looks, takes }) => looks.map((look) => countRepeats(look, takes)));
  const whole = counts.map(joined);
  const playedFast = whole.filter(({ steady, quick }) => steady.n + quick.n > 0).length;
  const fits = fitsOf(counts);
  const enough = playedFast >= LEAST_NOTES;
  const stored = reference?.baseRates ?? null;
  const base: BaseRates = enough ? ratesOf(fits, playedFast) : (stored ?? DEFAULT_RATES);
  const kind = enough ? 'this-round' : stored ? 'stored' : 'none';
  const tooLittle =
    Math.max(base.steady.silent, base.quick.silent) > MOST_SILENT ||
    Math.max(base.steady.faint, base.quick.faint) > MOST_FAINT;
  const may: May = { series: kind !== 'none' && !tooLittle, others: kind !== 'none' };
  const judged = counts.map((looks) => noteRepeats(looks, base, may, fits));
  const gauge = gaugeOf(
    whole,
    tooLittle,
    judged.some(({ decides }) => decides),
  );
  const notes = new Map<MidiNote, RepeatEvidence>();
  plays.forEach(({ midi }, i) => notes.set(midi, gauge === 'let-up-less' ? { ...judged[i], clear: false } : judged[i]));
  const expectedFalse = kind === 'none' ? 0 : counts.reduce((sum, looks) => sum + chanceOf(looks, base, may), 0);
  return { base: kind === 'none' ? null : base, reference: kind, gauge, expectedFalse, notes };
}

interface Fits {
  readonly steadySilent: BaseRate;
  readonly steadyFaint: BaseRate;
  readonly quickSilent: BaseRate;
  readonly quickFaint: BaseRate;
  readonly doubles: BaseRate;
}

/** Rates are learned on all looks of each note: which notes were played again was decided by what had been heard, and is in it. */
function fitsOf(counts: readonly (readonly RepeatCounts[])[]): Fits {
  const of = (pick: (one: RepeatCounts) => Count, [least, most]: readonly [number, number]) =>
    baseRate(
      counts.map((looks) => looks.map(pick)),
      least,
      most,
    );
  return {
    steadySilent: of(steadySilentOf, FAILURE_RATES),
    steadyFaint: of(steadyFaintOf, FAILURE_RATES),
    // Quick passages are asked for with a fuller return, so their rate is their own and may well be the lower.
    quickSilent: of(quickSilentOf, FAILURE_RATES),
    quickFaint: of(quickFaintOf, FAILURE_RATES),
    doubles: of(doublesOf, DOUBLE_RATES),
  };
}

const steadySilentOf = ({ steady }: RepeatCounts): Count => ({ n: steady.n, failed: steady.silent });
const steadyFaintOf = ({ steady }: RepeatCounts): Count => ({ n: steady.n, failed: steady.faint });
const quickSilentOf = ({ quick }: RepeatCounts): Count => ({ n: quick.n, failed: quick.silent });
const quickFaintOf = ({ quick }: RepeatCounts): Count => ({ n: quick.n, failed: quick.faint });
const doublesOf = ({ struck }: RepeatCounts): Count => ({ n: struck.n, failed: struck.doubles });

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

/** Counts of the looks that are judged at a look: the first one's own, later the fresh ones alone. */
function countsAt(looks: readonly RepeatCounts[], look: number): readonly RepeatCounts[] {
  return look === 1 ? looks.slice(0, 1) : looks.slice(1, look);
}

/** The series that are held against their limits; the last is the doubles. */
function seriesOf(counts: readonly RepeatCounts[], { steady, quick, doubles }: BaseRates): Held[][] {
  const held = (pick: (one: RepeatCounts) => Count, rate: number) => counts.map((one) => ({ ...pick(one), rate }));
  const [quickSilent, quickFaint] = [held(quickSilentOf, quick.silent), held(quickFaintOf, quick.faint)];
  return [
    [...held(steadySilentOf, steady.silent), ...quickSilent],
    [...held(steadyFaintOf, steady.faint), ...quickFaint],
    quickSilent,
    quickFaint,
    held(doublesOf, doubles),
  ];
}

const REPEAT_SERIES = 4;

/** What of the repeats may decide. */
interface May {
  readonly series: boolean;
  /** Doubles and failures after damped gaps. */
  readonly others: boolean;
}

function noteRepeats(looks: readonly RepeatCounts[], base: BaseRates, may: May, fits: Fits): RepeatEvidence {
  let decidedAt: number | null = null;
  for (let look = 1; look <= looks.length && decidedAt === null; look++) {
    if (reachesLimits(countsAt(looks, look), SERIES_ALPHA[look - 1], base, may)) decidedAt = look;
  }
  const judged = countsAt(looks, decidedAt ?? looks.length);
  const counts = joined(judged);
  const tails = seriesOf(judged, base).map(tailOf);
  const least = Math.min(...tails);
  const decides = decidedAt !== null;
  const { steady, quick } = counts;
  const silent = steady.silent + quick.silent;
  const failed = steady.faint + quick.faint;
  const damped = counts.dampedSteady.failed + counts.dampedQuick.failed;
  const n = steady.n + quick.n;
  const weakTells = base.steady.faint <= WEAK_TELLS_UP_TO;
  const open = !decides && n > 0 && (silent > 0 || (weakTells && failed > 0) || damped > 0 || least <= OPEN_UP_TO);
  const doubtful = !decides && (least <= DOUBTFUL_UP_TO || damped >= 2);
  const probability = probabilityOf(looks, fits, may.series);
  return {
    decides,
    decidedAt,
    open,
    clear: !decides && n > 0 && least >= CLEAR_FROM && damped === 0,
    doubtful,
    probability: decides ? Math.max(probability, 1 - SERIES_ALPHA[0]) : probability,
    pattern: patternOf(counts),
    findings:
      decides || doubtful
        ? findingsOf(counts, { repeats: repeatsSpeak(tails, damped), doubles: tails[REPEAT_SERIES] <= DOUBTFUL_UP_TO })
        : [],
    measures: measuresOf(counts),
    couldHaveShown: may.series ? smallestShown(judged, SERIES_ALPHA[looks.length - 1], base) : null,
    fastNeeded: open ? FRESH_STROKES : n === 0 ? FIRST_STROKES : 0,
    n,
    failed,
  };
}

function repeatsSpeak(tails: readonly number[], damped: number): boolean {
  return Math.min(...tails.slice(0, REPEAT_SERIES)) <= DOUBTFUL_UP_TO || damped >= 2;
}

/** Whether failures or doubles reach a limit. */
function reachesLimits(counts: readonly RepeatCounts[], alpha: number, base: BaseRates, may: May): boolean {
  const tails = seriesOf(counts, base).map(tailOf);
  const { dampedSteady, dampedQuick } = joined(counts);
  const bySeries = may.series && tails.slice(0, REPEAT_SERIES).some((p) => p <= alpha);
  const byDoubles = tails[REPEAT_SERIES] <= alpha;
  const byDamped = dampedSteady.failed >= DAMPED_LIMIT.steady || dampedQuick.failed >= DAMPED_LIMIT.quick;
  return bySeries || (may.others && (byDoubles || byDamped));
}

/** The likeliest of the series to be a failing note's, over all looks. */
function probabilityOf(looks: readonly RepeatCounts[], fits: Fits, series: boolean): number {
  const of = (pick: (one: RepeatCounts) => Count, fit: BaseRate) => failingProbability(looks.map(pick), fit);
  const repeats = [
    of(steadySilentOf, fits.steadySilent),
    of(steadyFaintOf, fits.steadyFaint),
    of(quickSilentOf, fits.quickSilent),
    of(quickFaintOf, fits.quickFaint),
  ];
  return Math.max(of(doublesOf, fits.doubles), ...(series ? repeats : []));
}

/** The smallest share of silent repeats found with 80 % power; null if none would be. */
function smallestShown(counts: readonly RepeatCounts[], alpha: number, base: BaseRates): number | null {
  const [silent] = seriesOf(counts, base);
  const { limit } = limitOf(silent, alpha);
  const strokes = silent.reduce((sum, { n }) => sum + n, 0);
  if (limit > strokes) return null;
  let [low, high] = [0, 1];
  for (let step = 0; step < 14; step++) {
    const share = (low + high) / 2;
    if (powerOf(silent, limit, share) >= POWER) high = share;
    else low = share;
  }
  return high;
}

/** Chance that a note in order, so played, is called failing: what the limits at its own numbers leave. */
function chanceOf(looks: readonly RepeatCounts[], base: BaseRates, may: May): number {
  let chance = 0;
  for (let look = 1; look <= looks.length; look++) {
    const counts = countsAt(looks, look);
    seriesOf(counts, base).forEach((series, i) => {
      if (i < REPEAT_SERIES ? may.series : may.others) chance += limitOf(series, SERIES_ALPHA[look - 1]).chance;
    });
    const { dampedSteady, dampedQuick } = joined(counts);
    if (may.others && dampedSteady.n + dampedQuick.n > 0) chance += DAMPED_ALPHA;
  }
  return chance;
}
