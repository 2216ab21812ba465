/**
 * A played piano for the tests of travel times: strokes from hammer speeds, not from the estimator's own line.
 *
 * ln t = a(key) + fault − 0.56 ln v + touch, plus the noise of two onsets in ms; level = 20 log v + the note's strings + noise. Three
 * strokes in a hundred go astray. Centres and slope are estimated from the strokes as any analysis would.
 */

import { mean } from '../../src/statistics/intervals.ts';
import { median } from '../../src/statistics/order.ts';
import { zeroScatter } from '../../src/steadiness/support/shift.ts';
import type { HandScale, TravelEvidence, TravelStroke } from '../../src/steadiness/evidence.ts';
import { strokesByNote } from '../../src/steadiness/support/residuals.ts';
import { isBlackKey } from '../../src/piano/keys.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

export interface Setting {
  readonly keys: readonly number[];
  readonly strokes: number;
  /** Spread of ln travel time between good notes. */
  readonly scatter: number;
  /** Zeros of the notes scatter. */
  readonly zero: boolean;
  /** ln travel time by which a key is off. */
  readonly fault: (midi: number, chance: RandomStream) => number;
  readonly blackMs: number;
  /** Spread between notes of the strings' loudness at equal speed, and of the player's mean level, dB. */
  readonly stringsDb: number;
  readonly playerDb: number;
}

export interface Played {
  readonly hand: HandScale;
  readonly strokes: readonly TravelStroke[];
  readonly travel: ReadonlyMap<number, TravelEvidence>;
  readonly faults: ReadonlyMap<number, number>;
}

export const COMPASS: readonly number[] = Array.from({ length: 88 }, (_, i) => 21 + i);

export const PLAIN: Setting = {
  keys: COMPASS,
  strokes: 7,
  scatter: 0.01,
  zero: false,
  fault: () => 0,
  blackMs: 0,
  stringsDb: 0,
  playerDb: 0.5,
};

/** One sitting at one piano. */
export function play(seed: number, setting: Partial<Setting>): Played {
  const { keys, strokes: each, scatter, zero, fault, blackMs, stringsDb, playerDb } = { ...PLAIN, ...setting };
  const chance = new RandomStream(seed, 'played');
  const faults = new Map<number, number>();
  const strokes: TravelStroke[] = [];
  for (const midi of keys) {
    const off = fault(midi, chance);
    faults.set(midi, off);
    const place = (midi - 64.5) / 43.5;
    const usual = Math.log(0.07) - 0.12 * place - 0.05 * place ** 2 + 0.03 * Math.sin(3 * place);
    const own = usual + off + chance.normal(0, scatter);
    const strings = -3 * place + chance.normal(0, stringsDb);
    const zeroError = zero ? chance.normal(0, zeroScatter(midi)) : 0;
    const meanSpeed = chance.normal(0, playerDb) / 8.686;
    for (let i = 0; i < each; i++) {
      const speed = meanSpeed + chance.normal(0, 0.17);
      const astray = chance.chance(0.03) ? chance.normal(0, 0.2) : 0;
      const travel =
        Math.exp(own - 0.56 * speed + chance.normal(0, 0.03) + astray) +
        zeroError +
        (isBlackKey(midi) ? blackMs / 1000 : 0) +
        chance.normal(0, 0.001);
      const levelDb = -20 + strings + 8.686 * speed + chance.normal(0, 0.4);
      const stroke = { midi, look: 1, logTravel: Math.log(travel), levelDb, source: 0, order: strokes.length };
      strokes.push({ ...stroke, after: 'slow', firm: false });
    }
  }
  return { ...measured(strokes), strokes, faults };
}

/** The hand's slope from all notes together, and each note's centre. */
function measured(strokes: readonly TravelStroke[]): Pick<Played, 'hand' | 'travel'> {
  const byNote = strokesByNote(strokes);
  let [product, square] = [0, 0];
  for (const own of byNote.values()) {
    const middle = median(own.map(({ logTravel }) => logTravel));
    const usual = mean(own.map(({ levelDb }) => levelDb));
    for (const { logTravel, levelDb } of own) {
      const held = Math.max(-0.25, Math.min(0.25, logTravel - middle));
      product += held * (levelDb - usual);
      square += (levelDb - usual) ** 2;
    }
  }
  const slopePerDb = product / square;
  const referenceDb = median(strokes.map(({ levelDb }) => levelDb));
  const scale = 0.041;
  const travel = new Map<number, TravelEvidence>();
  for (const [midi, own] of byNote) {
    const residuals = own.map(({ logTravel, levelDb }) => logTravel - slopePerDb * (levelDb - referenceDb));
    let centre = median(residuals);
    for (let step = 0; step < 3; step++) {
      const from = centre;
      centre += mean(residuals.map((r) => Math.max(-2 * scale, Math.min(2 * scale, r - from))));
    }
    travel.set(midi, {
      ...UNTOLD,
      n: own.length,
      centre,
      centreError: (1.2 * scale) / Math.sqrt(own.length),
      meanLevelDb: mean(own.map(({ levelDb }) => levelDb)),
    });
  }
  const referenceTravel = Math.exp(median([...travel.values()].map(({ centre }) => centre!)));
  return { travel, hand: { ...HAND, scale, slopePerDb, referenceDb, referenceTravel, notes: byNote.size } };
}

export const HAND: HandScale = {
  scale: 0.041,
  logError: 0.04,
  slopePerDb: -0.0645,
  slopeError: 0.002,
  slipRate: 0.03,
  referenceDb: -20,
  referenceTravel: 0.07,
  reference: 'this-round',
  notes: 88,
  firmShare: 0.9,
};

const UNTOLD: TravelEvidence = {
  n: 0,
  unused: {},
  decides: false,
  decidedAt: null,
  open: false,
  steady: false,
  p: null,
  probability: 0,
  findings: [],
  measures: [],
  centre: null,
  centreError: null,
  meanLevelDb: null,
  residuals: [],
  couldHaveShown: null,
  slowNeeded: 0,
};
