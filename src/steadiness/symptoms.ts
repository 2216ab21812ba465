/**
 * From what was found to what the trade would call it: the symptoms of a note, by which the checks are looked up.
 *
 * Rules from the model study of one grand action. Repeats: mostly silent, and clean where the key was let up, lead to the
 * spring first (to a sluggish centre too where the note is also silent at soft playing); weak rather than silent to the
 * lever or the checking; many more at the faster rate, or after the key was let up, to the checking. Struck twice: soft only,
 * to let-off or spring; firm, to the checking. A start that wanders twice as far as a firm note's or more is a hammer that
 * hangs before it is a lever. A lone miss, and every second stroke, are the hand's first. What else the measures tell of a
 * symptom (clean once the key was let up, off alike at two loudnesses) are its marks.
 */

import type { Mark } from '../piano/evidence.ts';
import type { Symptom } from '../piano/symptoms.ts';
import type { Finding, Measure, MeasureKind, RepeatPattern } from './kinds.ts';

export interface SymptomFacts {
  readonly findings: readonly Finding[];
  readonly measures: readonly Measure[];
  readonly pattern: RepeatPattern | null;
}

/** Repeats after damped gaps from which none failing tells something (common practice, no source). */
const LEAST_DAMPED = 6;
/** From this ratio of spreads on, a wandering lever alone does not reach it (model study of one grand action). */
const WIDE = 2;

/** Symptoms, in the order of the findings, each once. */
export function symptomsOf(facts: SymptomFacts): Symptom[] {
  return [...new Set(facts.findings.map((finding) => symptomOf(finding, facts)))];
}

/** Symptom of one of the note's findings. */
export function symptomOf(finding: Finding, { findings, measures, pattern }: SymptomFacts): Symptom {
  switch (finding.kind) {
    case 'missed-repeats':
    case 'weak-repeats':
      if (isOfControl(finding, measures)) return 'fails-though-let-up';
      return repeatSymptom(finding.kind === 'weak-repeats', { findings, measures, pattern });
    case 'double-strikes':
      return doubleSymptom(finding, measures);
    case 'wandering-rest':
      if (isMeasured(finding, 'after-firm', measures)) return 'wanders';
      return (wanderingRatio(finding, measures) ?? 0) >= WIDE ? 'wanders-widely' : 'wanders';
    case 'early-or-late':
      return finding.size < 0 ? 'early' : 'late';
    case 'silent-when-gentle':
    case 'weak-when-hard':
    case 'jammed':
      return finding.kind;
    case 'fading-repeats':
      return 'fading';
    case 'uneven-repeats':
      return 'uneven';
  }
}

/** What else the measures say of the symptoms, by which the looks are ordered; in no order. */
export function marksOf(facts: SymptomFacts): Mark[] {
  const { findings, measures } = facts;
  const damped = measureOf(measures, 'after-damped');
  const failed = findings.some(
    (one) => (one.kind === 'missed-repeats' || one.kind === 'weak-repeats') && !isOfControl(one, measures),
  );
  const clean = failed && damped !== null && damped.n >= LEAST_DAMPED && damped.value === 0;
  const shift = findings.find(({ kind }) => kind === 'early-or-late') ?? null;
  return [
    ...(clean ? (['fails-half-returned-only'] as const) : []),
    ...(shift ? shiftMarks(shift, measures) : []),
    ...(findings.some(({ kind }) => kind === 'silent-when-gentle') ? gentleMarks(shift, facts) : []),
  ];
}

/** Off alike at firm and at softer strokes, or further off at softer ones; nothing where the strokes cannot tell. */
function shiftMarks({ size }: Finding, measures: readonly Measure[]): Mark[] {
  const firm = measureOf(measures, 'firm-against-slow');
  if (firm === null) return [];
  const [low, high] = firm.interval;
  if (low <= 0 && high >= 0) {
    // Firm strokes that might as well show no shift at all do not say that it is equal.
    return Math.max(-low, high) < Math.abs(size) ? ['shift-equal'] : [];
  }
  return firm.value * size < 0 ? ['shift-grows-softer'] : [];
}

/** Why only the softest strokes may be silent: with nothing else off, or together with a start that is early. */
function gentleMarks(shift: Finding | null, { findings, measures }: SymptomFacts): Mark[] {
  if (shift !== null) return shift.size < 0 ? ['soft-silent-and-early'] : [];
  const alone = findings.every(({ kind }) => kind === 'silent-when-gentle');
  // Without a travel time against the neighbours nobody knows whether it is early.
  return alone && measureOf(measures, 'travel-shift') !== null ? ['soft-silent-only'] : [];
}

/** True where repeats failed in the control with full return alone: the finding then states its strokes, not the half-way ones. */
function isOfControl({ size, n }: Finding, measures: readonly Measure[]): boolean {
  const [silent, weak] = [measureOf(measures, 'silent-repeats'), measureOf(measures, 'weak-repeats')];
  if (silent === null || weak === null || size === 0) return false;
  return silent.value === 0 && weak.value === 0 && silent.n !== n;
}

function repeatSymptom(weak: boolean, { findings, measures, pattern }: SymptomFacts): Symptom {
  switch (pattern) {
    case 'lone':
      return 'lone-miss';
    case 'every-second':
      return 'every-second-repeat';
    case 'rate':
      return 'fails-when-faster';
    case 'after-damped':
      return 'fails-though-let-up';
    case 'until-return':
      return weak ? 'weak-until-let-up' : 'silent-until-let-up';
    case 'scattered':
    case null: {
      if (weak) return 'weak-repeats';
      const gentle =
        findings.some(({ kind }) => kind === 'silent-when-gentle') || count(measures, 'silent-when-gentle') > 0;
      return gentle ? 'silent-repeats-and-gentle' : 'silent-repeats';
    }
  }
}

/** True where a finding is what this measure says: one kind of finding can rest on several measures. */
export function isMeasured(finding: Finding, kind: MeasureKind, measures: readonly Measure[]): boolean {
  const measure = measureOf(measures, kind);
  return measure !== null && measure.n === finding.n && measure.value === finding.size && measure.unit === finding.unit;
}

function doubleSymptom(finding: Finding, measures: readonly Measure[]): Symptom {
  if (isMeasured(finding, 'double-when-gentle', measures)) return 'double-when-soft';
  const gentle = measureOf(measures, 'double-when-gentle');
  // Without gentle strokes nobody knows at which loudness it comes; with some at both, both are to be looked at.
  return gentle !== null && gentle.value === 0 ? 'double-when-firm' : 'double';
}

function wanderingRatio({ unit, size }: Finding, measures: readonly Measure[]): number | null {
  return unit === 'ratio' ? size : (measureOf(measures, 'spread-ratio')?.value ?? null);
}

/** The measure of a kind; null without. */
export function measureOf(measures: readonly Measure[], kind: MeasureKind): Measure | null {
  return measures.find((measure) => measure.kind === kind) ?? null;
}

/** How many strokes a share counts. */
function count(measures: readonly Measure[], kind: MeasureKind): number {
  const measure = measureOf(measures, kind);
  return measure ? Math.round(measure.value * measure.n) : 0;
}
