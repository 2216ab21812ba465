/**
 * Finger-key contacts of the strokes already found: which candidate it was, or why there is none.
 *
 * A candidate counts when it stands over a threshold set for the recording, from windows in which no contact can be. Among
 * several, the one whose travel time fits those of the take's other strokes at their loudness, and there less evidence will
 * do; where too few agree, a long travel time wants more. What comes at one distance after the stroke before, rather than
 * at one before the next, is the key or the damper coming back. "None heard" is an answer, and says whether anything could
 * have been heard.
 *
 * What is asked, and what speaks for one candidate against another, stands in signal/contactChoice.
 */

import type { Pyramid } from '../signal/pyramid.ts';
import { median } from '../statistics/order.ts';
import type { Decibels, Seconds } from '../units.ts';
import { contactConfidence, type ContactGrounds } from './contactConfidence.ts';
import {
  AGREED_ADDS,
  ALONE_FROM,
  CLEAR_STEP,
  CLICK_ADDS,
  FITTING_NEEDS,
  LATE_PER_DB,
  LEAST_AGREEING,
  LONG_COSTS,
  LONG_TRAVEL,
  NOT_THIS,
  SAME,
  THUMP_ADDS,
  TOGETHER,
  TRAVEL_PER_DB,
} from '../signal/contactChoice.ts';
import { ContactListener, type ContactCandidate, type ContactEvidence, type ContactKind } from './contactEvidence.ts';
import { askedOf, expectedByChance, thresholdFor, USUAL, type Chance } from './contactThresholds.ts';
import type { HeardTake } from './takes.ts';
import type { Absence, Doubt, Stroke } from './types.ts';

const KIND_ADDS: Readonly<Record<ContactKind, number>> = { click: CLICK_ADDS, thump: THUMP_ADDS, 'whitened-thump': 0 };
/** So many times more strokes must agree than would by chance. */
const OVER_CHANCE = 2.5;
/** Evidence, in units of the threshold, below which a rival is not worth mentioning. */
const RIVAL = 1.5;
/** Returning keys: distances after the stroke before agree within this. */
const LAG_TOGETHER: Seconds = 0.012;
/**
 * A usual contact stands so far under the tone's peak, and is found one time in four when it stands so far over what else
 * sounds in its band (measured on made noises at 60 to 30 dB); where it does not, it is masked.
 */
const USUAL_CONTACT: Decibels = -40;
const THUMP_NEEDS: Decibels = 10;
const CLICK_NEEDS: Decibels = 22;
const OUTSIDE: Absence = 'outside-recording';

/** A stroke whose contact is sought, and what stands before it. */
interface Sought {
  readonly index: number;
  readonly stroke: Stroke;
  readonly rest: Seconds;
  readonly evidence: ContactEvidence;
  readonly candidates: readonly Candidate[];
}

/** A candidate with its evidence in units of this recording's thresholds, and of the usual ones. */
type Candidate = ContactCandidate & { readonly strength: number; readonly plain: number; readonly logLead: number };

/** A take with what may be the contacts of its strokes: nothing decided. */
export interface SoughtTake {
  readonly take: HeardTake;
  readonly sought: readonly Sought[];
  readonly chance: Chance;
}

/** What was decided about one stroke, and on what grounds; `null` where no contact is said. */
export interface ContactDecision {
  readonly stroke: Stroke;
  readonly grounds: ContactGrounds | null;
}

/** Seeks the contact of every stroke that has an onset. Takes in order of time; nothing else of them is changed. */
export function withContacts(pyramid: Pyramid, takes: readonly HeardTake[]): HeardTake[] {
  return seekContacts(pyramid, takes).map((found) => ({
    ...found.take,
    strokes: decideContacts(found).map(({ stroke }) => stroke),
  }));
}

/** What may be contacts, stroke by stroke, each weighed against this recording's thresholds. */
export function seekContacts(pyramid: Pyramid, takes: readonly HeardTake[]): SoughtTake[] {
  const listener = new ContactListener(pyramid);
  const onsets = takes
    .flatMap(({ strokes }) => strokes.flatMap(({ onsetSeconds }) => (onsetSeconds === null ? [] : [onsetSeconds])))
    .sort((a, b) => a - b);
  const restOf = (onset: Seconds): Seconds => {
    const before = onsets.findLast((other) => other < onset - 1e-6);
    return before === undefined ? onset + 1 : onset - before;
  };
  const { thresholds, chance } = askedOf(listener, takes, restOf);
  return takes.map((take) => {
    const strokes = take.strokes.map((stroke) => (isSought(stroke) ? withoutContact(stroke, OUTSIDE) : stroke));
    const sought = strokes.flatMap((stroke, index): Sought[] => {
      if (!isSought(stroke)) return [];
      const onset = stroke.onsetSeconds!;
      const rest = restOf(onset);
      const evidence = listener.before(onset, rest);
      if (!evidence) return [];
      const candidates = evidence.candidates.map((candidate) => ({
        ...candidate,
        strength: candidate.score / thresholdFor(candidate.kind, rest, thresholds),
        plain: candidate.score / thresholdFor(candidate.kind, rest, USUAL),
        logLead: Math.log(onset - candidate.seconds),
      }));
      return [{ index, stroke, rest, evidence, candidates }];
    });
    return { take: { ...take, strokes }, sought, chance };
  });
}

/**
 * Decides for every stroke of a take, in its order. `acceptance` is the least strength that counts, re this recording's
 * thresholds: above 1 less is found, and less of it is false.
 */
export function decideContacts({ take, sought, chance }: SoughtTake, acceptance = 1): ContactDecision[] {
  const decisions = take.strokes.map((stroke): ContactDecision => ({ stroke, grounds: null }));
  const pool = (counts: (candidate: Candidate) => boolean) =>
    sought.map((one) => {
      const strong = one.candidates.filter(counts);
      // Alone, what is left when ringing is predicted away was right once in ten: it only bears witness.
      return { ...one, candidates: strong.filter((c) => c.kind !== 'whitened-thump' || agreed(c, strong)) };
    });
  // Where a room clicks by itself the thresholds are high; that strokes agree is evidence of its own.
  const usual = usualLogLead(
    pool(({ plain }) => plain >= acceptance),
    chance,
  );
  // Once the take's travel time is known, less evidence will do for what fits it.
  const accepted = pool(({ strength, plain }) =>
    usual ? plain >= FITTING_NEEDS * acceptance : strength >= acceptance,
  );
  for (const one of accepted) decisions[one.index] = decide(one, accepted, { usual, acceptance, chance });
  return decisions;
}

function isSought({ onsetSeconds, kind }: Stroke): boolean {
  return onsetSeconds !== null && kind !== 'double';
}

/**
 * ln of the take's travel time at its median level, where its candidates gather most; `null` with too few strokes, or no
 * more than what stands there by chance would make.
 */
function usualLogLead(sought: readonly Sought[], chance: Chance): { at: number; level: Decibels } | null {
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
  if (!best) return null;
  const byChance = sought.length * expectedByChance(chance, 1, aroundUsual(best.at));
  return best.strokes >= Math.max(LEAST_AGREEING, OVER_CHANCE * byChance) ? { at: best.at, level } : null;
}

/** How long the stretch is in which a candidate goes together with this ln travel time. */
function aroundUsual(at: number): Seconds {
  return 2 * Math.sinh(TOGETHER) * Math.exp(at);
}

function atLevel(logLead: number, { levelDb }: Stroke, level: Decibels): number {
  return levelDb === null ? logLead : logLead - TRAVEL_PER_DB * (levelDb - level);
}

/** By what a stroke of a take is decided. */
interface Rule {
  readonly usual: { readonly at: number; readonly level: Decibels } | null;
  readonly acceptance: number;
  readonly chance: Chance;
}

function decide(one: Sought, all: readonly Sought[], { usual, acceptance, chance }: Rule): ContactDecision {
  const { stroke, evidence } = one;
  const own = one.candidates.filter((candidate) => !isReturning(candidate.seconds, one, all));
  const fitting = own
    .map((candidate) => ({ candidate, off: misfit(candidate, stroke, usual), agreed: agreed(candidate, own) }))
    .filter(({ candidate, off }) =>
      usual
        ? off < (candidate.strength >= acceptance ? NOT_THIS : TOGETHER)
        : Math.log(candidate.strength / acceptance) >= LONG_COSTS * off,
    )
    .map((one) => ({ ...one, worth: worth(one, usual !== null) }))
    .sort((a, b) => b.worth - a.worth);
  const best = fitting[0];
  if (!best) return { stroke: withoutContact(stroke, isMasked(one) ? 'masked' : 'none-heard'), grounds: null };
  const { candidate, off, agreed: both } = best;
  const rival = fitting.find(
    (other) =>
      Math.abs(other.candidate.seconds - candidate.seconds) > SAME &&
      other.candidate.strength >= Math.max(RIVAL, Math.sqrt(candidate.strength)) &&
      other.off < TOGETHER + off,
  );
  // Where a click stands at a thump's start, the click says when.
  const click = own.find((other) => other.kind === 'click' && Math.abs(other.seconds - candidate.seconds) < SAME);
  const timed = click ?? candidate;
  const late = timed.step === null ? 0 : LATE_PER_DB * Math.max(0, CLEAR_STEP - timed.step);
  const doubt: Doubt[] = rival ? [...stroke.doubt, 'two-candidates'] : [...stroke.doubt];
  const first = rival && rival.candidate.seconds < candidate.seconds ? rival.candidate : timed;
  const absent = { ...stroke.absent };
  delete absent.contact;
  const grounds: ContactGrounds = {
    kind: candidate.kind,
    strength: candidate.strength,
    agreed: both,
    off: usual === null ? null : off,
    rival: rival !== undefined,
    byChance: expectedByChance(chance, candidate.plain, usual ? aroundUsual(usual.at) : evidence.to - evidence.from),
    step: candidate.step,
    earlierBy: first === timed ? late : 0,
  };
  return {
    stroke: {
      ...stroke,
      contactSeconds: first.seconds - (first === timed ? late : 0),
      contactRiseSeconds: first.riseSeconds,
      otherContactSeconds: rival ? (first === timed ? rival.candidate : timed).seconds : null,
      contactConfidence: contactConfidence(grounds),
      absent,
      doubt,
    },
    grounds,
  };
}

/** A candidate with what its place says for or against it. */
interface Fitting {
  readonly candidate: Candidate;
  /** ln, of its travel time from the take's own or, without one, over what is usual anywhere. */
  readonly off: number;
  readonly agreed: boolean;
}

function misfit({ logLead }: Candidate, stroke: Stroke, usual: { at: number; level: Decibels } | null): number {
  if (usual) return Math.abs(atLevel(logLead, stroke, usual.level) - usual.at);
  return Math.max(0, logLead - Math.log(LONG_TRAVEL));
}

/** Whether another witness says the same. */
function agreed(candidate: Candidate, all: readonly Candidate[]): boolean {
  return all.some((other) => other.kind !== candidate.kind && Math.abs(other.seconds - candidate.seconds) < SAME);
}

/** Evidence and agreement less the misfit of the travel time. */
function worth({ candidate, off, agreed: both }: Fitting, usual: boolean): number {
  const against = usual ? 0.5 * (off / (0.5 * TOGETHER)) ** 2 : LONG_COSTS * off;
  return Math.log(candidate.strength) + KIND_ADDS[candidate.kind] + (both ? AGREED_ADDS : 0) - against;
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

/** The stroke with nothing said of its contact but why. */
function withoutContact(stroke: Stroke, cause: Absence): Stroke {
  return {
    ...stroke,
    contactSeconds: null,
    contactRiseSeconds: null,
    otherContactSeconds: null,
    contactConfidence: null,
    absent: { ...stroke.absent, contact: cause },
    doubt: stroke.doubt.filter((doubt) => doubt !== 'two-candidates'),
  };
}
