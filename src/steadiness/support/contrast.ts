/**
 * Does the hammer rest elsewhere after a firm stroke than after a slow one? Mean travel time at equal level of the strokes
 * after a firm one, minus that of those after a slow one.
 *
 * Only strokes that were not firm themselves are compared: a firm stroke lies so far from the slow ones in level that an
 * error of the slope would pass for a contrast. Strokes are compared within one recording only, so that another gain is
 * no contrast. What all notes show alike is the hand's or the hearing's (the string still sounds louder after a firm
 * stroke): from twelve notes on, the middle contrast of the other notes is taken out.
 *
 * The exact test over all ways to part the strokes is used where it can reach the limit (at least 200 arrangements, not
 * so many that it takes long, one recording); else normal theory at the hand's scale, and where the note scatters more
 * than that, Student's test too, the less sure of the two: a note that merely scatters shows no contrast. Two-sided. Good for `watch` at most: by the model study of one
 * grand action a rest 2 mm elsewhere at the hammer is 3 % of the travel time, less than one stroke's scatter.
 */

import { fisherTail } from '../../statistics/distributions.ts';
import { mean } from '../../statistics/intervals.ts';
import { splitTest } from '../../statistics/exactTests.ts';
import { median } from '../../statistics/order.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, SupportEvidence, TravelStroke } from '../evidence.ts';
import { atReference, EIGHTY_POWER, NINETY, strokesByNote, twoSided } from './residuals.ts';

const LEAST_OF_EACH = 4;
const LEAST_OTHERS = 11;
const LIMIT = 0.01;
/** Quantile of the standard normal distribution at 1 − LIMIT/2. */
const LIMIT_DEVIATION = 2.5758293035489004;
const LIMIT_SHARE = 0.03;
/** Strays count no further than so many of the hand's scales, or of the note's own. */
const HELD = 3;
const HELD_OWN = 4;
/** Two-sided, the exact test reaches the limit from here; above, normal theory is as good. */
const FEWEST_ARRANGEMENTS = 200;
const MOST_ARRANGEMENTS = 20_000;

/** One recording's strokes of a note: ln travel time at equal level. */
interface Pair {
  readonly firm: readonly number[];
  readonly slow: readonly number[];
}

interface Contrast {
  readonly pairs: readonly Pair[];
  readonly size: number;
  readonly error: number;
  /** Of the note's own spread over the hand's scale, and its degrees of freedom. */
  readonly widening: number;
  readonly degrees: number;
  readonly n: number;
}

/**
 * Evidence of a contrast, for every note with at least four strokes after firm and four after slow ones. Measure in
 * percent of the travel time with its 90 % interval; p two-sided; `couldHaveShown` is the smallest contrast found with
 * 80 % power, percent. Strokes that were firm themselves, or came after anything else, have no say.
 */
export function judgeContrast(strokes: readonly TravelStroke[], hand: HandScale): Map<MidiNote, SupportEvidence> {
  const contrasts = new Map<MidiNote, Contrast>();
  for (const [midi, own] of strokesByNote(strokes)) {
    const contrast = contrastOf(own, hand);
    if (contrast) contrasts.set(midi, contrast);
  }
  const found = new Map<MidiNote, SupportEvidence>();
  for (const [midi, own] of contrasts) {
    const others = [...contrasts.entries()].filter(([other]) => other !== midi).map(([, contrast]) => contrast.size);
    const common = others.length >= LEAST_OTHERS ? median(others) : 0;
    const size = own.size - common;
    const p = probabilityOf(own, common);
    const watch = p <= LIMIT && Math.abs(size) > LIMIT_SHARE;
    const half = NINETY * own.error;
    const value = 100 * size;
    const interval = [100 * (size - half), 100 * (size + half)] as const;
    found.set(midi, {
      watch,
      p,
      findings: watch ? [{ kind: 'wandering-rest', size: value, unit: 'percent', interval, n: own.n }] : [],
      measures: [{ kind: 'after-firm', value, unit: 'percent', interval, n: own.n }],
      couldHaveShown: 100 * (Math.max(LIMIT_SHARE, LIMIT_DEVIATION * own.error) + EIGHTY_POWER * own.error),
    });
  }
  return found;
}

function contrastOf(own: readonly TravelStroke[], hand: HandScale): Contrast | null {
  const pairs = [...new Set(own.map(({ source }) => source))].flatMap((source) => {
    const here = own.filter((stroke) => stroke.source === source && !stroke.firm);
    const of = (after: 'firm' | 'slow') =>
      here.flatMap((stroke) => (stroke.after === after ? [atReference(stroke, hand)] : []));
    const pair = heldPair({ firm: of('firm'), slow: of('slow') }, hand.scale);
    return pair.firm.length > 0 && pair.slow.length > 0 ? [pair] : [];
  });
  const firm = pairs.reduce((sum, pair) => sum + pair.firm.length, 0);
  const slow = pairs.reduce((sum, pair) => sum + pair.slow.length, 0);
  if (Math.min(firm, slow) < LEAST_OF_EACH) return null;
  const weightOf = (pair: Pair) => 1 / (1 / pair.firm.length + 1 / pair.slow.length);
  const weight = pairs.reduce((sum, pair) => sum + weightOf(pair), 0);
  const size = pairs.reduce((sum, pair) => sum + weightOf(pair) * (mean(pair.firm) - mean(pair.slow)), 0) / weight;
  const degrees = firm + slow - 2 * pairs.length;
  const squares = pairs.flatMap(({ firm, slow }) =>
    [firm, slow].flatMap((list) => list.map((value) => (value - mean(list)) ** 2)),
  );
  const spread = degrees > 0 ? Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / degrees) : 0;
  const widening = Math.max(1, spread / hand.scale);
  return { pairs, size, error: (widening * hand.scale) / Math.sqrt(weight), widening, degrees, n: firm + slow };
}

/**
 * Strays held from the middle of their own group, so that the groups are not drawn together: at three of the hand's
 * scales, or four of the note's own where it scatters more, for then far strokes are no strays.
 */
function heldPair({ firm, slow }: Pair, scale: number): Pair {
  const about = (list: readonly number[]) => list.map((value) => value - median(list));
  const deviations = [...about(firm), ...about(slow)].map(Math.abs);
  if (deviations.length === 0) return { firm, slow };
  const most = Math.max(HELD * scale, HELD_OWN * 1.4826 * median(deviations));
  const held = (list: readonly number[]) => {
    if (list.length === 0) return list;
    const centre = median(list);
    return list.map((value) => Math.max(centre - most, Math.min(centre + most, value)));
  };
  return { firm: held(firm), slow: held(slow) };
}

function probabilityOf({ pairs, size, error, widening, degrees }: Contrast, common: number): number {
  if (pairs.length === 1) {
    const [{ firm, slow }] = pairs;
    const ways = arrangements(firm.length, slow.length);
    if (ways >= FEWEST_ARRANGEMENTS && ways <= MOST_ARRANGEMENTS) {
      return splitTest(
        firm.map((value) => value - common),
        slow,
      ).twoSided;
    }
  }
  const z = (size - common) / error;
  const normal = twoSided(z * widening);
  return widening > 1 ? Math.max(normal, fisherTail(z * z, 1, degrees)) : normal;
}

/** Ways to part a + b strokes into groups of a and b. */
function arrangements(a: number, b: number): number {
  let ways = 1;
  for (let i = 1; i <= a; i++) ways = (ways * (b + i)) / i;
  return Math.round(ways);
}
