/**
 * A piano's visits side by side: how each note was found and left, which drift, which came back; what to take with reserve.
 *
 * Found is the first verdict of a visit, left the last one. Nothing is judged here: verdicts stand as their rounds had them, and a verdict of
 * one season is no proof against another's: hand, place and climate differ.
 */

import type { Verdict } from '../analysis/document.ts';
import type { MidiNote } from '../units.ts';
import { countsOf } from './rounds.ts';
import type { Adjustment, Round, Visit } from './types.ts';

/** One visit as it is kept. */
export interface KeptVisit {
  readonly visit: Visit;
  readonly rounds: readonly Round[];
  readonly adjustments: readonly Adjustment[];
}

/** A note in one visit. */
export interface SeasonCell {
  readonly found: Verdict;
  readonly left: Verdict;
  /** It was turned in this visit. */
  readonly turned: boolean;
}

/**
 * What became of a note over the visits. Closed list.
 * - `came-back`: flagged, left in order, and found flagged again in a later visit;
 * - `drifts`: never flagged before, left in order, and found flagged in a later visit;
 * - `still-flagged`: left flagged, and found flagged in the next visit that heard it;
 * - `stayed`: flagged in an earlier visit, and in order in the last that heard it;
 * - `flagged-once`: flagged in the one visit that says anything of it;
 * - `in-order`: never flagged.
 */
export const SEASON_STORIES = ['came-back', 'drifts', 'still-flagged', 'stayed', 'flagged-once', 'in-order'] as const;
export type SeasonStory = (typeof SEASON_STORIES)[number];

export interface SeasonNote {
  readonly midi: MidiNote;
  /** A cell a visit, null where it was not heard. */
  readonly cells: readonly (SeasonCell | null)[];
  readonly story: SeasonStory;
}

/** Why visits are to be held against each other with reserve. Closed list. */
export const SEASON_RESERVES = [
  'other-climate',
  'climate-unknown',
  'other-place',
  'other-microphone',
  'other-player',
  'other-hand',
  'other-analysis',
] as const;
export type SeasonReserve = (typeof SEASON_RESERVES)[number];

export interface Seasons {
  /** The oldest first. */
  readonly visits: readonly { readonly visit: Visit; readonly counts: Readonly<Record<Verdict, number>> }[];
  /** From bass to treble. */
  readonly notes: readonly SeasonNote[];
  /** Of the last visit against those before. */
  readonly reserves: readonly SeasonReserve[];
}

/** Relative humidity that differs by so many points is another climate (common practice, no source). */
const CLIMATES_APART = 10;

/** The visits of one piano, in any order; those in which nothing was judged are left out. */
export function seasonsOf(kept: readonly KeptVisit[]): Seasons {
  const visits = kept
    .map((one) => ({ ...one, cells: cellsOf(one) }))
    .filter(({ cells }) => cells.size > 0)
    .sort((a, b) => Date.parse(a.visit.startedAt) - Date.parse(b.visit.startedAt));
  const midis = [...new Set(visits.flatMap(({ cells }) => [...cells.keys()]))].sort((a, b) => a - b);
  return {
    visits: visits.map(({ visit, cells }) => ({
      visit,
      counts: countsOf([...cells.values()].map(({ left }) => ({ verdict: left }))),
    })),
    notes: midis.map((midi) => {
      const cells = visits.map((one) => one.cells.get(midi) ?? null);
      return { midi, cells, story: storyOf(cells.filter((cell) => cell !== null)) };
    }),
    reserves: reservesOf(visits),
  };
}

function cellsOf({ rounds, adjustments }: KeptVisit): Map<MidiNote, SeasonCell> {
  const cells = new Map<MidiNote, SeasonCell>();
  for (const { summary } of [...rounds].sort((a, b) => a.number - b.number)) {
    for (const { midi, verdict } of summary?.verdicts ?? []) {
      const known = cells.get(midi);
      // What was not enough says nothing: a verdict before it or after it stands.
      const found = known && known.found !== 'insufficient' ? known.found : verdict;
      const left = known && verdict === 'insufficient' ? known.left : verdict;
      const turned = adjustments.some((one) => !one.undone && one.midi === midi);
      cells.set(midi, { found, left, turned });
    }
  }
  return cells;
}

function isFlagged(verdict: Verdict): boolean {
  return verdict === 'watch' || verdict === 'unstable';
}

function storyOf(heard: readonly SeasonCell[]): SeasonStory {
  const cells = heard.filter(({ found, left }) => found !== 'insufficient' || left !== 'insufficient');
  const flagged = ({ found, left }: SeasonCell) => isFlagged(found) || isFlagged(left);
  if (!cells.some(flagged)) return 'in-order';
  const last = cells[cells.length - 1];
  let before = false;
  let story: SeasonStory | null = null;
  for (const [i, cell] of cells.entries()) {
    const earlier = i > 0 ? cells[i - 1] : null;
    if (earlier && isFlagged(cell.found)) {
      if (earlier.left === 'steady') story = before ? 'came-back' : 'drifts';
      else if (isFlagged(earlier.left)) story = 'still-flagged';
    } else if (earlier && before && !flagged(cell)) story = 'stayed';
    before ||= flagged(cell);
  }
  return story ?? (flagged(last) ? 'flagged-once' : 'stayed');
}

interface Told {
  readonly visit: Visit;
  readonly rounds: readonly Round[];
}

function reservesOf(visits: readonly Told[]): SeasonReserve[] {
  const last = visits.at(-1);
  if (!last || visits.length < 2) return [];
  const before = visits.slice(0, -1);
  const humidity = last.visit.humidityPercent;
  const found: readonly [SeasonReserve, boolean][] = [
    ['other-climate', before.some(({ visit }) => apart(visit.humidityPercent, humidity))],
    ['climate-unknown', visits.some(({ visit }) => visit.humidityPercent === null)],
    ['other-place', before.some((one) => differs(said(one, 'microphonePlace'), said(last, 'microphonePlace')))],
    ['other-microphone', before.some((one) => differs(said(one, 'microphone'), said(last, 'microphone')))],
    ['other-player', before.some((one) => differs(said(one, 'player'), said(last, 'player')))],
    ['other-hand', before.some((one) => differs(said(one, 'referenceId'), said(last, 'referenceId')))],
    ['other-analysis', new Set(visits.flatMap(({ rounds }) => versions(rounds))).size > 1],
  ];
  return found.flatMap(([reserve, holds]) => (holds ? [reserve] : []));
}

function apart(a: number | null, b: number | null): boolean {
  return a !== null && b !== null && Math.abs(a - b) >= CLIMATES_APART;
}

/** All that was said of it in a visit; rounds say it where they differ from their visit. */
function said(
  { visit, rounds }: Told,
  what: 'microphone' | 'microphonePlace' | 'player' | 'referenceId',
): ReadonlySet<string> {
  return new Set(
    rounds.flatMap(({ setting }) => {
      const words = (setting ?? visit)[what]?.trim().toLowerCase().replace(/\s+/g, ' ');
      return words ? [words] : [];
    }),
  );
}

/** What is not said of both says nothing. */
function differs(a: ReadonlySet<string>, b: ReadonlySet<string>): boolean {
  return a.size > 0 && b.size > 0 && [...new Set([...a, ...b])].some((one) => !a.has(one) || !b.has(one));
}

function versions(rounds: readonly Round[]): string[] {
  return rounds.flatMap(({ summary }) => (summary ? [summary.analysisVersion] : []));
}
