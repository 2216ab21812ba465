/**
 * A visit played again with nothing done to the piano: whole sittings twice, by one hand on one piano, and the two compared.
 *
 * Stated error rate: what is called changed is called so at q of at most 0.05, false discoveries over all that was compared. Where nothing
 * changed every discovery is false, so at most one comparison in twenty may call any note changed; and at most one in twenty anything of the
 * whole piano, which is one family.
 */

import { judged } from '../../src/analysis/analyse.ts';
import { compareDocuments, type ComparisonDocument } from '../../src/analysis/compare.ts';
import { ANALYSIS_SCHEMA, ANALYSIS_VERSION, type AnalysisDocument } from '../../src/analysis/document.ts';
import { designOf } from './designs.ts';
import { isOpen, LOOKS, newSitting, playLook, type Sitting } from './sitting.ts';

/** Seeds of the second playing lie apart from all of the first. */
const AGAIN = 1_000_000;
/** Twenty notes, a fifth of them with a fault; and as many all in order. */
export const REPLAYED = ['notes-20', 'in-order-20'] as const;
export type Replayed = (typeof REPLAYED)[number];

export const STATED_RATE = 0.05;

/** The two rounds of a visit in which nothing was done: the first with fresh strokes of open notes, the second without. */
export function replayedVisit(which: Replayed, seed: number): [AnalysisDocument, AnalysisDocument] {
  const { options } = designOf('notes-20');
  const asked = { ...options, bad: which === 'in-order-20' ? 0 : options.bad, from: seed };
  const first = newSitting(asked, seed);
  const second: Sitting = { ...newSitting(asked, seed), seed: seed + AGAIN };
  playLook(first, first.piano, 1);
  for (let look = 2; look <= LOOKS; look++) {
    const open = new Set(
      judged(first.strokes, first.takes)
        .notes.filter(isOpen)
        .map(({ midi }) => midi),
    );
    playLook(
      first,
      first.piano.filter(({ midi }) => open.has(midi)),
      look,
    );
  }
  playLook(second, second.piano, 1);
  return [documentOf(first, 'before.wav'), documentOf(second, 'after.wav')];
}

function documentOf({ strokes, takes, now }: Sitting, file: string): AnalysisDocument {
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    source: { file, sampleRate: 48000, channels: 1, durationSeconds: now },
    warnings: [],
    takes,
    strokes,
    bars: [],
    ...judged(strokes, takes),
  };
}

export interface ReplayedCounts {
  readonly visits: number;
  /** Rounds compared with themselves, and those of them in which any note was called changed. */
  readonly withItself: number;
  readonly changedWithItself: number;
  /** Visits in which any note was called changed. */
  readonly changed: number;
  /** Visits in which anything of the whole piano was: with the notes turned not known, and as if the flagged ones had been. */
  readonly changedWhole: number;
  /** Notes called improved and worse, of so many compared. */
  readonly improved: number;
  readonly worse: number;
  readonly notes: number;
}

/**
 * Replays so many visits from a seed on.
 * @param selfEvery - every so many visits the first round is compared with itself too; that hangs on no chance
 */
export function replayed(which: Replayed, visits: number, from = 1, selfEvery = 10): ReplayedCounts {
  const counts = {
    visits,
    withItself: 0,
    changedWithItself: 0,
    changed: 0,
    changedWhole: 0,
    improved: 0,
    worse: 0,
    notes: 0,
  };
  for (let seed = from; seed < from + visits; seed++) {
    const [before, after] = replayedVisit(which, seed);
    if ((seed - from) % selfEvery === 0) {
      counts.withItself++;
      const itself = compareDocuments(before, before);
      if (changedNotes(itself).length + changesOfWhole(itself) > 0) counts.changedWithItself++;
    }
    const comparison = compareDocuments(before, after);
    const changed = changedNotes(comparison);
    if (changed.length > 0) counts.changed++;
    const worked = before.notes.filter(({ verdict }) => verdict === 'unstable' || verdict === 'watch');
    const apart = compareDocuments(before, after, { worked: worked.map(({ midi }) => midi) });
    if (changesOfWhole(comparison) + changesOfWhole(apart) > 0) counts.changedWhole++;
    counts.improved += changed.filter(({ change }) => change === 'improved').length;
    counts.worse += changed.filter(({ change }) => change === 'worse').length;
    counts.notes += comparison.notes.length;
  }
  return counts;
}

function changedNotes({ notes }: ComparisonDocument) {
  return notes.filter(({ change }) => change === 'improved' || change === 'worse');
}

function changesOfWhole({ whole }: ComparisonDocument): number {
  const measures = whole!.groups.flatMap(({ measures }) => measures.map(({ change }) => change));
  const sections = whole!.travel?.sections.map(({ shift }) => shift) ?? [];
  return [
    ...measures.filter((change) => change === 'improved' || change === 'worse'),
    ...sections.filter((shift) => shift === 'longer' || shift === 'shorter'),
  ].length;
}
