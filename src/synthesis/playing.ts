/**
 * The hand at the piano: from a plan to every key press, its times, speed and level.
 *
 * Travel time T = scale * v^-exponent, with a trend over the compass, the note's own shift, the hand's scatter, slips, and
 * the rest height's 1.4 % per millimetre. The hand's figures (ln speed 0.17, ln travel 3 to 4 %, slips 3 %, intervals
 * 4.5 % and 4 ms) are the simulation study of the statistics, section 1. The key bottom follows 12 - 3.75 (v - 1) ms after
 * the onset, -4 to 35 ms (Askenfelt & Jansson 1990, and Goebl, Bresin & Galembo 2005, read at second hand).
 */

import type { Decibels, MidiNote, Millimetres, Seconds } from '../units.ts';
import { SPEED_PER_MM, TRAVEL_PER_MM } from './faults.ts';
import { Mechanism, type StrokeAsked } from './mechanism.ts';
import { fullPassage, type FullPassage, type HandPlan, type NotePlan, type PracticePlan } from './plan.ts';
import { RandomStream } from './random.ts';
import { VARIANTS, type Variant } from './variants.ts';

/** A key press as it will be rendered. */
export interface PlayedStroke {
  readonly take: number;
  readonly midi: MidiNote;
  readonly passage: 'slow' | 'fast' | 'gentle';
  readonly beatSeconds: Seconds;
  readonly contactSeconds: Seconds;
  readonly keyBottomSeconds: Seconds;
  readonly velocity: number;
  readonly silent: boolean;
  /** Peak that the tone would have had, and has, dB re full scale. */
  readonly intendedDb: Decibels;
  readonly levelDb: Decibels;
  readonly restHeightMm: Millimetres;
  /** The finger's return before this stroke. */
  readonly returnMm: Millimetres;
  readonly holdSeconds: Seconds;
  readonly contactKind: 'click' | 'thump' | null;
  readonly contactLevelDb: Decibels | null;
  /** Time before the onset at which a thump of two stages begins to grow; `null` for one stage. */
  readonly secondStageSeconds: Seconds | null;
  readonly double: { readonly onsetSeconds: Seconds; readonly velocity: number; readonly levelDb: Decibels } | null;
  readonly faults: readonly string[];
}

/** Everything played, ordered in time, and the end of the last sound. */
export interface Performance {
  readonly strokes: readonly PlayedStroke[];
  readonly durationSeconds: Seconds;
}

const FIRM_LN_SPEED = (8 / 20) * Math.LN10;

/** Plays a plan: the plan must have passed `checkPlan`. */
export function playPlan(plan: PracticePlan, seed: number): Performance {
  const strokes: PlayedStroke[] = [];
  let end = (plan.leadSeconds ?? 1) - (plan.notes[0].pauseSeconds ?? 2);
  plan.notes.forEach((note, index) => {
    const start = end + (note.pauseSeconds ?? 2);
    strokes.push(...playNote(note, index + 1, start, plan, new RandomStream(seed, `hand ${index} ${plan.variant}`)));
    const last = strokes[strokes.length - 1];
    end = last.beatSeconds + last.holdSeconds;
  });
  return { strokes, durationSeconds: end + 1.2 };
}

function playNote(
  note: NotePlan,
  take: number,
  start: Seconds,
  plan: PracticePlan,
  random: RandomStream,
): PlayedStroke[] {
  const variant = VARIANTS[plan.variant];
  const hand = plan.hand ?? {};
  const mechanism = new Mechanism(note.faults ?? [], random);
  const lever = mechanism.leverShift();
  const own = {
    lnSpeed: random.normal(0, 0.08),
    lnTravel: random.normal(0, 0.01) + (variant.travelTrend * (note.midi - 64.5)) / 43.5 + lever.lnTravel,
    levelDb: random.normal(0, 1.5) + lever.levelDb,
    returnMm: random.normal(0, 0.3),
  };
  const slopeDb = variant.levelSlope + (variant.levelSlopeTrend * (note.midi - 64.5)) / 43.5;
  const passages = note.passages.map(fullPassage);
  const total = passages.reduce((sum, passage) => sum + passage.strokes, 0);
  const medium = passages.find((passage) => passage.kind === 'slow') ?? passages[0];
  const strokes: PlayedStroke[] = [];
  let previous = -Infinity;
  let afterFirm = false;
  let clock = start + 0.35;
  for (const passage of passages) {
    const intervals = beatIntervals(passage, hand, random);
    for (let index = 0; index < passage.strokes; index++) {
      clock += intervals[index];
      const beat = clock + random.normal(0, hand.motorSdSeconds ?? 0.004);
      const firm = passage.firmEvery > 0 && index % passage.firmEvery === 0;
      const asked: StrokeAsked = {
        passage: passage.kind,
        place: total > 1 ? strokes.length / (total - 1) : 0,
        placeInPassage: passage.strokes > 1 ? index / (passage.strokes - 1) : 0,
        index,
        returnMm: index === 0 ? 11 : returnBefore(passage, own.returnMm, random),
        ratePerSecond: passage.ratePerSecond,
        afterFirm,
      };
      const rest = mechanism.rest(asked);
      const lnSpeed =
        Math.log(passage.velocity) + own.lnSpeed + random.normal(0, passage.velocitySd) + (firm ? FIRM_LN_SPEED : 0);
      const velocity = Math.min(8, Math.max(0.1, Math.exp(lnSpeed + SPEED_PER_MM * rest.actingMm)));
      const travelSd = hand.travelSd ?? variant.travelSd;
      const slip = random.chance(hand.slipShare ?? 0.03);
      const lnTravel = own.lnTravel + TRAVEL_PER_MM * rest.actingMm + random.normal(0, slip ? 5 * travelSd : travelSd);
      const free = variant.travelScale * velocity ** -variant.travelExponent * Math.exp(lnTravel);
      // A quick repeat starts lower, so its way is shorter; a finger also cannot press before the last note is down.
      const way = Math.sqrt(Math.min(1, Math.max(0.15, (asked.returnMm - 0.85) / 10)));
      const travel = Math.min(Math.max(0.012, free * way), 0.6 * (beat - previous));
      const overMediumDb = slopeDb * Math.log10(velocity / (medium.velocity * Math.exp(own.lnSpeed)));
      const outcome = mechanism.strike(asked, velocity, overMediumDb);
      const slipDb = slip && random.chance(0.5) ? random.between(2, 5) : 0;
      const intendedDb =
        variant.levelAtOne +
        own.levelDb +
        slopeDb * Math.log10(velocity) +
        random.normal(0, hand.levelSdDb ?? 0.4) -
        slipDb;
      const levelDb = intendedDb - outcome.lossDb;
      const bottomMs = Math.min(35, Math.max(-4, 12 - 3.75 * (velocity - 1) + random.normal(0, 0.7)));
      strokes.push({
        take,
        midi: note.midi,
        passage: passage.kind,
        beatSeconds: beat,
        contactSeconds: beat - travel,
        keyBottomSeconds: beat + bottomMs / 1000,
        // A hammer that lost force arrives slower, and so sounds darker too.
        velocity: velocity * 10 ** (-outcome.lossDb / slopeDb),
        silent: outcome.silent,
        intendedDb,
        levelDb,
        restHeightMm: rest.heightMm,
        returnMm: asked.returnMm,
        holdSeconds: (passage.kind === 'fast' ? 0.4 : 0.38 / passage.ratePerSecond) * random.between(0.8, 1.2),
        ...fingerContact(passage.kind, hand, variant, travel, random),
        double: outcome.double && {
          onsetSeconds: beat + outcome.double.afterSeconds,
          velocity: velocity * 10 ** ((outcome.double.relativeDb - outcome.lossDb) / slopeDb),
          levelDb: levelDb + outcome.double.relativeDb,
        },
        faults: [...rest.faults, ...outcome.faults, ...(slip ? ['hand-slip'] : [])],
      });
      previous = beat;
      afterFirm = firm;
    }
    clock += random.between(1, 1.4);
  }
  return strokes;
}

/** Time before each stroke of a passage since the one before; the first follows without a wait. */
function beatIntervals(passage: FullPassage, hand: HandPlan, random: RandomStream): Seconds[] {
  const interval = 1 / passage.ratePerSecond;
  const drift = random.normal(0, hand.tempoDriftSd ?? 0.03);
  return Array.from({ length: passage.strokes }, (_, index) => {
    if (index === 0) return 0;
    const place = index / passage.strokes - 0.5;
    const spread = 1 + drift * place + random.normal(0, hand.tempoSd ?? 0.045);
    const hesitates = passage.kind !== 'fast' && random.chance(hand.hesitationShare ?? 0.04);
    return interval * Math.max(0.6, spread) + (hesitates ? random.between(0.3, 0.8) : 0);
  });
}

function returnBefore(passage: FullPassage, shift: Millimetres, random: RandomStream): Millimetres {
  if (passage.returnMm >= 11) return 11;
  return Math.min(11, Math.max(2.5, passage.returnMm + shift + random.normal(0, passage.returnSdMm)));
}

const INAUDIBLE = { slow: 0.1, fast: 0.3, gentle: 0.8 } as const;

function fingerContact(
  passage: 'slow' | 'fast' | 'gentle',
  hand: HandPlan,
  variant: Variant,
  travel: Seconds,
  random: RandomStream,
): Pick<PlayedStroke, 'contactKind' | 'contactLevelDb' | 'secondStageSeconds'> {
  const asked = hand.contact ?? 'mixed';
  const inaudible = random.chance(hand.inaudibleShare?.[passage] ?? INAUDIBLE[passage]);
  const isClick = random.chance(variant.clickShare);
  const scatter = random.normal();
  const twoStage = random.chance(hand.twoStageShare ?? 0.15);
  const growth = random.between(0.01, 0.02);
  if (asked === 'none' || inaudible) return { contactKind: null, contactLevelDb: null, secondStageSeconds: null };
  const kind = asked === 'mixed' ? (isClick ? 'click' : 'thump') : asked;
  const level = variant[kind];
  return {
    contactKind: kind,
    contactLevelDb: (hand.contactLevelDb ?? level.levelDb) + scatter * (hand.contactLevelSdDb ?? level.sdDb),
    secondStageSeconds: kind === 'thump' && twoStage && travel > 1.5 * growth ? growth : null,
  };
}
