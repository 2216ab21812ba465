/**
 * Takes for the kinds of stroke: doubles, weak and silent strokes at a chosen level, and what must not be taken for them.
 *
 * Conventions and assumptions as in `patterns.ts`. Strokes are the loud recorded layer, in the slow passage by turns with
 * the medium one, so that no tone is learned from one recording alone; weak strokes and doubles are the soft layer,
 * darker as a softer blow is, brought to the level asked for. Every stroke has its key-bottom knock 0 to 35 ms after
 * it; every key let go is heard.
 */

import { keyName } from '../../src/piano/keys.ts';
import { layersApart, planChance, type Plan, type PlannedStroke } from './material.ts';
import { Player } from './patterns.ts';

/** What such a take is like. */
export interface KindOptions {
  readonly midi: number;
  /** Level of doubles and weak strokes under the strokes, dB (negative). */
  readonly levelDb: number;
  readonly ringDb: number;
  readonly snrDb: number;
  readonly seed: number;
  /** Fast strokes a second; 6 by default. */
  readonly rate?: number;
  /** No doubles, no weak and no silent strokes: only what must not be taken for them. */
  readonly control?: boolean;
  /** Raises the room's echoes and tail, dB. */
  readonly echoesDb?: number;
}

const SLOW = 8;
const FAST = 12;
/** A double falls so long after its stroke, and before 60 % of the interval. */
const DOUBLE_FROM = 0.045;
const DOUBLE_TO = 0.15;

/**
 * Eight slow strokes, two with a double; twelve fast ones, two of them weak; twelve, two of them silent, one with the
 * mechanism heard and one without; twelve, two with a double.
 */
export async function kindsTake(options: KindOptions): Promise<Plan> {
  const { midi, levelDb, ringDb, control = false, rate = 6 } = options;
  const apart = await layersApart(midi, 12, 4);
  const random = planChance(options.seed);
  const player = new Player(midi, random);
  const interval = 1 / rate;
  const mark = (what: Partial<PlannedStroke>): void => {
    const last = player.strokes.length - 1;
    player.strokes[last] = { ...player.strokes[last], ...what };
  };
  const knocked = (): void => mark({ knockAfterSeconds: 0.035 * random.uniform() });
  const chosen = (count: number): number[] => {
    const first = 2 + Math.floor(random.uniform() * (count - 6));
    return control ? [] : [first, first + 2 + Math.floor(random.uniform() * 3)];
  };
  const double = (longest: number): void => {
    const { gainDb, layer } = player.strokes.at(-1)!;
    if (layer !== 12) return;
    player.double(4, DOUBLE_FROM + random.uniform() * (longest - DOUBLE_FROM), gainDb + levelDb + apart);
  };
  const slowDoubles = chosen(SLOW).map((i) => i - (i % 2));
  for (let i = 0; i < SLOW; i++) {
    player.slow(i % 2 ? 8 : 12, 1);
    knocked();
    if (slowDoubles.includes(i)) double(DOUBLE_TO);
  }
  const weak = chosen(FAST);
  for (let i = 0; i < FAST; i++) {
    if (weak.includes(i)) player.fast(4, interval, ringDb, levelDb + apart);
    else player.fast(12, interval, ringDb, 0);
    knocked();
  }
  player.wait(1);
  const silent = chosen(FAST);
  for (let i = 0; i < FAST; i++) {
    player.fast(12, interval, ringDb, 0, silent.includes(i) ? 'silent' : 'sounded');
    if (i === silent[1]) mark({ unheard: true });
    knocked();
  }
  player.wait(1);
  const doubles = chosen(FAST);
  for (let i = 0; i < FAST; i++) {
    player.fast(12, interval, ringDb, 0);
    knocked();
    if (doubles.includes(i)) double(Math.min(DOUBLE_TO, 0.55 * interval));
  }
  const what = control ? 'control' : `kinds ${levelDb} dB`;
  return {
    ...player.plan(`${keyName(midi)} ${what} ring ${ringDb} dB, ${options.snrDb} dB`, options),
    echoesDb: options.echoesDb,
  };
}
