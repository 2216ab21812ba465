/**
 * What the hand plays and what the piano makes of it: slow strokes and fast passages of one note, as events in time.
 */

import type { RandomStream } from '../../src/synthesis/random.ts';
import type { Absence } from '../../src/strokes/types.ts';
import type { Decibels, Seconds } from '../../src/units.ts';
import { failingAt, failingCurve, type FailingCurve } from './failing.ts';
import {
  apart,
  CONTACT_ERROR,
  CONTACT_WRONG,
  exponential,
  heavyTailed,
  LEVEL_ERROR,
  touchOf,
  wanderOf,
  type Hand,
} from './hand.ts';
import { PASSAGE_SHIFT, WEAK_BEYOND, WEAK_BEYOND_GOOD } from './modelTables.ts';
import { OTHER_REST, type PianoNote } from './piano.ts';

/** A string contact as it is heard; what the string did not answer leaves no event. */
export interface Sounded {
  readonly onset: Seconds;
  readonly level: Decibels;
  readonly double: boolean;
  readonly contact: Seconds | null;
  readonly absent: Absence | null;
  /** The later of two candidates. */
  readonly other: Seconds | null;
  /** Whether the contact is a wrong one: it is believed less. */
  readonly wrong: boolean;
  readonly gapDb: Decibels | null;
}

/** One note under one hand, with its own random stream: what it plays goes into `events`, in order of time. */
export interface Player {
  readonly random: RandomStream;
  readonly note: PianoNote;
  readonly hand: Hand;
  readonly events: Sounded[];
  /** Seconds from the start of the sitting; moves on as is played. */
  now: Seconds;
  /** ln of the speed of this take's strokes. */
  readonly speed: number;
}

/** ln of the speed of a firm stroke against a slow one: 7 to 9 dB. */
const FIRM_SPEED = 0.92;
const MOTOR: Seconds = 0.004;
const HUMAN = 0.045;
/** A beat that the finger itself leaves out, and one that is not found though it sounded. */
const BEAT_LOST = 0.002;
const DOUBLES_OF_ANY = 0.003;
const DOUBLES_HEARD = 0.9;

/** Plays slow strokes, one a second: `firm` says for each whether it is a firm one. */
export function playSlow(player: Player, firm: readonly boolean[]): void {
  const { random } = player;
  firm.forEach((isFirm, i) => {
    player.now += i === 0 ? 0 : random.normal(1, 0.05);
    // The key was wholly let up: the tone is gone, and often below the noise.
    const gapDb = i === 0 || random.chance(0.4) ? null : random.between(9, 25);
    strike(player, {
      ln: random.normal(isFirm ? FIRM_SPEED : 0, player.hand.speed),
      afterFirm: firm[i - 1] ?? false,
      gapDb,
    });
  });
}

/** Plays a fast passage at `rate` strokes a second; the key is let up by `depth` mm on the mean. */
export function playFast(player: Player, count: number, rate: number, depth: number): void {
  const { random, hand, note } = player;
  const { fault } = note;
  const action = fault?.kind === 'action' ? fault.fault : null;
  const curve = curveOf(depth, hand, rate, action);
  const beyond = (action && WEAK_BEYOND[action]) ?? WEAK_BEYOND_GOOD;
  const passageDepth = depth + random.normal(0, PASSAGE_SHIFT);
  const period = Math.exp(random.normal(0, 0.05)) / rate;
  const drift = random.normal(0, 0.06);
  let lost: Decibels = 0;
  for (let i = 0; i < count; i++) {
    const due = period * (1 + drift * (i / count - 0.5));
    const interval = i === 0 ? 0 : Math.max(0.5 * due, due * (1 + random.normal(0, HUMAN)) + random.normal(0, MOTOR));
    player.now += interval;
    const stroke = { ln: random.normal(0.1, 0.15), afterFirm: false, interval };
    if (i === 0) {
      strike(player, { ...stroke, gapDb: null });
      continue;
    }
    const own = random.normal(passageDepth, hand.depthScatter);
    lost += lossOf(note, own, interval);
    const under = underOf(random, note, failingAt(curve, own), lost >= 6, beyond);
    const unheard = under > 22 || (under > 16 && random.chance(0.2)) || random.chance(BEAT_LOST);
    if (unheard) continue;
    const gapDb = note.damperAt === null && random.chance(0.6) ? null : lost + random.normal(0, 1.5);
    lost = 0;
    // The upper quartile lies a little over the usual stroke.
    strike(player, { ...stroke, ...(under > 0 ? { ln: 0.1, under: under - 0.6 + random.normal(0, 0.5) } : {}), gapDb });
  }
}

/** How far a re-strike lies under the note's own, dB: 0 for one in order, Infinity where nothing sounds. */
function underOf(
  random: RandomStream,
  { fault }: PianoNote,
  chance: { missed: number; failed: number },
  damped: boolean,
  beyond: number,
): Decibels {
  const luck = random.between(0, 1);
  if (luck < chance.missed) return Infinity;
  if (luck < chance.failed) return 6 + Math.min(16, exponential(random, beyond));
  // Planted plainly, by no mechanism; but what the damper has told is a full return fails in no model.
  if (damped) return 0;
  if (fault?.kind === 'silent' && random.chance(fault.share)) return Infinity;
  if (fault?.kind === 'weak' && random.chance(fault.share)) return random.between(10.5, 15.5);
  return 0;
}

/** What the tone loses to the damper while the key is up by a finger's `depth`, dB. */
function lossOf({ damperAt, lossPerMs }: PianoNote, depth: number, interval: Seconds): Decibels {
  if (damperAt === null || depth <= damperAt) return 0;
  const over = depth - damperAt;
  const down = 800 * interval * Math.sqrt(over / depth);
  return lossPerMs * down * 0.5 * Math.min(1, over);
}

interface Blow {
  /** ln of the speed, against the take's. */
  readonly ln: number;
  readonly afterFirm: boolean;
  readonly gapDb: Decibels | null;
  /** Time since the stroke before, in a fast passage. */
  readonly interval?: Seconds;
  /** How far a failing one lies under, dB. */
  readonly under?: Decibels;
}

/** One stroke that sounds: its level, its travel, its contact as heard, and a double after it. */
function strike(player: Player, { ln, afterFirm, gapDb, interval, under = 0 }: Blow): void {
  const { random, note, hand, events } = player;
  const speed = player.speed + ln + hand.speedDrift(player.now);
  const late = random.chance(hand.slips) ? hand.scale * (2 + exponential(random, 1.6) + exponential(random, 1.6)) : 0;
  const drop = late > 0 && random.chance(0.5) ? 2 + exponential(random, 3) : 0;
  const level = note.level + (hand.levelPerDecade * speed) / Math.LN10 - drop - under + random.normal(0, LEVEL_ERROR);
  const logTravel =
    note.logTravel -
    hand.exponent * speed +
    hand.curve * speed * speed +
    touchOf(note, hand) * heavyTailed(random) +
    random.normal(0, 1) * wanderOf(note, hand) -
    (fromOtherRest(random, note, afterFirm) ? apart(note, hand) : 0) +
    hand.travelDrift(player.now) +
    late;
  const travel = Math.exp(logTravel);
  const onset = player.now + note.zero + random.normal(0, 0.00003);
  events.push({
    onset,
    level,
    double: false,
    gapDb,
    ...contactOf(random, { note, hand, ln, onset, at: player.now - travel }),
  });
  const share = note.fault?.kind === 'double' ? note.fault.share * DOUBLES_HEARD : DOUBLES_OF_ANY;
  if (!random.chance(share)) return;
  const until = interval === undefined ? 0.2 : Math.min(0.2, 0.58 / 6, 0.58 * (interval || 0.12));
  if (until < 0.045) return;
  const second = onset + random.between(0.042, until);
  const at = level - 12 + random.normal(0, 3);
  events.push({ ...NO_CONTACT, onset: second, level: at, double: true, gapDb: null, absent: 'not-sought' });
}

function fromOtherRest(random: RandomStream, { fault }: PianoNote, afterFirm: boolean): boolean {
  const atRandom = fault?.kind === 'two-state' || (fault?.kind === 'two-heights' && fault.when === 'random');
  return atRandom ? random.chance(OTHER_REST) : afterFirm;
}

const NO_CONTACT = { contact: null, other: null, wrong: false } as const;

/** The contact as it is heard: more often missing when soft, a little off, now and then another noise. */
function contactOf(
  random: RandomStream,
  { note, hand, ln, onset, at }: { note: PianoNote; hand: Hand; ln: number; onset: Seconds; at: Seconds },
): Pick<Sounded, 'contact' | 'other' | 'wrong' | 'absent'> {
  if (hand.missing > 0) {
    const odds = Math.log(hand.missing / (1 - hand.missing)) + note.missing - 2 * ln;
    if (random.chance(1 / (1 + Math.exp(-odds)))) {
      return { ...NO_CONTACT, absent: random.chance(0.7) ? 'none-heard' : 'masked' };
    }
  }
  const heard = Math.min(onset - 0.006, at + random.normal(0, CONTACT_ERROR));
  if (random.chance(CONTACT_WRONG)) {
    const wrong = heard + random.between(0.008, 0.06) * (random.chance(0.5) ? 1 : -1);
    return { contact: Math.min(onset - 0.006, wrong), other: null, wrong: true, absent: null };
  }
  const rival = random.chance(0.03) ? heard + random.between(0.006, 0.03) : null;
  return { contact: heard, other: rival !== null && rival < onset - 0.005 ? rival : null, wrong: false, absent: null };
}

const curves = new WeakMap<Hand, Map<string, FailingCurve>>();

/** A hand's curve, found once for each rate, depth and fault. */
function curveOf(depth: number, hand: Hand, rate: number, action: Parameters<typeof failingCurve>[3]): FailingCurve {
  const own = curves.get(hand) ?? new Map<string, FailingCurve>();
  curves.set(hand, own);
  const key = `${depth} ${rate} ${action}`;
  const found = own.get(key) ?? failingCurve(depth, hand.depthScatter, rate, action);
  own.set(key, found);
  return found;
}
