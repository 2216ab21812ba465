/**
 * What is played: the project's patterns as plans of strokes at known times.
 *
 * Human jitter: intervals scatter by 5 % of themselves, levels by 2 dB (assumed, no source). Keys are let go 0.45 s
 * after a slow stroke, and after 60 % of a fast one's interval, where the tone rings on at a chosen residual; undamped
 * keys ring on freely.
 */

import { keyName } from '../../src/piano/keys.ts';
import type { Chance } from './chance.ts';
import { FIRST_UNDAMPED_KEY, planChance, type LetGo, type Plan, type PlannedStroke } from './material.ts';
import type { Layer } from './samples.ts';

const TIMING_CV = 0.05;
const LEVEL_SD_DB = 2;
const LEAD_SECONDS = 0.7;
const TAIL_SECONDS = 1;
const SLOW_COUNT = 8;
const FAST_COUNT = 12;
/** A damper that falls wholly leaves so much at the next slow stroke. */
const DAMPED_DB = -45;

/** What the strokes of a take are like. */
export interface TakeOptions {
  readonly midi: number;
  /** Recorded layers of the slow strokes, in turn. */
  readonly slowLayers: readonly Layer[];
  /** Recorded layers of the fast strokes, in turn. */
  readonly fastLayers: readonly Layer[];
  /** Gains beside the layers, in turn with `fastLayers`, dB. */
  readonly fastGainsDb?: readonly number[];
  /** Fast strokes a second. */
  readonly rate: number;
  /** What a fast stroke's key, half let go, leaves of the tone before, dB. */
  readonly ringDb: number;
  readonly snrDb: number;
  readonly seed: number;
  readonly cents?: number;
}

/** Adds strokes to a list, keeping the time. */
export class Player {
  readonly strokes: PlannedStroke[] = [];
  now = LEAD_SECONDS;

  constructor(
    readonly midi: number,
    readonly random: Chance,
  ) {}

  /** One stroke, its key let go wholly after 0.45 s of `interval`. */
  slow(layer: Layer, interval: number): void {
    const from = this.now + Math.min(0.45, 0.55 * interval) + 0.03 * this.random.normal();
    const takes = this.midi < 48 ? 0.25 : 0.15;
    this.push('sounded', 'slow', layer, LEVEL_SD_DB * this.random.normal(), {
      fromSeconds: from,
      toSeconds: from + takes,
      residualDb: this.midi < FIRST_UNDAMPED_KEY ? DAMPED_DB : 0,
      noise: true,
    });
    this.wait(interval);
  }

  /** One stroke of a fast passage, its key half let go before the next. */
  fast(layer: Layer, interval: number, ringDb: number, gainDb: number, kind: 'sounded' | 'silent' = 'sounded'): void {
    const next = interval * (1 + TIMING_CV * this.random.normal());
    this.push(kind, 'fast', layer, gainDb + LEVEL_SD_DB * this.random.normal(), {
      fromSeconds: this.now + 0.6 * next,
      toSeconds: this.now + 0.9 * next,
      residualDb: this.midi < FIRST_UNDAMPED_KEY ? ringDb : 0,
      noise: true,
    });
    this.now += next;
  }

  /** A second contact `after` the stroke before, `belowDb` under it. */
  double(layer: Layer, after: number, gainDb: number): void {
    const before = this.strokes.at(-1)!;
    this.strokes.push({
      ...before,
      timeSeconds: before.timeSeconds + after,
      kind: 'double',
      layer,
      gainDb,
      letGo: null,
    });
  }

  wait(interval: number): void {
    this.now += interval * (1 + TIMING_CV * this.random.normal());
  }

  plan(name: string, { snrDb, seed, cents = 0 }: Pick<TakeOptions, 'snrDb' | 'seed' | 'cents'>): Plan {
    return { name, strokes: this.strokes, durationSeconds: this.now + TAIL_SECONDS, cents, snrDb, seed };
  }

  private push(kind: 'sounded' | 'silent', passage: 'slow' | 'fast', layer: Layer, gainDb: number, letGo: LetGo): void {
    this.strokes.push({ timeSeconds: this.now, midi: this.midi, layer, kind, passage, gainDb, letGo });
  }
}

/** A whole take: 8 slow strokes about one a second, then 12 fast ones over their own ringing. */
export function wholeTake(options: TakeOptions): Plan {
  const { midi, slowLayers, fastLayers, fastGainsDb = [0], rate, ringDb } = options;
  const player = new Player(midi, planChance(options.seed));
  for (let i = 0; i < SLOW_COUNT; i++) player.slow(slowLayers[i % slowLayers.length], 1);
  for (let i = 0; i < FAST_COUNT; i++) {
    player.fast(fastLayers[i % fastLayers.length], 1 / rate, ringDb, fastGainsDb[i % fastGainsDb.length]);
  }
  const layers = `${slowLayers.join('+')}>${fastLayers.join('+')}`;
  return player.plan(`${keyName(midi)} layers ${layers} ${rate}/s ring ${ringDb} dB, ${options.snrDb} dB`, options);
}

/** Fast strokes whose level alternates by so much, dB. */
export const ALTERNATION_DB = 8;

/**
 * A take whose fast strokes alternate between the loud and the soft recorded stroke, made {@link ALTERNATION_DB} apart.
 * @param apartDb how far the two recorded strokes are apart by themselves, dB.
 */
export function alternatingTake(
  options: Omit<TakeOptions, 'slowLayers' | 'fastLayers' | 'fastGainsDb'>,
  apartDb: number,
): Plan {
  return wholeTake({
    ...options,
    slowLayers: [8],
    fastLayers: [12, 4],
    fastGainsDb: [0, apartDb - ALTERNATION_DB],
  });
}

/** Level of a double under the stroke before it, dB. */
export const DOUBLE_DB = -12;

/**
 * A take with faults: 8 slow strokes, of which two are followed by a double; 12 fast ones, two of them silent; 12 fast
 * ones, two of them followed by a double. Doubles are another recorded stroke, 45 to 110 ms later and before 60 % of
 * the interval, {@link DOUBLE_DB} under.
 * @param apartDb how far the recorded strokes of layers 8 and 4 are apart by themselves, dB.
 */
export function faultyTake(
  options: Pick<TakeOptions, 'midi' | 'rate' | 'ringDb' | 'snrDb' | 'seed'>,
  apartDb: number,
): Plan {
  const random = planChance(options.seed);
  const player = new Player(options.midi, random);
  const interval = 1 / options.rate;
  const chosen = (count: number): Set<number> => {
    const first = 2 + Math.floor(random.uniform() * (count - 6));
    return new Set([first, first + 2 + Math.floor(random.uniform() * 3)]);
  };
  const double = (longest: number): void => {
    const { gainDb } = player.strokes.at(-1)!;
    player.double(4, 0.045 + random.uniform() * (longest - 0.045), gainDb + DOUBLE_DB + apartDb);
  };
  const slowDoubles = chosen(SLOW_COUNT);
  for (let i = 0; i < SLOW_COUNT; i++) {
    player.slow(8, 1);
    if (slowDoubles.has(i)) double(0.11);
  }
  const silent = chosen(FAST_COUNT);
  for (let i = 0; i < FAST_COUNT; i++) {
    player.fast(8, interval, options.ringDb, 0, silent.has(i) ? 'silent' : 'sounded');
  }
  player.wait(1);
  const fastDoubles = chosen(FAST_COUNT);
  for (let i = 0; i < FAST_COUNT; i++) {
    player.fast(8, interval, options.ringDb, 0);
    if (fastDoubles.has(i)) double(Math.min(0.11, 0.55 * interval));
  }
  return player.plan(
    `${keyName(options.midi)} faults ${options.rate}/s ring ${options.ringDb} dB, ${options.snrDb} dB`,
    options,
  );
}

/** Three slow strokes of one key, alone in their recording: nothing else tells how the piano is tuned. */
export function namedAlone(midi: number, layer: Layer, cents: number, snrDb: number, seed: number): Plan {
  const player = new Player(midi, planChance(seed));
  for (let i = 0; i < 3; i++) player.slow(layer, 0.8);
  return player.plan(`${keyName(midi)} alone, layer ${layer}, ${cents} cents, ${snrDb} dB`, { snrDb, seed, cents });
}

/** Five slow strokes of each key in a chance order, in one recording: the piano is heard as a whole. */
export function namedInSequence(
  midis: readonly number[],
  layer: Layer,
  cents: number,
  snrDb: number,
  seed: number,
): Plan {
  const random = planChance(seed);
  const strokes: PlannedStroke[] = [];
  let now = LEAD_SECONDS;
  for (const midi of random.shuffle(midis)) {
    const player = new Player(midi, random);
    player.now = now;
    for (let i = 0; i < 5; i++) player.slow(layer, 0.8);
    strokes.push(...player.strokes);
    now = player.now;
  }
  const name = `${midis.length} keys in sequence, layer ${layer}, ${cents} cents, ${snrDb} dB`;
  return { name, strokes, durationSeconds: now + TAIL_SECONDS, cents, snrDb, seed };
}
