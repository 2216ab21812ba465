/**
 * The same piano, judged in steps from the truth to what was heard: each step takes away one thing.
 *
 * `truth`: the strokes as they were, every contact known. `audible`: without the contacts that made no sound. `strokes`: the
 * strokes as heard, with the true contacts of those that made a sound. `right`: as heard, without the contacts that are
 * wrong. `heard`: all as heard.
 */

import { judged } from '../../src/analysis/analyse.ts';
import { matchOnsets } from '../../src/evaluation/matching.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { RecordedTake } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import type { TrueStroke } from '../../src/synthesis/truth.ts';
import type { Seconds } from '../../src/units.ts';
import { heardTake } from './heard.ts';
import type { Sounded } from './playing.ts';
import type { HeardPiano, SoundPiano } from './soundPiano.ts';

export const STEPS = ['truth', 'audible', 'strokes', 'right', 'heard'] as const;
export type Step = (typeof STEPS)[number];

export type Judgement = ReturnType<typeof judged>;

export interface Round {
  readonly strokes: readonly RecordedStroke[];
  readonly takes: readonly RecordedTake[];
}

/** A contact is right within so much. */
export const RIGHT_WITHIN: Seconds = 0.005;
/** A stroke heard so near a true one is that one. */
const STROKE_NEAR: Seconds = 0.03;
/** Surely enough for any limit. */
const SURE = 0.99;

/** The true strokes as the hearing would give them if it lost nothing; `mute`: contacts that made no sound are known too. */
export function trueRound({ practice, seed }: SoundPiano, mute: boolean): Round {
  const strokes: RecordedStroke[] = [];
  const takes: RecordedTake[] = [];
  for (const number of new Set(practice.truth.strokes.map(({ take }) => take))) {
    const own = practice.truth.strokes.filter(({ take }) => take === number);
    const heard = heardTake(
      new RandomStream(seed, `true take ${number}`),
      own.flatMap((stroke) => (stroke.onsetSeconds === null ? [] : [soundedOf(stroke, mute)])),
      own[0].midi,
      { take: number, asked: null, touch: null },
    );
    takes.push(heard.take);
    strokes.push(...heard.strokes);
  }
  return { strokes, takes };
}

function soundedOf(stroke: TrueStroke, mute: boolean): Sounded {
  const known = stroke.kind !== 'double' && (mute || stroke.contactAudible);
  return {
    onset: stroke.onsetSeconds!,
    level: stroke.levelDb!,
    double: stroke.kind === 'double',
    contact: known ? stroke.contactSeconds : null,
    absent: known ? null : stroke.kind === 'double' ? 'not-sought' : 'none-heard',
    other: null,
    wrong: false,
    gapDb: null,
  };
}

/** For each stroke with an onset that was heard, the true one it is; null for one that was never played. */
export function trueOf({ piano, document }: HeardPiano): Map<RecordedStroke, TrueStroke | null> {
  const heard = document.strokes.filter(({ onsetSeconds }) => onsetSeconds !== null);
  const known = piano.practice.truth.strokes.filter(({ onsetSeconds }) => onsetSeconds !== null);
  const { pairs } = matchOnsets(
    known.map(({ onsetSeconds }) => onsetSeconds!),
    heard.map(({ timeSeconds }) => timeSeconds),
    STROKE_NEAR,
  );
  const found = new Map<RecordedStroke, TrueStroke | null>(heard.map((stroke) => [stroke, null]));
  for (const { reference, estimate } of pairs) found.set(heard[estimate], known[reference]);
  return found;
}

/** Whether a contact that was said is one that was. */
export function isRight({ contactSeconds }: RecordedStroke, known: TrueStroke | null): boolean {
  return (
    contactSeconds !== null &&
    known !== null &&
    known.contactAudible &&
    Math.abs(known.contactSeconds! - contactSeconds) <= RIGHT_WITHIN
  );
}

function withContact(stroke: RecordedStroke, contact: Seconds | null): RecordedStroke {
  const absent = Object.fromEntries(Object.entries(stroke.absent).filter(([what]) => what !== 'contact'));
  return {
    ...stroke,
    contactSeconds: contact,
    contactRiseSeconds: contact,
    otherContactSeconds: null,
    contactConfidence: contact === null ? null : SURE,
    absent: contact === null ? { ...absent, contact: 'none-heard' } : absent,
    doubt: stroke.doubt.filter((doubt) => doubt !== 'two-candidates'),
  };
}

/** The round of a step. */
export function roundOf(heard: HeardPiano, step: Step): Round {
  const { piano, document } = heard;
  if (step === 'truth' || step === 'audible') return trueRound(piano, step === 'truth');
  const { strokes, takes } = document;
  if (step === 'heard') return { strokes, takes };
  const known = trueOf(heard);
  return {
    takes,
    strokes: strokes.map((stroke) => {
      const one = known.get(stroke) ?? null;
      if (step === 'right') {
        return stroke.contactSeconds === null || isRight(stroke, one) ? stroke : withContact(stroke, null);
      }
      return withContact(stroke, one?.contactAudible ? one.contactSeconds : null);
    }),
  };
}

/** The judgement of a step. */
export function judgeStep(heard: HeardPiano, step: Step): Judgement {
  const { strokes, takes } = roundOf(heard, step);
  return judged(strokes, takes);
}

/** The judgement of what was heard, if contacts from another confidence on were to count. */
export function judgeFrom({ document }: HeardPiano, least: number): Judgement {
  const strokes = document.strokes.map((stroke) =>
    stroke.contactConfidence === null
      ? stroke
      : { ...stroke, contactConfidence: stroke.contactConfidence >= least ? SURE : 1 - SURE },
  );
  return judged(strokes, document.takes);
}
