/**
 * Finger-key contacts of the strokes already found: which candidate it was, or why there is none.
 *
 * A candidate counts when it stands over a threshold set for the recording, from windows in which no contact can be. Among
 * several, the one whose travel time fits those of the take's other strokes at their loudness; what comes at one distance
 * after the stroke before, rather than at one before the next, is the key or the damper coming back. "None heard" is an
 * answer, and says whether anything could have been heard.
 *
 * Travel time goes with hammer speed to the power -0.57, level with 20·log10 of it (Goebl, Bresin & Galembo 2005; Palmer &
 * Brown 1991; both read at second hand).
 */

import type { Pyramid } from '../signal/pyramid.ts';
import { median, quantile } from '../statistics/order.ts';
import type { Decibels, Seconds } from '../units.ts';
import { ALONE_FROM, ContactListener, type ContactCandidate, type ContactEvidence } from './contactEvidence.ts';
import type { HeardTake } from './takes.ts';
import type { Absence, Doubt, Stroke } from './types.ts';

/** Thresholds where no control window says otherwise: from noise of real rooms, 2 in 100. */
const CLICK_OVER = 2.7;
/** The same for the short window of a fast stroke. */
const CLICK_OVER_FAST = 2.4;
const THUMP_OVER = 40;
const WHITENED_OVER = 30;
/** Control windows end so long before an onset, and are so long; they want a rest of at least so much. */
const CONTROL_BEFORE: Seconds = 0.2;
const CONTROL_WINDOW: Seconds = 0.12;
const CONTROL_REST: Seconds = 0.8;
const LEAST_CONTROLS = 8;
const CONTROL_SHARE = 0.95;
const CONTROL_MARGIN = 1.2;

/** Change of ln travel time per dB: -0.57 ln(10) / 20. */
const TRAVEL_PER_DB = -0.0656;
/** Travel times that go together, ln: the hand and the mechanism scatter less than this. */
const TOGETHER = 0.3;
/** What differs more from the take's own is no contact, once so many strokes agree. */
const NOT_THIS = 0.75;
const LEAST_AGREEING = 4;
/** Two candidates that differ by less are one. */
const SAME: Seconds = 0.004;
/** Evidence, in units of the threshold, below which a rival is not worth mentioning. */
const RIVAL = 1.5;
/** Returning keys: distances after the stroke before agree within this. */
const LAG_TOGETHER: Seconds = 0.012;
/** A faint thump's start is late: seconds per dB of its step under 22 (measured on real noises; 0.25 ms). */
const LATE_PER_DB: Seconds = 0.00025;
const CLEAR_STEP: Decibels = 22;
/** A usual contact stands so far under the tone's peak; where not even that could be heard, it is masked. */
const USUAL_CONTACT: Decibels = -40;
const THUMP_NEEDS: Decibels = 8;
const CLICK_NEEDS: Decibels = 12;
const OUTSIDE: Absence = 'outside-recording';

interface Sought {
  readonly index: number;
  readonly stroke: Stroke;
  readonly rest: Seconds;
  readonly evidence: ContactEvidence;
  readonly candidates: (ContactCandidate & { strength: number; logLead: number })[];
}

/** Seeks the contact of every stroke that has an onset. Takes in order of time; nothing else of them is changed. */
export function withContacts(pyramid: Pyramid, takes: readonly HeardTake[]): HeardTake[] {
  const listener = new ContactListener(pyramid);
  const onsets = takes
    .flatMap(({ strokes }) => strokes.flatMap(({ onsetSeconds }) => (onsetSeconds === null ? [] : [onsetSeconds])))
    .sort((a, b) => a - b);
  const restOf = (onset: Seconds): Seconds => {
    const before = onsets.findLast((other) => other < onset - 1e-6);
    return before === undefined ? onset + 1 : onset - before;
  };
  const thresholds = thresholdsOf(listener, takes, restOf);
  return takes.map((take) => {
    const strokes = [...take.strokes];
    const sought: Sought[] = [];
    strokes.forEach((stroke, index) => {
      if (stroke.onsetSeconds === null || stroke.kind === 'double') return;
      const rest = restOf(stroke.onsetSeconds);
      const evidence = listener.before(stroke.onsetSeconds, rest);
      if (!evidence) {
        strokes[index] = withoutContact(stroke, OUTSIDE);
        return;
      }
      const candidates = evidence.candidates
        .map((candidate) => ({
          ...candidate,
          strength: candidate.score / thresholdFor(candidate.kind, rest, thresholds),
          logLead: Math.log(stroke.onsetSeconds! - candidate.seconds),
        }))
        .filter(({ strength }) => strength >= 1);
      sought.push({ index, stroke, rest, evidence, candidates });
    });
    const usual = usualLogLead(sought);
    for (const one of sought) strokes[one.index] = decide(one, sought, usual);
    return { ...take, strokes };
  });
}

/** A short window gives chance less room. */
function thresholdFor(kind: ContactCandidate['kind'], rest: Seconds, thresholds: Thresholds): number {
  return thresholds[kind] * (kind === 'click' && rest < ALONE_FROM ? CLICK_OVER_FAST / CLICK_OVER : 1);
}

type Thresholds = Record<ContactCandidate['kind'], number>;

/** Thresholds of this recording: what windows show in which there can be no contact, but no less than the usual ones. */
function thresholdsOf(
  listener: ContactListener,
  takes: readonly HeardTake[],
  restOf: (onset: Seconds) => Seconds,
): Thresholds {
  const controls: ContactEvidence[] = [];
  for (const { strokes } of takes) {
    for (const { onsetSeconds, passage } of strokes) {
      if (onsetSeconds === null || passage === 'fast') continue;
      const rest = restOf(onsetSeconds);
      if (rest < CONTROL_REST) continue;
      const at = onsetSeconds - CONTROL_BEFORE;
      const evidence = listener.before(at, rest - CONTROL_BEFORE, CONTROL_WINDOW);
      if (evidence) controls.push(evidence);
    }
  }
  const over = (kind: ContactCandidate['kind'], least: number): number => {
    if (controls.length < LEAST_CONTROLS) return least;
    const highest = controls.map(({ candidates }) =>
      Math.max(0, ...candidates.filter((candidate) => candidate.kind === kind).map(({ score }) => score)),
    );
    return Math.max(least, CONTROL_MARGIN * quantile(highest, CONTROL_SHARE));
  };
  return {
    click: over('click', CLICK_OVER),
    thump: over('thump', THUMP_OVER),
    'whitened-thump': over('whitened-thump', WHITENED_OVER),
  };
}

/** ln of the take's travel time at its median level, where its candidates gather most; `null` with too few. */
function usualLogLead(sought: readonly Sought[]): { at: number; level: Decibels } | null {
  const levels = sought.flatMap(({ stroke }) => (stroke.levelDb === null ? [] : [stroke.levelDb]));
  if (levels.length === 0) return null;
  const level = median(levels);
  const places = sought.flatMap(({ stroke, candidates }) =>
    candidates.map(({ logLead, strength }) => ({
      at: atLevel(logLead, stroke, level),
      weight: Math.min(3, strength),
      stroke,
    })),
  );
  let best: { at: number; weight: number; strokes: number } | null = null;
  for (const { at } of places) {
    const near = places.filter((other) => Math.abs(other.at - at) < TOGETHER);
    const weight = near.reduce((sum, other) => sum + other.weight * (1 - Math.abs(other.at - at) / TOGETHER), 0);
    const strokes = new Set(near.map((other) => other.stroke)).size;
    if (!best || weight > best.weight) {
      best = { at: median(near.map((other) => other.at)), weight, strokes };
    }
  }
  return best && best.strokes >= LEAST_AGREEING ? { at: best.at, level } : null;
}

function atLevel(logLead: number, { levelDb }: Stroke, level: Decibels): number {
  return levelDb === null ? logLead : logLead - TRAVEL_PER_DB * (levelDb - level);
}

function decide(one: Sought, all: readonly Sought[], usual: { at: number; level: Decibels } | null): Stroke {
  const { stroke } = one;
  const own = one.candidates.filter((candidate) => !isReturning(candidate.seconds, one, all));
  const fitting = own
    .map((candidate) => ({
      candidate,
      off: usual === null ? 0 : Math.abs(atLevel(candidate.logLead, stroke, usual.level) - usual.at),
    }))
    .filter(({ off }) => off < NOT_THIS)
    .sort((a, b) => worth(b) - worth(a));
  const chosen = fitting[0];
  if (!chosen) return withoutContact(stroke, isMasked(one) ? 'masked' : 'none-heard');
  const { candidate, off } = chosen;
  const rival = fitting.find(
    (other) =>
      Math.abs(other.candidate.seconds - candidate.seconds) > SAME &&
      other.candidate.strength >= Math.max(RIVAL, Math.sqrt(candidate.strength)) &&
      other.off < TOGETHER + off,
  );
  const late = candidate.step === null ? 0 : LATE_PER_DB * Math.max(0, CLEAR_STEP - candidate.step);
  const doubt: Doubt[] = rival ? [...stroke.doubt, 'two-candidates'] : [...stroke.doubt];
  const first = rival && rival.candidate.seconds < candidate.seconds ? rival.candidate : candidate;
  const absent = { ...stroke.absent };
  delete absent.contact;
  return {
    ...stroke,
    contactSeconds: first.seconds - (first === candidate ? late : 0),
    contactRiseSeconds: first.riseSeconds,
    otherContactSeconds: rival ? (first === candidate ? rival.candidate : candidate).seconds : null,
    contactConfidence: confidenceOf(candidate, off, rival !== undefined),
    absent,
    doubt,
  };
}

/** Evidence less the misfit of the travel time. A click says when to a tenth of a millisecond: it goes before a thump. */
function worth({ candidate, off }: { candidate: { strength: number; kind: string }; off: number }): number {
  return Math.log(candidate.strength) + (candidate.kind === 'click' ? 1 : 0) - 0.5 * (off / (0.5 * TOGETHER)) ** 2;
}

/** True where other strokes have something at this distance after the stroke before them, and none at this lead. */
function isReturning(seconds: Seconds, one: Sought, all: readonly Sought[]): boolean {
  if (one.rest < ALONE_FROM) return false;
  const lead = Math.log(one.stroke.onsetSeconds! - seconds);
  const lag = seconds - (one.stroke.onsetSeconds! - one.rest);
  let leads = 0;
  let lags = 0;
  for (const other of all) {
    if (other === one || Math.abs(other.rest - one.rest) < LAG_TOGETHER) continue;
    const onset = other.stroke.onsetSeconds!;
    if (other.candidates.some((c) => Math.abs(c.logLead - lead) < TOGETHER / 2)) leads++;
    if (other.candidates.some((c) => Math.abs(c.seconds - (onset - other.rest) - lag) < LAG_TOGETHER)) lags++;
  }
  return lags >= 3 && lags > leads;
}

function isMasked({ stroke, evidence }: Sought): boolean {
  if (stroke.levelDb === null) return false;
  const needs = Math.min(evidence.lowFloor + THUMP_NEEDS, evidence.highFloor + CLICK_NEEDS);
  return needs > stroke.levelDb + USUAL_CONTACT;
}

/** Placeholder for the calibrated curve. */
function confidenceOf({ strength }: { strength: number }, off: number, rival: boolean): number {
  const z = 1.2 + 1.5 * Math.log(strength) - 2 * off;
  return (rival ? 0.6 : 1) / (1 + Math.exp(-z));
}

function withoutContact(stroke: Stroke, cause: Absence): Stroke {
  return { ...stroke, absent: { ...stroke.absent, contact: cause } };
}
