/**
 * What sounds under a stroke's own tone: second contacts of the hammer, and re-strikes too weak to be seen beside it.
 *
 * Each stroke's tone is fitted and taken away (see tone); what is left of all of them is whitened once more, by a
 * predictor fitted on the leavings themselves, which gives each part of the spectrum the weight that the noise leaves it;
 * and the beginning of the tone, changed in the same way, is sought in it. How well it matches by chance is learned in
 * the same places from the matches of the opposite sign: no hammer pulls a string where it pushed it, while noise,
 * knocks and leavings do not care about the sign.
 *
 * Sources: matched filter in coloured noise (S. Kay, Fundamentals of Statistical Signal Processing II, section 4.4; from
 * memory).
 */

import { expectedError, type Attack } from '../signal/attack.ts';
import { largestBetween, matchEverywhere, peakOffset, resampleAt, type Matches } from '../signal/matching.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import {
  BODY,
  bodyGain,
  bodyOf,
  LEAD,
  learnTone,
  TONE_FROM,
  whiten,
  withoutTone,
  type ToneStroke,
} from '../signal/tone.ts';
import { fitPredictor, residual } from '../signal/whitening.ts';
import { median, medianDeviation } from '../statistics/order.ts';
import { amplitudeToDecibels, type Decibels, type Hertz, type Seconds } from '../units.ts';

/** A place under a stroke's tone where the note's attack was found. */
export interface Under {
  /** Time of the template's zero. */
  readonly seconds: Seconds;
  readonly match: number;
  readonly gain: Decibels;
  /** Expected error of the time, as of {@link Found}. */
  readonly timingError: Seconds;
  /** Distance over the matches of chance, in their robust standard deviations. */
  readonly contrast: number;
}

/** Looks under a stroke's tone. */
export interface UnderTones {
  /** The best place from `from` to `to` seconds after stroke `index`; `null` where that cannot be looked at. */
  best(index: number, from: Seconds, to: Seconds): Under | null;
  /** Scale of the tone's body at a stroke or second contact at `seconds`, the tone before it taken away; dB. */
  body(seconds: Seconds): Decibels | null;
}

/** A double comes at least so long after its stroke, and at most so long, and before this share of the interval. */
export const DOUBLE_FROM: Seconds = 0.038;
export const DOUBLE_TO: Seconds = 0.2;
export const DOUBLE_SHARE = 0.6;
/** The tone is learned so long where it rings so long, else shorter. */
const TONE_LENGTHS: readonly Seconds[] = [0.26, 0.2, 0.16];
/** So much of the tone's beginning is sought. */
const SOUGHT: Seconds = 0.04;
const SOUGHT_IN_BASS: Seconds = 0.05;
const BASS_RATE: Hertz = 6000;
/** Beyond this after a stroke nothing is looked for under its tone. */
const LOOKED_AT: Seconds = 0.6;
const LOOKED_AT_SLOW: Seconds = 0.26;
const ORDER = 48;
/** The leavings are learned from over so long after each stroke. */
const LEARNED: Seconds = 0.22;
/** Least spread of the matches of chance that is believed. */
const LEAST_DEVIATION = 0.02;
/** A match of the right sign so many times as strong has the other one as its flank. */
const EXPLAINED = 1.6;
/** The next stroke's own beginning is kept out. */
const CLEAR_OF_NEXT: Seconds = 0.004;

/**
 * Prepares the look under the tones of `strokes` (ascending; a stroke's `until` reaches to the next one). `slow` tells which
 * of them the tone may be learned from; `fundamental` is the note's. `null` where fewer than three of those ring 0.16 s.
 */
export function underTones(
  pyramid: Pyramid,
  attack: Attack,
  strokes: readonly ToneStroke[],
  slow: readonly boolean[],
  fundamental: Hertz,
): UnderTones | null {
  const last = strokes[strokes.length - 1];
  if (strokes.length === 0) return null;
  const white = whiten(pyramid, attack, strokes[0].seconds - 0.1, last.seconds + 1);
  const clean = strokes.filter((_, i) => slow[i]);
  const length = TONE_LENGTHS.find((wanted) => clean.filter(({ until }) => until >= wanted + 0.05).length >= 3);
  const tone = length === undefined ? null : learnTone(white, clean, length);
  if (!tone) return null;
  const { rate } = white;
  // Past the next onset the fit is carried on for as long as a stroke's loudness is taken from.
  const carried = strokes.map(({ seconds, until }, i) => {
    const looked = slow[i] && until > LOOKED_AT ? LOOKED_AT_SLOW : Math.min(until + BODY, LOOKED_AT + BODY);
    return withoutTone(white, tone, seconds, looked, Math.min(until, looked) - CLEAR_OF_NEXT);
  });
  const left = carried.map((wave, i) =>
    wave.subarray(0, Math.max(0, Math.floor((strokes[i].until - CLEAR_OF_NEXT - TONE_FROM) * rate))),
  );
  const known = Math.round(LEARNED * rate);
  const filter = fitPredictor(...joined(left.map((wave) => wave.subarray(0, known))), ORDER);
  const again = (wave: Float32Array) => residual(wave, filter, 0, wave.length);
  const sought = attack.rate <= BASS_RATE ? SOUGHT_IN_BASS : SOUGHT;
  const softest = tone.waves[tone.waves.length - 1];
  const template = again(softest.subarray(0, Math.round((LEAD + sought) * rate)));
  const matches = left.map((wave) => matchEverywhere(again(wave), template));
  const first = TONE_FROM + LEAD;
  const range = (index: number, from: Seconds, to: Seconds): [number, number] => [
    // What the filter has not yet settled on is passed over.
    Math.max(ORDER >> 1, Math.round((from - first) * rate)),
    Math.min(matches[index].rho.length, Math.round((to - first) * rate) + 1),
  ];
  const chance = chanceOf(
    strokes.flatMap(({ until }, i) => {
      const [from, to] = range(i, DOUBLE_FROM, Math.min(DOUBLE_TO, until));
      const lowest = leastOf(matches[i], from, to);
      return lowest === null ? [] : [lowest];
    }),
  );
  const body = bodyOf(tone, fundamental);
  return {
    body: (seconds) => {
      const before = strokes.findLastIndex((stroke) => stroke.seconds < seconds - DOUBLE_FROM / 2);
      const lag = before < 0 ? Infinity : seconds - strokes[before].seconds;
      const count = Math.round((LEAD + BODY) * rate);
      const skip = Math.round((lag - first) * rate);
      // Where the tone before is known no longer, whitening alone takes it away.
      if (before < 0 || lag > length! + BODY || skip + count > carried[before].length) {
        return bodyGain(body, resampleAt(white.data, (seconds - LEAD) * rate - white.start, count));
      }
      return bodyGain(body, carried[before].subarray(Math.max(0, skip), skip + count));
    },
    best: (index, from, to) => {
      const { rho, gain } = matches[index];
      const at = largestBetween(rho, ...range(index, from, to));
      if (at < 0 || !(gain[at] > 0)) return null;
      return {
        seconds: strokes[index].seconds + first + (at + peakOffset(rho, at)) / rate,
        match: rho[at],
        gain: amplitudeToDecibels(gain[at]),
        timingError: expectedError(rho[at], template) / rate,
        contrast: (rho[at] - chance.centre) / chance.deviation,
      };
    },
  };
}

/** Height of the strongest match of the opposite sign; `null` where a far stronger one of the right sign stands beside it. */
function leastOf({ rho }: Matches, from: number, to: number): number | null {
  let least = 0;
  let most = 0;
  for (let i = from; i < to; i++) {
    least = Math.min(least, rho[i]);
    most = Math.max(most, rho[i]);
  }
  return to - from < 16 || most > EXPLAINED * -least ? null : -least;
}

function chanceOf(heights: readonly number[]): { centre: number; deviation: number } {
  if (heights.length < 4) return { centre: 0.25, deviation: 0.05 };
  return { centre: median(heights), deviation: Math.max(LEAST_DEVIATION, medianDeviation(heights)) };
}

/** Pieces one after the other, and where each lies. */
function joined(pieces: readonly Float32Array[]): [Float32Array, { start: number; end: number }[]] {
  const all = new Float32Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let start = 0;
  const stretches = pieces.map((piece) => {
    all.set(piece, start);
    start += piece.length;
    return { start: start - piece.length, end: start };
  });
  return [all, stretches];
}
