/**
 * What quick repeats decide: silent ones, and silent and weak ones together, against the base rates of hand and piano;
 * failures after damped gaps, which need no base rate; and doubles against their own.
 *
 * Error levels: {@link SERIES_ALPHA} a series (silent and faint, each at both rates together and at the quicker alone, and
 * doubles), two failures after damped gaps (three at the quicker rate). First strokes choose which notes are played again, so a
 * note that was is judged on its fresh strokes alone. Base rates differ by rate; limits are sums of beta-binomials (see
 * limits). Nothing is decided on series where the hand fails too often, and first looks alone decide nothing where so many
 * fail that some of it may be the hand's (see gauge). Nothing counts as clear where nothing can be decided, nor where nothing was
 * tested. Failures in passages asked for with full return are no hand's: they keep a note open, and are not counted with the others.
 */

import { binomialTail } from '../../statistics/tails.ts';
import type { MidiNote } from '../../units.ts';
import type { BaseRates, RepeatEvidence, RepeatsEvidence } from '../evidence.ts';
import type { HandReference } from '../reference.ts';
import type { NotePlay } from '../round.ts';
import { failingProbability, PRIOR_SHARE, type Count } from './baseRates.ts';
import { countRepeats, joined, type RepeatCounts } from './counts.ts';
import { allowedBy, gaugeOf } from './gauge.ts';
import { limitOf, powerOf, tailOf, type Held } from './limits.ts';
import { findingsOf, measuresOf } from './numbers.ts';
import { patternOf } from './pattern.ts';
import { COUNTS, DEFAULT_RATES, fitsFrom, fitsOf, LEAST_NOTES, ratesOf, type Fits } from './rates.ts';

/** Error level of a series at the first look; later, when only doubtful notes are played, on fresh strokes. */
export const SERIES_ALPHA = [0.0005, 0.001, 0.001] as const;
export const DAMPED_LIMIT = { steady: 2, quick: 3 } as const;
/** After a damped gap a note in order fails so often at most: never silent, up to 0.2 in 100 weak (model study of repeated strokes). */
const DAMPED_RATE = 0.002;
const OPEN_UP_TO = 0.1;
const CLEAR_FROM = 0.2;
const DOUBTFUL_UP_TO = 0.02;
/** Up to this base rate of weak repeats one weak repeat is worth a second look; above, every good note has some. */
const WEAK_TELLS_UP_TO = 0.03;
const FRESH_STROKES = 36;
const FIRST_STROKES = 12;
const POWER = 0.8;
/** So many repeats with full return, all clean, answer for a lone failure. */
const LEAST_CONTROL = 10;

/**
 * Judges the repeats of a round's notes. Base rates are this round's where twelve notes or more were played fast (a reference's,
 * another day's, then stand back), else those of `reference`; without either nothing is decided.
 */
export function judgeRepeats(plays: readonly NotePlay[], reference: HandReference | null): RepeatsEvidence {
  const counts = plays.map(({ looks, takes }) => looks.map((look) => countRepeats(look, takes)));
  const first = counts.flatMap((looks) => looks.slice(0, 1));
  const playedFast = counts.map(joined).filter(({ steady, quick }) => steady.n + quick.n > 0).length;
  const enough = playedFast >= LEAST_NOTES;
  const stored = reference?.baseRates ?? null;
  const fits = enough ? fitsOf(counts) : fitsFrom(stored ?? DEFAULT_RATES);
  const base: BaseRates = enough ? ratesOf(fits, playedFast) : (stored ?? DEFAULT_RATES);
  const kind = enough ? 'this-round' : stored ? 'stored' : 'none';
  const allowed = allowedBy(first, fits);
  const may: May = {
    series: kind !== 'none' && allowed !== 'nothing',
    atFirst: allowed === 'every-look',
    others: kind !== 'none',
  };
  const judged = counts.map((looks) => noteRepeats(looks, base, may, fits));
  const gauge = gaugeOf(
    first,
    allowed,
    judged.some(({ decides }) => decides),
  );
  const untested = gauge === 'let-up-less' || gauge === 'let-up-more';
  const notes = new Map<MidiNote, RepeatEvidence>();
  plays.forEach(({ midi }, i) => notes.set(midi, untested ? { ...judged[i], clear: false } : judged[i]));
  const expectedFalse = kind === 'none' ? 0 : counts.reduce((sum, looks) => sum + chanceOf(looks, base, may), 0);
  return { base: kind === 'none' ? null : base, reference: kind, gauge, expectedFalse, notes };
}

/** Counts of the looks that are judged at a look: the first one's own, later the fresh ones alone. */
function countsAt(looks: readonly RepeatCounts[], look: number): readonly RepeatCounts[] {
  return look === 1 ? looks.slice(0, 1) : looks.slice(1, look);
}

/** The series that are held against their limits; the last is the doubles. */
function seriesOf(counts: readonly RepeatCounts[], { steady, quick, doubles }: BaseRates): Held[][] {
  const held = (pick: (one: RepeatCounts) => Count, rate: number) => counts.map((one) => ({ ...pick(one), rate }));
  const [quickSilent, quickFaint] = [held(COUNTS.quickSilent, quick.silent), held(COUNTS.quickFaint, quick.faint)];
  return [
    [...held(COUNTS.steadySilent, steady.silent), ...quickSilent],
    [...held(COUNTS.steadyFaint, steady.faint), ...quickFaint],
    quickSilent,
    quickFaint,
    held(COUNTS.doubles, doubles),
  ];
}

const REPEAT_SERIES = 4;

/** What of the repeats may decide. */
interface May {
  readonly series: boolean;
  /** The series of a first look, without fresh strokes. */
  readonly atFirst: boolean;
  /** Doubles and failures after damped gaps. */
  readonly others: boolean;
}

function seriesMay(look: number, { series, atFirst }: May): boolean {
  return series && (look > 1 || atFirst);
}

function noteRepeats(looks: readonly RepeatCounts[], base: BaseRates, may: May, fits: Fits): RepeatEvidence {
  let decidedAt: number | null = null;
  for (let look = 1; look <= looks.length && decidedAt === null; look++) {
    if (reachesLimits(countsAt(looks, look), SERIES_ALPHA[look - 1], base, seriesMay(look, may), may.others))
      decidedAt = look;
  }
  const judged = countsAt(looks, decidedAt ?? looks.length);
  const counts = joined(judged);
  const tails = seriesOf(judged, base).map(tailOf);
  const least = Math.min(...tails);
  const decides = decidedAt !== null;
  const { steady, quick, fullReturn } = counts;
  const silent = steady.silent + quick.silent;
  const failed = steady.faint + quick.faint;
  const damped = counts.dampedSteady.failed + counts.dampedQuick.failed;
  const n = steady.n + quick.n;
  const heard = silent > 0 || (base.steady.faint <= WEAK_TELLS_UP_TO && failed > 0);
  // A lone failure that no control with full return repeats is the hand's first.
  const answered = failed === 1 && fullReturn.n >= LEAST_CONTROL && fullReturn.failed === 0;
  const unlikely = least <= OPEN_UP_TO || damped > 0 || fullReturn.failed > 0;
  const open = !decides && n + fullReturn.n > 0 && ((heard && !answered) || unlikely);
  const speaks = speaking(tails, damped, may);
  const told = speaks.repeats || speaks.doubles;
  const probability = probabilityOf(looks, fits, may);
  return {
    decides,
    decidedAt,
    open,
    clear: !decides && n > 0 && least >= CLEAR_FROM && damped === 0 && fullReturn.failed === 0,
    doubtful: !decides && told,
    probability: decides ? Math.max(probability, 1 - SERIES_ALPHA[0]) : probability,
    pattern: patternOf(counts),
    findings: told ? findingsOf(counts, speaks) : [],
    measures: measuresOf(counts),
    couldHaveShown: may.series ? smallestShown(judged, SERIES_ALPHA[looks.length - 1], base) : null,
    fastNeeded: open ? FRESH_STROKES : n === 0 ? FIRST_STROKES : 0,
    n,
    failed,
  };
}

/** Which say something of the note: too many for one in order, whether or not they decide. Series say nothing where the hand fails. */
function speaking(tails: readonly number[], damped: number, may: May) {
  // Without base rates the tails are those of assumed ones: they say where to look, and whoever reads them knows it.
  const series = (may.series || !may.others) && Math.min(...tails.slice(0, REPEAT_SERIES)) <= DOUBTFUL_UP_TO;
  return { repeats: series || damped >= DAMPED_LIMIT.steady, doubles: tails[REPEAT_SERIES] <= DOUBTFUL_UP_TO };
}

/** Whether failures or doubles reach a limit. */
function reachesLimits(
  counts: readonly RepeatCounts[],
  alpha: number,
  base: BaseRates,
  series: boolean,
  others: boolean,
): boolean {
  const tails = seriesOf(counts, base).map(tailOf);
  const { dampedSteady, dampedQuick } = joined(counts);
  const bySeries = series && tails.slice(0, REPEAT_SERIES).some((p) => p <= alpha);
  const byDoubles = tails[REPEAT_SERIES] <= alpha;
  const byDamped = dampedSteady.failed >= DAMPED_LIMIT.steady || dampedQuick.failed >= DAMPED_LIMIT.quick;
  return bySeries || (others && (byDoubles || byDamped));
}

/** Of the series that were played, the one likeliest to be a failing note's, over all looks. */
function probabilityOf(looks: readonly RepeatCounts[], fits: Fits, may: May): number {
  const whole = joined(looks);
  const kinds = (Object.keys(COUNTS) as (keyof typeof COUNTS)[])
    .filter((kind) => COUNTS[kind](whole).n > 0)
    .filter((kind) => kind === 'doubles' || may.series || !may.others);
  if (kinds.length === 0) return PRIOR_SHARE;
  return Math.max(...kinds.map((kind) => failingProbability(looks.map(COUNTS[kind]), fits[kind])));
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
      if (i < REPEAT_SERIES ? seriesMay(look, may) : may.others)
        chance += limitOf(series, SERIES_ALPHA[look - 1]).chance;
    });
    const { dampedSteady, dampedQuick } = joined(counts);
    if (!may.others) continue;
    chance += binomialTail(DAMPED_LIMIT.steady, dampedSteady.n, DAMPED_RATE);
    chance += binomialTail(DAMPED_LIMIT.quick, dampedQuick.n, DAMPED_RATE);
  }
  return chance;
}
