/**
 * What was said about contacts against what was laid.
 *
 * A stroke counts as found if a contact is said within 10 ms of the one laid (15 for real noises, whose start is read by
 * eye); anything said elsewhere, or where none was laid, is false. Two candidates count by the first. The lead error is the
 * said travel time less the true one, so that the zero of the note and its error are in it; of each note its median is
 * taken out, as the design says a note's constant may be.
 */

import { Pyramid } from '../../src/signal/pyramid.ts';
import type { ContactGrounds } from '../../src/strokes/contactConfidence.ts';
import { decideContacts, seekContacts, type ContactDecision, type SoughtTake } from '../../src/strokes/contacts.ts';
import { hear } from '../../src/strokes/hear.ts';
import { median } from '../../src/statistics/order.ts';
import type { Recording, TrueStroke } from './material.ts';

/** A contact said: its travel time, its error against the one laid (`null`: none was), its probability. */
export interface SaidContact {
  readonly lead: number;
  readonly error: number | null;
  /** The same of the constant-fraction time: said lead less the true one of the start. */
  readonly riseError: number | null;
  /** Said place less the true one, without any constant taken out: what the probability speaks of. */
  readonly placeError: number | null;
  readonly confidence: number;
  readonly doubted: boolean;
}

export interface ContactScore {
  readonly passage: 'slow' | 'fast';
  readonly midi: number;
  readonly laid: boolean;
  /** `null` where none was said. */
  readonly said: SaidContact | null;
  readonly cause: string | null;
  readonly grounds: ContactGrounds | null;
}

const NEAR = 0.01;
const STROKE_NEAR = 0.03;

/** A recording heard once, to be decided with more than one acceptance. */
export interface HeardContacts {
  readonly recording: Recording;
  readonly found: readonly SoughtTake[];
}

/** Hears a recording up to where contacts are decided. */
export function hearContacts(recording: Recording): HeardContacts {
  const { samples, sampleRate } = recording;
  return { recording, found: seekContacts(new Pyramid(samples, sampleRate), hear(samples, sampleRate).takes) };
}

/** Scores the contacts of a recording, stroke by stroke. Strokes that were not found themselves are left out, and counted. */
export function scoreContacts(
  { recording, found }: HeardContacts,
  acceptance = 1,
): { scores: ContactScore[]; strokesLost: number } {
  const decisions = found.flatMap((take) => decideContacts(take, acceptance));
  const scores: ContactScore[] = [];
  let strokesLost = 0;
  for (const truth of recording.strokes) {
    if (truth.kind !== 'sounded') continue;
    const decision = nearest(decisions, truth.timeSeconds);
    if (!decision) strokesLost++;
    else scores.push(scoreOne(truth, decision));
  }
  return { scores, strokesLost };
}

function nearest(decisions: readonly ContactDecision[], time: number): ContactDecision | null {
  let best: ContactDecision | null = null;
  let nearestBy = STROKE_NEAR;
  for (const decision of decisions) {
    const onset = decision.stroke.onsetSeconds;
    if (onset === null || Math.abs(onset - time) > nearestBy) continue;
    nearestBy = Math.abs(onset - time);
    best = decision;
  }
  return best;
}

function scoreOne(truth: TrueStroke, { stroke, grounds }: ContactDecision): ContactScore {
  const { contactSeconds, contactRiseSeconds, onsetSeconds, contactConfidence } = stroke;
  const trueLead = truth.contactSeconds === null ? null : truth.timeSeconds - truth.contactSeconds;
  const error = (said: number): number | null => (trueLead === null ? null : onsetSeconds! - said - trueLead);
  return {
    passage: truth.passage === 'fast' ? 'fast' : 'slow',
    midi: truth.midi,
    laid: trueLead !== null,
    said:
      contactSeconds === null
        ? null
        : {
            lead: onsetSeconds! - contactSeconds,
            error: error(contactSeconds),
            riseError: error(contactRiseSeconds!),
            placeError: truth.contactSeconds === null ? null : contactSeconds - truth.contactSeconds,
            confidence: contactConfidence!,
            doubted: stroke.doubt.includes('two-candidates'),
          },
    cause: stroke.absent.contact ?? null,
    grounds,
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
    const own = scores.flatMap(({ midi: of, said }) => (of === midi && said?.error != null ? [said.error] : []));
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
