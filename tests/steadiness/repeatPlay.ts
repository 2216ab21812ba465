/**
 * Quick passages written stroke by stroke, and drawn from a hand that lets keys up to a depth of its own, for the tests of repeats.
 *
 * A passage is text, a letter a stroke: `.` in order, `s` not heard at its beat, `f` heard more than 16 dB under (silent too),
 * `w` weak, `l` 7 dB under, `o` in order after a damped gap, `O` 7 dB under after one, `x` silent after one, `d` in order and struck
 * twice. `8:` before it gives the strokes a second; without, six.
 */

import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { playOf, type NotePlay, type RecordedTake } from '../../src/steadiness/round.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';
import { silent, stroke } from '../pictures/strokes.ts';
import { failingAt, failingCurve } from '../power/failing.ts';
import { exponential } from '../power/hand.ts';
import { DEPTH_SCALE, PASSAGE_SHIFT, WEAK_BEYOND_GOOD } from '../power/modelTables.ts';

export interface Written {
  readonly take?: number;
  readonly midi?: number;
  readonly start?: number;
  readonly passage?: 'fast' | 'slow';
}

/** The strokes of a written passage. */
export function passage(
  text: string,
  { take = 1, midi = 60, start = 0, passage = 'fast' }: Written = {},
): RecordedStroke[] {
  const [, given, marks] = /^(?:([\d.]+):)?(.*)$/.exec(text)!;
  const period = 1 / Number(given ?? (passage === 'fast' ? 6 : 1));
  return [...marks].flatMap((mark, i): RecordedStroke[] => {
    const at = start + i * period;
    const damped = 'oOx'.includes(mark);
    const preceding = {
      kind: i === 0 ? 'none' : passage,
      restSeconds: i === 0 ? null : period,
      damped,
      gapDb: null,
    } as const;
    const common = { take, midi, passage, preceding };
    if (mark === 's' || mark === 'x') return [silent(at, { ...common, relativeDb: null, force: null })];
    const under = { f: 18, w: 12, l: 7, O: 7 }[mark] ?? 0;
    const force = under > 10 && passage === 'fast' ? 'weak' : 'usual';
    const one = stroke(at, { ...common, relativeDb: -under, levelDb: -20 - under, force });
    if (mark === 'f') return [{ ...one, kind: 'silent' }];
    if (mark !== 'd') return [one];
    return [one, stroke(at + 0.06, { ...common, kind: 'double', force: null, relativeDb: -12 })];
  });
}

/** Everything played at one look: passages, two seconds apart, in one take. */
export type Look = readonly string[];

/** A note of such looks, each after eight slow strokes in a take of its own. */
export function notePlay(midi: number, looks: readonly Look[], firstTake = 1): NotePlay {
  const strokes: RecordedStroke[] = [];
  const takes: RecordedTake[] = [];
  looks.forEach((look, k) => {
    const take = firstTake + k;
    let start = 100 * take;
    strokes.push(...passage('........', { take, midi, start, passage: 'slow' }));
    start += 10;
    for (const text of look) {
      strokes.push(...passage(text, { take, midi, start }));
      start += 6;
    }
    takes.push({ take, midi, asked: k === 0 ? 'slow-fast' : 'open', touch: 'finger', ratePerSecond: null });
  });
  return playOf(strokes, takes)[0];
}

/** Notes of one clean passage each, so that a piano stands around the ones that are looked at. */
export function cleanNotes(count: number, text = '............'): NotePlay[] {
  return Array.from({ length: count }, (_, i) => notePlay(21 + i, [[text]], 1000 + i));
}

/** How a hand lets keys up: finger's depth in mm, its scatter, and how far each note's odds of failing lie off, natural logarithm. */
export interface DepthHand {
  readonly depth: number;
  readonly scatter: number;
}

/** A passage of twelve on a note in order: failing is logistic in the depth of return, as the model tables say. */
export function drawnPassage(
  random: RandomStream,
  { depth, scatter }: DepthHand,
  rate: number,
  odds: number,
  share = 0,
): string {
  const curve = curveOf(depth, scatter, rate);
  const own = depth + random.normal(0, PASSAGE_SHIFT) - odds * DEPTH_SCALE;
  let text = `${rate}:.`;
  for (let i = 1; i < 12; i++) {
    const { missed, failed } = failingAt(curve, random.normal(own, scatter));
    const luck = random.between(0, 1);
    const under = luck < failed ? 6 + Math.min(16, exponential(random, WEAK_BEYOND_GOOD)) : 0;
    if (luck < missed || random.chance(share)) text += 's';
    else text += under > 16 ? 'f' : under >= 10 ? 'w' : under > 0 ? 'l' : '.';
  }
  return text;
}

const curves = new Map<string, ReturnType<typeof failingCurve>>();

function curveOf(depth: number, scatter: number, rate: number) {
  const key = `${depth} ${scatter} ${rate}`;
  const curve = curves.get(key) ?? failingCurve(depth, scatter, rate, null);
  curves.set(key, curve);
  return curve;
}

/** The first look, and a look for open notes, as a hand plays them. */
export function drawnLook(random: RandomStream, hand: DepthHand, look: number, odds: number, share = 0): Look {
  const at = (rate: number, more: number) =>
    drawnPassage(random, { ...hand, depth: hand.depth + more }, rate, odds, share);
  return look === 1 ? [at(6, 0)] : [at(6, 0), at(6, 0), at(8, 1.25)];
}
