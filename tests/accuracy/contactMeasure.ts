/**
 * What was said about contacts against what was laid.
 *
 * A stroke counts as found if a contact is said within 10 ms of the one laid (15 for real noises, whose start is read by
 * eye); anything said elsewhere, or where none was laid, is false. Two candidates count by the first. The lead error is the
 * said travel time less the true one, so that the zero of the note and its error are in it; of each note its median is
 * taken out, as the design says a note's constant may be.
 */

import { hear } from '../../src/strokes/hear.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import { median } from '../../src/statistics/order.ts';
import type { Recording, TrueStroke } from './material.ts';

export interface ContactScore {
  readonly passage: 'slow' | 'fast';
  readonly midi: number;
  readonly laid: boolean;
  /** Said contact: travel time, its error, its probability; `null` where none was said. */
  readonly said: { readonly error: number | null; readonly confidence: number; readonly doubted: boolean } | null;
  readonly cause: string | null;
}

const NEAR = 0.01;
const STROKE_NEAR = 0.03;

/** Hears a recording and scores its contacts, stroke by stroke. Strokes that were not found themselves are left out, and counted. */
export function scoreContacts(recording: Recording): { scores: ContactScore[]; strokesLost: number } {
  const heard = hear(recording.samples, recording.sampleRate).takes.flatMap(({ strokes }) => strokes);
  const scores: ContactScore[] = [];
  let strokesLost = 0;
  for (const truth of recording.strokes) {
    if (truth.kind !== 'sounded') continue;
    const stroke = nearest(heard, truth.timeSeconds);
    if (!stroke) strokesLost++;
    else scores.push(scoreOne(truth, stroke));
  }
  return { scores, strokesLost };
}

function nearest(heard: readonly Stroke[], time: number): Stroke | null {
  let best: Stroke | null = null;
  for (const stroke of heard) {
    if (stroke.onsetSeconds === null || Math.abs(stroke.onsetSeconds - time) > STROKE_NEAR) continue;
    if (!best || Math.abs(stroke.onsetSeconds - time) < Math.abs(best.onsetSeconds! - time)) best = stroke;
  }
  return best;
}

function scoreOne(truth: TrueStroke, stroke: Stroke): ContactScore {
  const { contactSeconds, onsetSeconds, contactConfidence } = stroke;
  const error =
    contactSeconds === null || truth.contactSeconds === null
      ? null
      : onsetSeconds! - contactSeconds - (truth.timeSeconds - truth.contactSeconds);
  return {
    passage: truth.passage === 'fast' ? 'fast' : 'slow',
    midi: truth.midi,
    laid: truth.contactSeconds !== null,
    said:
      contactSeconds === null
        ? null
        : { error, confidence: contactConfidence ?? 0, doubted: stroke.doubt.includes('two-candidates') },
    cause: stroke.absent.contact ?? null,
  };
}

export interface ContactSummary {
  readonly n: number;
  /** Share of laid contacts found; share of strokes with a false one. */
  readonly found: number;
  readonly wrong: number;
  /** Errors of the found ones, each note's median taken out, seconds. */
  readonly errors: readonly number[];
  readonly masked: number;
  readonly doubted: number;
}

/** Sums up strokes of one passage. */
export function summary(scores: readonly ContactScore[], near = NEAR): ContactSummary {
  const constants = new Map<number, number>();
  for (const { midi } of scores) {
    if (constants.has(midi)) continue;
    const own = scores.flatMap(({ midi: of, said }) =>
      of === midi && said && said.error !== null ? [said.error] : [],
    );
    constants.set(midi, own.length ? median(own) : 0);
  }
  const off = ({ midi, said }: ContactScore): number | null =>
    said && said.error !== null
      ? said.error - (Math.abs(constants.get(midi)!) < near ? constants.get(midi)! : 0)
      : null;
  const hits = scores.filter((score) => score.laid && off(score) !== null && Math.abs(off(score)!) <= near);
  const wrong = scores.filter((score) => score.said && (!score.laid || Math.abs(off(score)!) > near));
  return {
    n: scores.length,
    found: hits.length / Math.max(1, scores.length),
    wrong: wrong.length / Math.max(1, scores.length),
    errors: hits.map((score) => off(score)!),
    masked: scores.filter(({ cause }) => cause === 'masked').length / Math.max(1, scores.length),
    doubted: scores.filter(({ said }) => said?.doubted).length / Math.max(1, scores.length),
  };
}
