/**
 * What a round's document says of how it was played: the notes' looks, their usable slow strokes, and the hand.
 *
 * Works from strokes and takes alone, so that recordings, documents of one and documents of several pooled are one.
 */

import type { HandScale } from '../steadiness/evidence.ts';
import type { HandReference } from '../steadiness/reference.ts';
import { playOf, touchOf, type NotePlay, type RecordedTake } from '../steadiness/round.ts';
import type { RecordedStroke } from '../steadiness/measures.ts';
import { judgeTravel, type TravelJudgement } from '../steadiness/travel/judgeTravel.ts';
import { usableStrokes, type UsableStrokes } from '../steadiness/travel/usable.ts';
import { NO_TAKE_DOUBTS, type Touch } from '../strokes/types.ts';
import {
  ANALYSIS_VERSION,
  type AnalysisDocument,
  type ErrorDocument,
  type PooledDocument,
  type Source,
} from './document.ts';
import { Refused } from './refused.ts';

export type RoundDocument = AnalysisDocument | PooledDocument;

export interface PlayedRound {
  readonly plays: readonly NotePlay[];
  readonly usable: readonly UsableStrokes[];
  readonly travel: TravelJudgement;
  /** What pressed most of its takes. */
  readonly touch: Touch;
}

/** How a round was played; `reference` is the hand's own scale learned earlier. */
export function playedRound(document: RoundDocument, reference: HandReference | null = null): PlayedRound {
  const takes: readonly RecordedTake[] = document.takes;
  const all: readonly RecordedStroke[] = document.strokes;
  const strokes = all.filter(({ doubt }) => !NO_TAKE_DOUBTS.some((reason) => doubt.includes(reason)));
  const order = new Map(strokes.map((stroke, i) => [stroke, i]));
  const touch = touchOf(strokes, takes);
  const plays = playOf(strokes, takes);
  const usable = plays.map((play) => usableStrokes(play, touch, (stroke) => order.get(stroke)!));
  // A scale of another touch is no scale of this one.
  const fitting = reference !== null && (reference.touch ?? 'finger') === touch ? reference : null;
  return { plays, usable, travel: judgeTravel(usable, fitting), touch };
}

/** The hand that a round is held against, or null where neither the round nor a reference says what it is. */
export function handOfRound({ travel }: PlayedRound, document: RoundDocument): HandScale | null {
  const { hand } = travel;
  if (hand === null || hand.reference !== 'none') return hand;
  // A document analysed with a stored reference keeps its scale, though not the reference itself.
  const { reference, scalePercent, scaleLogError, slopePerDb, slopeError, slipRate } = document.hand;
  if (reference !== 'stored' || scalePercent === null) return null;
  return {
    ...hand,
    scale: scalePercent / 100,
    logError: scaleLogError ?? hand.logError,
    slopeError: slopeError ?? hand.slopeError,
    slopePerDb: slopePerDb ?? hand.slopePerDb,
    slipRate: slipRate ?? hand.slipRate,
    reference,
  };
}

/** The recordings of a document, an error where one could not be read. */
export function allSources(document: RoundDocument): readonly (Source | ErrorDocument)[] {
  return 'source' in document ? [document.source] : document.sources;
}

/** @throws Refused for a document of another analysis version: its numbers are not comparable. */
export function refuseOtherVersion(document: RoundDocument): void {
  if (document.analysisVersion === ANALYSIS_VERSION) return;
  const name = sourcesOf(document)[0]?.file ?? 'a document';
  throw new Refused(
    `${name}: analysis version ${document.analysisVersion}`,
    `${ANALYSIS_VERSION}: analyse the recording again`,
  );
}

/** The recordings of a document that could be read. */
export function sourcesOf(document: RoundDocument): Source[] {
  if ('source' in document) return [document.source];
  return document.sources.flatMap((source) => ('code' in source ? [] : [source]));
}
