/**
 * From strokes found and timed to the strokes of a take: kinds, passages, strength, what came before, how surely.
 */

import { KNOCK_FROM_KEY, knockLevel } from '../signal/knock.ts';
import { brightness } from '../signal/loudness.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import type { Decibels, MidiNote, Seconds } from '../units.ts';
import { sureOfKind, sureOfSilence } from './confidence.ts';
import { FIRM_OVER, relativeStrokes } from './force.ts';
import { gapsBefore, type Gap } from './gaps.ts';
import { passagesOf } from './passages.ts';
import type { Absence, Doubt, Preceding, Stroke, Take } from './types.ts';

/** A stroke as it was found. */
export interface Raw {
  readonly seconds: Seconds;
  /** Expected error of its time; `null` without a template. */
  readonly error: Seconds | null;
  readonly double: boolean;
  readonly level: Decibels | null;
  readonly confidence: number;
  readonly doubt: Doubt[];
}

/** A beat that stayed empty, and the contrast of the best place near it. */
export interface Empty {
  readonly seconds: Seconds;
  readonly contrast: number | null;
}

/** Lowest rate at which the knock and the gaps are looked at. */
const LOW_RATE = 2700;
const GAP_RATE = 10800;
const BRIGHT_WINDOW: Seconds = 0.06;
/** An empty beat is the one that was looked at, within this. */
const SAME_BEAT: Seconds = 0.02;

/** Assembles a take. `empty` are the beats that were looked at and found empty; others have not been looked at. */
export function assemble(
  pyramid: Pyramid,
  raw: readonly Raw[],
  empty: readonly Empty[],
  midi: MidiNote,
  take: number,
): { take: Take; strokes: Stroke[] } {
  const single = raw.filter(({ double }) => !double);
  const { passages: ofSingle, missing, rate } = passagesOf(single.map(({ seconds }) => seconds));
  const relative = relativeStrokes(
    raw.map(({ level, double }, i) => ({
      level: level !== null && Number.isFinite(level) ? level : null,
      double,
      passage: ofSingle[single.indexOf(double ? lastSingle(raw, i) : raw[i])] ?? null,
    })),
  );
  const gaps = gapsBefore(
    pyramid.atLeast(GAP_RATE),
    single.map(({ seconds }, i) => ({ onset: seconds, slow: ofSingle[i] === 'slow' })),
  );
  const end = pyramid.full.samples.length / pyramid.full.rate;
  const precedingOf = (i: number, at: Seconds, gap: Gap): Preceding => {
    if (i < 0) return { kind: 'none', restSeconds: null, ...NO_GAP };
    const { passage, relativeDb } = relative[i];
    const firm = passage === 'slow' && relativeDb !== null && relativeDb >= FIRM_OVER;
    return { kind: firm ? 'firm' : (passage ?? 'slow'), restSeconds: at - raw[i].seconds, ...gap };
  };
  const sounded = raw.map((stroke, i): Stroke => {
    const { relativeDb, force, faint, passage } = relative[i];
    const knock = knockOf(pyramid, midi, stroke);
    const heard = stroke.level !== null && Number.isFinite(stroke.level);
    return {
      kind: stroke.double ? 'double' : faint ? 'silent' : 'sounded',
      take,
      midi,
      timeSeconds: stroke.seconds,
      contactSeconds: null,
      contactRiseSeconds: null,
      otherContactSeconds: null,
      onsetSeconds: stroke.seconds,
      onsetErrorSeconds: stroke.error,
      keyBottomSeconds: null,
      levelDb: heard ? stroke.level : null,
      relativeDb,
      force,
      brightness: brightness(pyramid.full, stroke.seconds),
      knockDb: knock.level,
      passage,
      group: null,
      preceding: precedingOf(i - 1, stroke.seconds, stroke.double ? NO_GAP : gaps[single.indexOf(stroke)]),
      confidence: stroke.double ? stroke.confidence : stroke.confidence * sureOfKind(relativeDb, faint),
      contactConfidence: null,
      absent: {
        contact: 'not-sought',
        keyBottom: 'not-sought',
        ...(heard ? {} : { level: 'none-heard' as const }),
        ...(knock.absent ? { knock: knock.absent } : {}),
      },
      doubt: stroke.seconds + BRIGHT_WINDOW > end ? [...stroke.doubt, 'cut-off'] : stroke.doubt,
    };
  });
  const silent = missing.map(({ seconds, after }): Stroke => {
    const looked = empty.find((beat) => Math.abs(beat.seconds - seconds) <= SAME_BEAT)?.contrast ?? null;
    return {
      kind: 'silent',
      take,
      midi,
      timeSeconds: seconds,
      contactSeconds: null,
      contactRiseSeconds: null,
      otherContactSeconds: null,
      onsetSeconds: null,
      onsetErrorSeconds: null,
      keyBottomSeconds: null,
      levelDb: null,
      relativeDb: null,
      force: null,
      brightness: null,
      knockDb: null,
      passage: 'fast',
      group: null,
      preceding: precedingOf(raw.indexOf(single[after]), seconds, NO_GAP),
      confidence: sureOfSilence(looked),
      contactConfidence: null,
      absent: {
        contact: 'not-sought',
        onset: 'none-heard',
        level: 'none-heard',
        keyBottom: 'not-sought',
        knock: 'not-sought',
      },
      doubt: ['inferred-from-beat'],
    };
  });
  const strokes = [...sounded, ...silent].sort((a, b) => a.timeSeconds - b.timeSeconds);
  return { take: { take, midi, asked: null, touch: null, ratePerSecond: rate }, strokes };
}

const NO_GAP: Gap = { damped: null, gapDb: null };

function knockOf(
  pyramid: Pyramid,
  midi: MidiNote,
  { seconds, double }: Raw,
): { level: Decibels | null; absent: Absence | null } {
  if (double) return { level: null, absent: 'not-sought' };
  if (midi < KNOCK_FROM_KEY) return { level: null, absent: 'masked' };
  const level = knockLevel(pyramid.atLeast(LOW_RATE), seconds);
  return { level, absent: level === null ? 'none-heard' : null };
}

function lastSingle(raw: readonly Raw[], i: number): Raw {
  let k = i;
  while (k > 0 && raw[k].double) k--;
  return raw[k];
}
