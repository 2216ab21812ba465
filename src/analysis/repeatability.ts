/**
 * Several takes of the same notes in, repeatability document out: `evenfall.repeatability/1`.
 *
 * Each document is one take of all notes, nothing adjusted between. Its JSON Schema stands beside it in
 * `repeatability.schema.json`. Fields may be added, never renamed.
 */

import { keyName } from '../piano/keys.ts';
import {
  LEAST_STUDY_NOTES,
  LEAST_STUDY_TAKES,
  completeNotes,
  measureStudy,
  type MeasureStudy,
  type StudyValues,
} from '../steadiness/repeatability.ts';
import { failedRepeats } from '../steadiness/measures.ts';
import { LEAST_REPEATS } from '../steadiness/shareChange.ts';
import { LEAST_TRAVELS } from '../steadiness/spreadChange.ts';
import type { TravelStroke } from '../steadiness/evidence.ts';
import { firmScale } from '../steadiness/travel/scale.ts';
import { cellsOf, pooledSlope } from '../steadiness/travel/slope.ts';
import { median } from '../statistics/order.ts';
import { boundedCentre, boundedSpread } from '../statistics/winsorised.ts';
import type { MidiNote } from '../units.ts';
import { ANALYSIS_VERSION, type ErrorDocument, type Source } from './document.ts';
import { allSources, playedRound, refuseOtherVersion, type PlayedRound, type RoundDocument } from './playedRound.ts';
import { Refused } from './refused.ts';

export const REPEATABILITY_SCHEMA = 'evenfall.repeatability/1';

export interface RepeatabilityDocument {
  readonly schema: typeof REPEATABILITY_SCHEMA;
  readonly analysisVersion: string;
  /** One a take, in the order given. */
  readonly takes: readonly { readonly sources: readonly (Source | ErrorDocument)[] }[];
  /** Notes heard in every take, and those that are missing from one. */
  readonly notes: readonly { readonly midi: MidiNote; readonly name: string }[];
  readonly leftOut: readonly { readonly midi: MidiNote; readonly name: string }[];
  /** Loudness at which travel times are compared, dB re full scale; null without travel times. */
  readonly referenceDb: number | null;
  /** Measures that at least five notes have in every take. */
  readonly measures: readonly MeasureStudy[];
}

/** Fewest usable strokes for a travel time. */
const LEAST_TIMED = 3;
/** A bounded square below this is a measurement's own grain: 1 % of the scale. */
const LEAST_SQUARE = 1e-4;

/**
 * Studies the takes.
 * @throws Refused with fewer than two takes, fewer than five notes that have a measure in every take, or for a document of
 *   another analysis version.
 */
export function studyTakes(documents: readonly RoundDocument[]): RepeatabilityDocument {
  if (documents.length < LEAST_STUDY_TAKES) {
    throw new Refused(
      `${documents.length} take`,
      `at least ${LEAST_STUDY_TAKES}: the same notes played again, nothing adjusted between`,
    );
  }
  for (const document of documents) refuseOtherVersion(document);
  const rounds = documents.map((document) => playedRound(document));
  const heard = new Set(rounds.flatMap(({ plays }) => plays.map(({ midi }) => midi)));
  const { studies, referenceDb } = valuesOf(rounds, [...heard]);
  const measures = studies.flatMap((study) => measureStudy(study) ?? []);
  if (measures.length === 0) {
    const most = studies.reduce((best, study) => Math.max(best, completeNotes(study).length), 0);
    throw new Refused(
      `${most} notes measured in all ${documents.length} takes, of ${heard.size} heard`,
      `at least ${LEAST_STUDY_NOTES}; ten or more notes over the compass with eight slow strokes each are better`,
    );
  }
  const everywhere = (midi: MidiNote) => rounds.every(({ plays }) => plays.some((play) => play.midi === midi));
  const sorted = [...heard].sort((a, b) => a - b).map((midi) => ({ midi, name: keyName(midi) }));
  return {
    schema: REPEATABILITY_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    takes: documents.map((document) => ({ sources: allSources(document) })),
    notes: sorted.filter(({ midi }) => everywhere(midi)),
    leftOut: sorted.filter(({ midi }) => !everywhere(midi)),
    referenceDb,
    measures,
  };
}

function valuesOf(rounds: readonly PlayedRound[], midis: readonly MidiNote[]) {
  // Levels compare within one recording only, so each recording of each take is a cell of its own.
  const timed = rounds.map(({ usable }, take) =>
    usable.flatMap(({ usual }) => usual.map((stroke) => ({ ...stroke, source: 1000 * take + stroke.source }))),
  );
  const all = timed.flat();
  const { slope } = pooledSlope(all);
  const referenceDb = all.length > 0 ? median(all.map(({ levelDb }) => levelDb)) : null;
  const { scale } = firmScale(cellsOf(all).map((cell) => aboutMedian(cell.map((i) => atLevel(all[i], slope, 0)))));
  const travels = (midi: MidiNote, take: number): TravelStroke[] =>
    timed[take].filter((stroke) => stroke.midi === midi);
  const table = (valueOf: (midi: MidiNote, take: number) => number | null) =>
    new Map(midis.map((midi) => [midi, rounds.map((_, take) => valueOf(midi, take))]));
  const studies: StudyValues[] = [
    {
      kind: 'travel-at-level',
      unit: 'percent',
      values: table((midi, take) => {
        const own = travels(midi, take).map((stroke) => atLevel(stroke, slope, referenceDb ?? 0));
        return own.length < LEAST_TIMED ? null : 100 * boundedCentre(own, scale);
      }),
    },
    {
      kind: 'travel-spread',
      unit: 'ln',
      values: table((midi, take) => spreadOf(travels(midi, take), slope, scale)),
    },
    { kind: 'level', unit: 'dB', values: table((midi, take) => levelOf(rounds[take], midi)) },
  ];
  const failures: StudyValues = {
    kind: 'failed-repeats',
    unit: 'share',
    values: table((midi, take) => {
      const play = rounds[take].plays.find((one) => one.midi === midi);
      const { failed, n } = failedRepeats(play?.looks.flat() ?? [], play?.takes);
      return n < LEAST_REPEATS ? null : failed / n;
    }),
  };
  // Where nothing ever failed there is no scatter to study.
  const anyFailed = [...failures.values.values()].some((row) => row.some((share) => (share ?? 0) > 0));
  return { studies: anyFailed ? [...studies, failures] : studies, referenceDb };
}

function atLevel({ logTravel, levelDb }: TravelStroke, slope: number, referenceDb: number): number {
  return logTravel - slope * (levelDb - referenceDb);
}

function aboutMedian(values: readonly number[]): number[] {
  const centre = median(values);
  return values.map((value) => value - centre);
}

/** ln of the bounded spread about the note's centre, not shrunk by the centring. */
function spreadOf(strokes: readonly TravelStroke[], slope: number, scale: number): number | null {
  if (strokes.length < LEAST_TRAVELS) return null;
  const values = strokes.map((stroke) => atLevel(stroke, slope, 0));
  const centre = boundedCentre(values, scale);
  const square = boundedSpread(
    values.map((value) => value - centre),
    scale,
  );
  return Math.log(scale) + 0.5 * Math.log(Math.max(LEAST_SQUARE, (square * values.length) / (values.length - 1)));
}

function levelOf({ plays }: PlayedRound, midi: MidiNote): number | null {
  const strokes = plays.find((play) => play.midi === midi)?.looks.flat() ?? [];
  const levels = strokes.flatMap(({ kind, passage, levelDb, force }) =>
    kind === 'sounded' && passage === 'slow' && force !== 'firm' && levelDb !== null ? [levelDb] : [],
  );
  return levels.length < LEAST_TIMED ? null : median(levels);
}
