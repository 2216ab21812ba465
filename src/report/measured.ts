/**
 * What was measured of a note before and after, as figures of a table and as words for the owner.
 *
 * Shares are counted as "5 of 13"; intervals hold 19 in 20; the change of a share is in 100, of a spread a ratio, of a travel time in
 * 100 of itself.
 */

import type { FindingKind, NoteComparison } from '../record/documents.ts';
import { FINDING_TITLES } from '../pictures/findingTitles.ts';
import { figure, signed } from '../pictures/words.ts';
import { changedUntold, isWorked, SURE, type NoteStanding } from './standing.ts';

type ChangeMeasure = NoteComparison['measures'][number];

/** A row of the technician's table. */
export interface MeasuredRow {
  /** "Quick repeats: silent or weak". */
  readonly finding: string;
  readonly before: string;
  readonly after: string;
  /** After to before, with its interval; empty where it was not compared. */
  readonly change: string;
}

const MEASURE_OF: Readonly<Partial<Record<string, ChangeMeasure['kind']>>> = {
  'wandering-rest': 'spread-ratio',
  'missed-repeats': 'failed-repeats',
  'weak-repeats': 'failed-repeats',
  'double-strikes': 'double-strikes',
  'early-or-late': 'travel-at-level',
};

const TITLES: Readonly<Record<ChangeMeasure['kind'], string>> = {
  'failed-repeats': 'Quick repeats: silent or weak',
  'double-strikes': 'Struck twice',
  'spread-ratio': 'Wandering rest, times a firm note\u2019s',
  'travel-at-level': 'Contact to tone at one loudness, ms',
};

/** A finding by name; one that this program does not know as it is written. */
export function findingTitle(kind: string): string {
  return kind in FINDING_TITLES ? FINDING_TITLES[kind as FindingKind] : kind.replaceAll('-', ' ');
}

/** What a note was flagged for, in a few words: "Missed repeats, weak repeats"; empty where it was not. */
export function findingsOf({ before, now }: NoteStanding): string {
  const flagged = before.flagged ?? now.flagged;
  const titles = (flagged?.findings ?? []).map(findingTitle);
  return titles.map((title, i) => (i === 0 ? title : title.toLowerCase())).join(', ');
}

/** The rows of a note: what it was flagged for, and whatever changed; never empty. */
export function measuredRows(standing: NoteStanding): MeasuredRow[] {
  const chosen = told(standing);
  if (chosen.length > 0) return chosen.map(rowOf);
  const { before, now, outcome } = standing;
  const counted = (heard: typeof before) => failedWords(heard.line?.repeats ?? null);
  const again = outcome === 'not-heard' || before.round === now.round ? '' : counted(now);
  return [
    { finding: findingsOf(standing) || TITLES['failed-repeats'], before: counted(before), after: again, change: '' },
  ];
}

/** The measures worth telling of a note, what decides first. */
function told({ comparison, before }: NoteStanding): ChangeMeasure[] {
  if (!comparison) return [];
  const wanted = new Set((before.flagged?.findings ?? []).map((kind) => MEASURE_OF[kind]));
  const sure = ({ q }: ChangeMeasure) => q !== null && q <= SURE;
  const measures = comparison.measures.filter((one) => wanted.has(one.kind) || sure(one));
  if (measures.length > 0) return [...measures].sort((a, b) => Number(sure(b)) - Number(sure(a)));
  // Turned for something that sound did not flag: what came nearest to a change.
  const decided = comparison.measures.filter(({ q }) => q !== null);
  return [...decided].sort((a, b) => a.q! - b.q!).slice(0, 1);
}

function rowOf(measure: ChangeMeasure): MeasuredRow {
  const { kind, before, after, interval, n } = measure;
  const [low, high] = interval;
  const finding = TITLES[kind];
  switch (kind) {
    case 'failed-repeats':
    case 'double-strikes':
      return {
        finding,
        before: share(before, n[0]),
        after: share(after, n[1]),
        change: `${signed(100 * measure.difference!)} in 100 (${signed(100 * low)} to ${signed(100 * high)})`,
      };
    case 'spread-ratio':
      return {
        finding,
        before: `${figure(before, 1)} (${n[0]})`,
        after: `${figure(after, 1)} (${n[1]})`,
        change: `${figure(measure.ratio!, 2)} (${figure(low, 2)} to ${figure(high, 2)})`,
      };
    case 'travel-at-level':
      return {
        finding,
        before: `${figure(before, 1)} (${n[0]})`,
        after: `${figure(after, 1)} (${n[1]})`,
        change: `${signed(measure.difference!, 1)} in 100 (${signed(low, 1)} to ${signed(high, 1)})`,
      };
  }
}

function share(value: number, n: number): string {
  return `${Math.round(value * n)} of ${n}`;
}

function failedWords(count: { readonly silent: number; readonly weak: number; readonly of: number } | null): string {
  return count === null ? '' : `${count.silent + count.weak} of ${count.of}`;
}

/** What changed of a note, for somebody who plays it: "quick repeats that failed: 5 of 13 before, 1 of 44 after"; null without. */
export function plainChange(standing: NoteStanding): string | null {
  const [measure] = told(standing);
  if (measure === undefined) return null;
  const { kind, before, after, n } = measure;
  switch (kind) {
    case 'failed-repeats':
      return `of its quick repeats ${share(before, n[0])} failed before, ${share(after, n[1])} after`;
    case 'double-strikes':
      return `${share(before, n[0])} strokes struck twice before, ${share(after, n[1])} after`;
    case 'spread-ratio':
      return `its hammer waited ${figure(before, 1)} times as unevenly as a firm one before, ${figure(after, 1)} times after`;
    case 'travel-at-level':
      return `it answers ${figure(Math.abs(measure.difference!), 0)} in 100 ${measure.difference! < 0 ? 'sooner' : 'later'} than before`;
  }
}

/** The smallest gains that these notes could probably have shown, a short phrase each; empty without comparisons. */
export function smallestGains(all: readonly NoteStanding[]): string[] {
  const measures = all
    .filter((note) => isWorked(note) || changedUntold(note))
    .flatMap(({ comparison }) => comparison?.measures ?? []);
  const best = (kind: ChangeMeasure['kind']) =>
    middle(measures.flatMap((one) => (one.kind === kind && one.couldHaveShown !== null ? one.couldHaveShown : [])));
  const [spread, repeats, doubles] = [best('spread-ratio'), best('failed-repeats'), best('double-strikes')];
  return [
    ...(spread === null ? [] : [`rest down to ${figure(spread, 2)} of what it was`]),
    ...(repeats === null ? [] : [`${figure(-100 * repeats)} in 100 fewer failed repeats`]),
    ...(doubles === null ? [] : [`${figure(-100 * doubles)} in 100 fewer double strikes`]),
  ];
}

/** Median; null without values. */
function middle(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}
