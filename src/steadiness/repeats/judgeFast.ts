/**
 * What else quick passages say of a note: whether its pulse wanders, its loudness fades, or lies far under that of its
 * slow strokes. None of it decides.
 *
 * Pulse: logarithms of the intervals between sounded neighbours about their straight drift (Theil-Sen slope, so a single late
 * stroke does not tilt it), held against the piano's own scale as travel times are (bounded spread). Fading: slope of the level
 * over the passage's beats, against the piano's own median, because a hand tires alike on every note. Drop: median fast level under
 * the median slow one, a measure only: how far every hand plays quick strokes softer is its own. Levels are compared within one
 * recording only.
 */

import { LEAST_VALUES, spreadTail } from '../../statistics/criticalValues.ts';
import { median, medianDeviation } from '../../statistics/order.ts';
import { robustLine } from '../../statistics/robustLine.ts';
import { normalQuantile } from '../../statistics/tails.ts';
import { boundedCentre, boundedSpread } from '../../statistics/winsorised.ts';
import type { MidiNote } from '../../units.ts';
import type { SupportEvidence } from '../evidence.ts';
import type { Finding, Measure } from '../kinds.ts';
import type { RecordedStroke } from '../measures.ts';
import type { NotePlay } from '../round.ts';
import { firmScale } from '../travel/scale.ts';
import { fastRuns } from './counts.ts';

const WATCH_UP_TO = 0.01;
const LEAST_INTERVALS = 6;
const LEAST_NOTES = 12;
const LEAST_LEVELS = 6;
/** Fading is watched from so many standard deviations and so many decibels on. */
const SIGMAS = 3;
const LEAST_DB = 3;
/** A hand's pulse: about 4.5 % of the interval and 4 ms at six a second; the prior of its scale. An assumption. */
const PULSE_PRIOR = { scale: 0.05, logSd: 0.5 };
/** A hand's evenness differs from note to note by so much, as a standard deviation of its logarithm: an assumption. */
const NOTE_TO_NOTE = 0.15;
const NINETY = normalQuantile(0.95);

interface FastFacts {
  readonly midi: MidiNote;
  /** Residuals of ln interval, all passages. */
  readonly pulse: readonly number[];
  /** dB that the level falls over a passage, one value a passage. */
  readonly falls: readonly number[];
  /** dB by which the fast median lies under the slow one, with its n; null without. */
  readonly drop: { readonly db: number; readonly n: number } | null;
}

/** The supporting evidence of the quick passages, by note. */
export function judgeFast(plays: readonly NotePlay[]): Map<MidiNote, SupportEvidence> {
  const facts = plays.map(factsOf);
  const timed = facts.filter(({ pulse }) => pulse.length >= LEAST_INTERVALS);
  const scale =
    timed.length >= LEAST_NOTES
      ? firmScale(
          timed.map(({ pulse }) => pulse),
          PULSE_PRIOR,
        )
      : null;
  const falls = usual(facts.flatMap(({ falls: own }) => (own.length ? [mean(own)] : [])));
  const drops = usual(facts.flatMap(({ drop }) => (drop ? [drop.db] : [])));
  return new Map(facts.map((own) => [own.midi, evidenceOf(own, scale, falls, drops)]));
}

/**
 * As how many values so many intervals stand in the table: each passage gave up a slope besides its centre, and no number of
 * intervals tells a note from the hand's own differences between notes.
 */
function strokesWorth(intervals: number): number {
  return Math.max(LEAST_VALUES, 1 / (1 / (intervals - 1) + 2 * NOTE_TO_NOTE ** 2));
}

/** The piano's own median and scatter of a quantity; null below twelve notes. */
function usual(values: readonly number[]): { readonly centre: number; readonly sd: number } | null {
  return values.length >= LEAST_NOTES ? { centre: median(values), sd: medianDeviation(values) } : null;
}

type Usual = ReturnType<typeof usual>;

function evidenceOf(
  own: FastFacts,
  scale: ReturnType<typeof firmScale> | null,
  falls: Usual,
  drops: Usual,
): SupportEvidence {
  const findings: Finding[] = [];
  const measures: Measure[] = [];
  let p: number | null = null;
  let watch = false;
  const { pulse, drop } = own;
  if (scale && pulse.length >= LEAST_INTERVALS) {
    const t = boundedSpread(pulse, scale.scale);
    p = spreadTail(t, strokesWorth(pulse.length), scale.strayShare);
    if (p <= WATCH_UP_TO) {
      watch = true;
      const size = 100 * scale.scale * Math.sqrt(t);
      const half = size / Math.sqrt(2 * (pulse.length - 1));
      const interval = [Math.max(0, size - NINETY * half), size + NINETY * half] as const;
      findings.push({ kind: 'uneven-repeats', size, unit: 'percent', interval, n: pulse.length });
    }
  }
  if (own.falls.length > 0) {
    const fall = mean(own.falls);
    const error = falls ? falls.sd : LEAST_DB;
    const interval = [fall - NINETY * error, fall + NINETY * error] as const;
    measures.push({ kind: 'fading', value: fall, unit: 'dB', interval, n: own.falls.length });
    if (falls && fall - falls.centre > Math.max(LEAST_DB, SIGMAS * falls.sd)) {
      watch = true;
      findings.push({ kind: 'fading-repeats', size: fall, unit: 'dB', interval, n: own.falls.length });
    }
  }
  if (drop) {
    const error = drops ? drops.sd : LEAST_DB;
    const interval = [drop.db - NINETY * error, drop.db + NINETY * error] as const;
    measures.push({ kind: 'level-drop', value: drop.db, unit: 'dB', interval, n: drop.n });
  }
  return { watch, p, findings, measures, couldHaveShown: null };
}

function factsOf({ midi, looks }: NotePlay): FastFacts {
  const strokes = looks.flat().filter(({ kind }) => kind !== 'double');
  const pulse: number[] = [];
  const falls: number[] = [];
  for (const run of fastRuns(strokes)) {
    const logs: [number, number][] = [];
    for (let i = 1; i < run.length; i++) {
      const [a, b] = [run[i - 1], run[i]];
      if (a.kind !== 'sounded' || b.kind !== 'sounded' || a.onsetSeconds === null || b.onsetSeconds === null) continue;
      logs.push([i, Math.log(b.onsetSeconds - a.onsetSeconds)]);
    }
    if (logs.length >= LEAST_INTERVALS) pulse.push(...withoutLine(logs));
    const levels = run.flatMap(({ levelDb, kind, force }, i): [number, number][] =>
      levelDb === null || kind !== 'sounded' || force === 'weak' ? [] : [[i, levelDb]],
    );
    if (levels.length >= LEAST_LEVELS) falls.push(-slopeOf(levels) * (run.length - 1));
  }
  return { midi, pulse, falls, drop: dropOf(strokes) };
}

/** Fast median under slow median, of the recording with most of both. */
function dropOf(strokes: readonly RecordedStroke[]): FastFacts['drop'] {
  let best: FastFacts['drop'] = null;
  for (const source of new Set(strokes.map(({ source: own = 0 }) => own))) {
    const levels = (passage: 'slow' | 'fast') =>
      strokes.flatMap((s) =>
        (s.source ?? 0) === source &&
        s.passage === passage &&
        s.kind === 'sounded' &&
        s.levelDb !== null &&
        s.force !== 'firm'
          ? [s.levelDb]
          : [],
      );
    const [slow, fast] = [levels('slow'), levels('fast')];
    if (slow.length < 3 || fast.length < LEAST_LEVELS) continue;
    const n = slow.length + fast.length;
    if (best === null || n > best.n) best = { db: median(slow) - median(fast), n };
  }
  return best;
}

function slopeOf(points: readonly (readonly [number, number])[]): number {
  return robustLine(
    points.map(([x]) => x),
    points.map(([, y]) => y),
  ).slope;
}

function withoutLine(points: readonly (readonly [number, number])[]): number[] {
  const slope = slopeOf(points);
  const flat = points.map(([x, y]) => y - slope * x);
  const centre = boundedCentre(flat, Math.max(1e-4, medianDeviation(flat)));
  return flat.map((v) => v - centre);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length;
}
