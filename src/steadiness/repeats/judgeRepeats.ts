/**
 * What quick repeats decide: silent ones, and silent and weak ones together, against the base rates of hand and piano;
 * failures after damped gaps, which need no base rate; and doubles against their own.
 *
 * First strokes choose which notes are played again, so a note that was is judged on its fresh strokes alone. Nothing is decided
 * on series where the hand fails too often (see gauge); nothing counts as clear there, nor where nothing was tested. Failures in
 * passages asked for with full return are no hand's: they keep a note open, and are never counted with the others. Limits: see
 * limits; base rates: see rates.
 */

import { shareEstimate } from '../../statistics/intervals.ts';
import type { MidiNote } from '../../units.ts';
import type { BaseRates, RepeatEvidence, RepeatsEvidence } from '../evidence.ts';
import type { Finding, Measure } from '../kinds.ts';
import type { HandReference } from '../reference.ts';
import type { NotePlay } from '../round.ts';
import { failingProbability, PRIOR_SHARE } from './baseRates.ts';
import { countRepeats, type RepeatCounts } from './counts.ts';
import { allowedBy, gaugeOf } from './gauge.ts';
import {
  chanceOf,
  DAMPED_LIMIT,
  dampedFailures,
  reachesLimits,
  SERIES_ALPHA,
  smallestShown,
  tailsOf,
  type May,
} from './limits.ts';
import { patternOf } from './pattern.ts';
import { DEFAULT_RATES, fitsFrom, fitsOf, LEAST_NOTES, ratesOf, type Fits } from './rates.ts';

const OPEN_UP_TO = 0.1;
const CLEAR_FROM = 0.2;
const DOUBTFUL_UP_TO = 0.02;
/** Up to this base rate of weak repeats one weak repeat is worth a second look; above, every good note has some. */
const WEAK_TELLS_UP_TO = 0.03;
/** Quick strokes of a first pattern, and of one with fresh strokes. */
const FIRST_STROKES = 12;
const FRESH_STROKES = 36;
/** So many repeats with full return, all clean, answer for a lone silent one. */
const LEAST_CONTROL = 10;

/**
 * Judges the repeats of a round's notes. Base rates are this round's where twelve notes or more were played fast (a reference's,
 * another day's, then stand back), else those of `reference`; without either nothing is decided.
 */
export function judgeRepeats(plays: readonly NotePlay[], reference: HandReference | null): RepeatsEvidence {
  const whole = plays.map((play) => countRepeats(play.looks.flat(), play.takes));
  const playedFast = whole.filter(({ steady, quick }) => steady.n + quick.n > 0).length;
  const enough = playedFast >= LEAST_NOTES;
  const stored = reference?.baseRates ?? null;
  const fits = enough ? fitsOf(plays) : fitsFrom(stored ?? DEFAULT_RATES);
  const base: BaseRates = enough ? ratesOf(fits, playedFast) : (stored ?? DEFAULT_RATES);
  const kind = enough ? 'this-round' : stored ? 'stored' : 'none';
  const first = plays.map(({ looks, takes }) => countRepeats(looks[0], takes));
  const allowed = allowedBy(first, fits);
  const decisive = kind !== 'none';
  const may = {
    series: decisive && allowed !== 'nothing',
    atFirst: decisive && allowed === 'every-look',
    others: decisive,
  };
  const judged = plays.map((play) => noteRepeats(play, base, may, fits));
  const found = judged.some(({ decides }) => decides);
  const gauge = gaugeOf(first, allowed, found);
  const untested = gauge === 'let-up-less' || gauge === 'let-up-more';
  const notes = new Map<MidiNote, RepeatEvidence>();
  plays.forEach(({ midi }, i) => {
    const one = judged[i];
    notes.set(midi, untested ? { ...one, clear: false } : one);
  });
  const expectedFalse = plays.reduce((sum, play) => sum + chanceOverLooks(play, base, may), 0);
  return { base: kind === 'none' ? null : base, reference: kind, gauge, expectedFalse, notes };
}

/** The strokes that count at a look: the first look's own, later the fresh ones alone. */
function countsAt(play: NotePlay, look: number): RepeatCounts {
  const strokes = look === 1 ? play.looks[0] : play.looks.slice(1, look).flat();
  return countRepeats(strokes, play.takes);
}

/** What may decide over the round, and whether series may at a first look. */
type MayOver = May & { readonly atFirst: boolean };

function mayAt(look: number, may: MayOver): May {
  return look === 1 ? { ...may, series: may.atFirst } : may;
}

function chanceOverLooks(play: NotePlay, base: BaseRates, may: MayOver): number {
  return play.looks.reduce((sum, _, i) => sum + chanceOf(countsAt(play, i + 1), base, mayAt(i + 1, may)), 0);
}

function noteRepeats(play: NotePlay, base: BaseRates, may: MayOver, fits: Fits): RepeatEvidence {
  let decidedAt: number | null = null;
  for (let look = 1; look <= play.looks.length && decidedAt === null; look++) {
    if (reachesLimits(countsAt(play, look), base, mayAt(look, may))) decidedAt = look;
  }
  const counts = countsAt(play, decidedAt ?? play.looks.length);
  const tails = tailsOf(counts, base);
  const decides = decidedAt !== null;
  const { silent, weak, n } = sumsOf(counts);
  const damped = dampedFailures(counts);
  const { fullReturn } = counts;
  const least = Math.min(tails.repeats, tails.doubles);
  const answered = silent + weak === 1 && fullReturn.n >= LEAST_CONTROL && fullReturn.failed === 0;
  const heard = silent > 0 || (base.steady.faint <= WEAK_TELLS_UP_TO && weak > 0);
  const open =
    !decides &&
    n + fullReturn.n > 0 &&
    ((heard && !answered) || damped > 0 || fullReturn.failed > 0 || least <= OPEN_UP_TO);
  const speaks = speaking(counts, tails, may);
  const probability = probabilityOf(counts, fits, may);
  return {
    decides,
    decidedAt,
    open,
    clear: !decides && n > 0 && least >= CLEAR_FROM && damped === 0 && fullReturn.failed === 0,
    doubtful: !decides && (speaks.repeats || speaks.doubles),
    probability: decides ? Math.max(probability, 1 - SERIES_ALPHA) : probability,
    pattern: patternOf(counts),
    findings: findingsOf(counts, speaks),
    measures: measuresOf(counts),
    couldHaveShown: may.series ? smallestShown(counts, base) : null,
    fastNeeded: open ? FRESH_STROKES : n === 0 ? FIRST_STROKES : 0,
    n,
    failed: silent + weak,
  };
}

function sumsOf({ steady, quick }: RepeatCounts): { silent: number; weak: number; n: number } {
  const silent = steady.silent + quick.silent;
  return { silent, weak: steady.faint + quick.faint - silent, n: steady.n + quick.n };
}

interface Speaking {
  readonly repeats: boolean;
  readonly doubles: boolean;
}

/** Which of them say something of the note: too many for a note in order, whether or not they decide. */
function speaking(counts: RepeatCounts, tails: ReturnType<typeof tailsOf>, may: May): Speaking {
  const { dampedSteady, dampedQuick } = counts;
  const damped = dampedSteady.failed + dampedQuick.failed >= DAMPED_LIMIT.steady;
  // Without base rates the tails are those of assumed ones: they say where to look, and whoever reads them knows it.
  const series = may.series || !may.others;
  return { repeats: damped || (series && tails.repeats <= DOUBTFUL_UP_TO), doubles: tails.doubles <= DOUBTFUL_UP_TO };
}

/** Probability of the failing class: of the series that was played, the one that says most. */
function probabilityOf({ steady, quick, struck }: RepeatCounts, fits: Fits, may: May): number {
  const series =
    may.series || !may.others
      ? [
          { count: { n: steady.n, failed: steady.silent }, fit: fits.steadySilent },
          { count: { n: steady.n, failed: steady.faint }, fit: fits.steadyFaint },
          { count: { n: quick.n, failed: quick.silent }, fit: fits.quickSilent },
          { count: { n: quick.n, failed: quick.faint }, fit: fits.quickFaint },
        ]
      : [];
  const each = [...series, { count: { n: struck.n, failed: struck.doubles }, fit: fits.doubles }]
    .filter(({ count }) => count.n > 0)
    .map(({ count, fit }) => failingProbability(count, fit));
  return each.length > 0 ? Math.max(...each) : PRIOR_SHARE;
}

/** What is off, kinds apart. */
function findingsOf(counts: RepeatCounts, speaks: Speaking): Finding[] {
  const { silent, weak, n } = sumsOf(counts);
  // After a damped gap 6 dB under is a failure, and so a weak repeat; elsewhere it is the hand's scatter.
  const weakOrLow = weak + counts.dampedLow;
  const findings: Finding[] = [];
  const say = (kind: Finding['kind'], count: number, of: number) => {
    const { value, interval } = shareEstimate(count, of);
    findings.push({ kind, size: value, unit: 'share', interval, n: of });
  };
  const { n: controls, failed } = counts.fullReturn;
  const of = n > 0 ? n : controls;
  if (speaks.repeats && silent > 0) say('missed-repeats', silent, of);
  if (speaks.repeats && weakOrLow > 0) say('weak-repeats', Math.min(of, weakOrLow), of);
  if (speaks.repeats && silent + weakOrLow === 0 && failed > 0) say('missed-repeats', failed, controls);
  if (speaks.doubles) say('double-strikes', counts.struck.doubles, counts.struck.n);
  return findings;
}

function measuresOf(counts: RepeatCounts): Measure[] {
  const { dampedSteady, dampedQuick, struck } = counts;
  const { silent, weak, n } = sumsOf(counts);
  const measures: Measure[] = [];
  const say = (kind: Measure['kind'], count: number, of: number) => {
    if (of > 0) measures.push({ kind, unit: 'share', ...shareEstimate(count, of), n: of });
  };
  say('silent-repeats', silent, n);
  say('weak-repeats', weak, n);
  say('after-damped', dampedFailures(counts), dampedSteady.n + dampedQuick.n);
  say('double-strikes', struck.doubles, struck.n);
  return measures;
}
