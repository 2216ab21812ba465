/**
 * Thumps before an onset: the abrupt start of a noise between 55 and 1100 Hz that lasts until the tone.
 *
 * The likelihood ratio of a step in power against the 80 ms before it says whether there is one; then, the noise before it
 * being known, the likeliest start is sought again, so that a growing thump is not taken for its own forerunner; the share
 * of what follows that stands over twice the noise says whether it lasts. Once on the plain band, once with what rings
 * predicted away (24 taps, fitted on what stands before the search).
 *
 * Step in variance: M. Basseville & I. Nikiforov, Detection of Abrupt Changes (1993), section 2.4 (from memory); windows are
 * this project's own, chosen on untrimmed recordings of one grand (start found within 0.6 ms, median, of where it is read by
 * eye) and on thumps laid before real tones. Work in steps, no allocation, leads as in `clickSearch.ts`.
 */

import { powerToDecibels, type Decibels, type Hertz, type Seconds } from '../units.ts';
import { filtered, LONGEST_PIECE, prepareAutocorrelation, SILENCE, someLags, STEP_WORK } from './stepwise.ts';
import { levinson } from './whitening.ts';

/** A step in power, as found. */
export interface ThumpFind {
  /** Log likelihood ratio; 0 where nothing rises. */
  score: number;
  /** Start of the step, seconds before the end of the piece. */
  lead: Seconds;
  /** Its loudest 10 ms over the noise before it. */
  step: Decibels;
  /** Share of what follows that stands over twice the noise, 0 to 1. */
  held: number;
  /** Constant-fraction time, seconds before the end: where the energy reaches 15 % of the highest in the first 12 ms. */
  rise: Seconds;
}

const ORDER = 24;
/** Lengths for which a step may hold, seconds; beside them, until the end. */
const STEP_LENGTHS: readonly Seconds[] = [0.006, 0.012, 0.025, 0.05];
/** A step is held against so much before it: long enough to know the noise, short enough to follow it down. */
const NOISE_BEFORE: Seconds = 0.08;
/** The start is sought again from so much before the step first found. */
const AGAIN_FROM: Seconds = 0.01;
/** Starts to a step of the work. */
const STARTS = 100;
const LEAST_TAIL: Seconds = 0.003;
const BLOCK: Seconds = 0.005;
const HELD_OVER = 2;
const STEP_OVER: Seconds = 0.01;
const RISE_SHARE = 0.15;
const RISE_WITHIN: Seconds = 0.012;
const RISE_SMOOTH: Seconds = 0.003;

const SUMS = 0;
const SCAN = 1;
const AUTOCORRELATE = 2;
const SOLVE = 3;
const WHITEN = 4;
const SCAN_WHITE = 5;
const DONE = 6;

// Fractions from the start: a field that once held a whole number is kept in another way, and boxes what comes after.
const emptyThump = (): ThumpFind => ({ score: 0.5, lead: 0.5, step: 0.5, held: 0.5, rise: 0.5 });

export class ThumpSearch {
  readonly rate: Hertz;
  /** The piece of the low band; its last sample is the end of the search. Filled by the caller. */
  readonly piece: Float32Array;
  /** In the plain band, and with what rings predicted away. */
  readonly thump = emptyThump();
  readonly whitened = emptyThump();
  /** Mean power in the 80 ms before the end's last 20: what a thump would have to stand over. */
  readonly floor = new Float64Array(1);

  /** The piece under its window, then as it is. */
  private readonly windowed: Float64Array;
  private readonly r = new Float64Array(ORDER + 1);
  private readonly a = new Float64Array(ORDER + 1);
  private readonly before = new Float64Array(ORDER + 1);
  private readonly sums: Float64Array;
  private readonly white: Float32Array;
  private readonly lengths: Int32Array;
  private readonly noiseSpan: number;
  /** Best score, its place, the noise before it. */
  private readonly best = new Float64Array(3);

  private stage = DONE;
  private at = 0;
  private count = 0;
  private from = 0;

  constructor(rate: Hertz) {
    this.rate = rate;
    const most = Math.ceil(LONGEST_PIECE * rate) + 2;
    this.piece = new Float32Array(most);
    this.windowed = new Float64Array(most);
    this.sums = new Float64Array(most + 1);
    this.white = new Float32Array(most);
    this.lengths = Int32Array.from(STEP_LENGTHS, (length) => Math.round(length * rate));
    this.noiseSpan = Math.round(NOISE_BEFORE * rate);
  }

  /** Begins on the first `count` samples of {@link piece}; the search starts at sample `from`, what stands before is background. */
  begin(count: number, from: number): void {
    this.count = Math.max(0, Math.min(count, this.piece.length));
    this.from = Math.max(0, Math.min(this.count, from));
    clear(this.thump);
    clear(this.whitened);
    this.floor[0] = 0;
    this.enter(SUMS);
  }

  /** Does one piece of the work; true when all of it is done. */
  step(): boolean {
    switch (this.stage) {
      case SUMS:
        this.sum(this.piece);
        this.enter(SCAN);
        break;
      case SCAN:
        if (this.scan(0)) {
          this.tell(this.thump);
          this.enter(this.from > 4 * ORDER ? AUTOCORRELATE : DONE);
        }
        break;
      case AUTOCORRELATE:
        if (this.at === 0) prepareAutocorrelation(this.piece, this.from, this.windowed);
        this.at = someLags(this.windowed, this.from, this.r, this.at, ORDER);
        if (this.at > ORDER) this.enter(SOLVE);
        break;
      case SOLVE:
        levinson(this.r, ORDER, this.a, this.before);
        this.windowed.set(this.piece);
        this.enter(WHITEN);
        break;
      case WHITEN:
        if (this.whiten()) {
          this.sum(this.white);
          this.enter(SCAN_WHITE);
        }
        break;
      case SCAN_WHITE:
        if (this.scan(ORDER)) {
          this.tell(this.whitened);
          this.enter(DONE);
        }
        break;
    }
    return this.stage === DONE;
  }

  private enter(stage: number): void {
    this.stage = stage;
    this.at = 0;
  }

  /** Takes away what is predicted, some samples on; true after the last. */
  private whiten(): boolean {
    const { windowed: plain, white, a, count } = this;
    const to = Math.min(count, this.at + Math.floor(STEP_WORK / ORDER));
    for (let i = this.at; i < to; i++) white[i] = i < ORDER ? 0 : filtered(plain, i, a, ORDER);
    this.at = to;
    return to >= count;
  }

  /** Running sums of the energy. */
  private sum(piece: Float32Array): void {
    const { sums, count, best, rate, noiseSpan } = this;
    best.fill(0);
    sums[0] = 0;
    for (let i = 0; i < count; i++) sums[i + 1] = sums[i] + piece[i] * piece[i];
    if (piece === this.white) return;
    const to = Math.max(0, count - Math.round(0.02 * rate));
    const from = Math.max(0, to - noiseSpan);
    this.floor[0] = (sums[to] - sums[from]) / Math.max(1, to - from);
  }

  /** Some starts of the step, each for every length; true after the last. */
  private scan(settled: number): boolean {
    const { sums, lengths, count, from, best, noiseSpan: noise } = this;
    const last = count - Math.round(LEAST_TAIL * this.rate);
    const first = Math.max(from, noise + settled) + this.at;
    const to = Math.min(last, first + STARTS);
    for (let k = first; k < to; k++) {
      const before = (sums[k] - sums[k - noise]) / noise + SILENCE;
      for (let l = 0; l <= lengths.length; l++) {
        const length = l < lengths.length ? lengths[l] : count - k;
        if (k + length > count) continue;
        const score = stepScore(before, noise, (sums[k + length] - sums[k]) / length, length);
        if (score > best[0]) {
          best[0] = score;
          best[1] = k;
          best[2] = before;
        }
      }
    }
    this.at += STARTS;
    return to >= last;
  }

  private tell(find: ThumpFind): void {
    const { sums, count, rate, best } = this;
    if (!(best[0] > 0)) return;
    const noise = best[2];
    const start = this.startOfStep(noise);
    const over = Math.max(1, Math.min(count - start, Math.round(STEP_OVER * rate)));
    let highest = 0;
    for (let k = start; k + over <= count; k += Math.max(1, over >> 2)) {
      highest = Math.max(highest, (sums[k + over] - sums[k]) / over);
    }
    const block = Math.max(1, Math.round(BLOCK * rate));
    let blocks = 0;
    let held = 0;
    for (let k = start; k + block <= count; k += block, blocks++) {
      if (sums[k + block] - sums[k] > HELD_OVER * noise * block) held++;
    }
    find.score = best[0];
    find.lead = (count - start) / rate;
    find.step = powerToDecibels(highest / noise);
    find.held = blocks > 0 ? held / blocks : 1;
    find.rise = (count - this.riseAfter(start)) / rate;
  }

  /** Where the step in power over a known noise is likeliest: a growing thump is not taken for its own forerunner. */
  private startOfStep(noise: number): number {
    const { sums, lengths, count, from, rate, best } = this;
    const last = count - Math.round(LEAST_TAIL * rate);
    let start = best[1];
    let likeliest = 0;
    for (let k = Math.max(from, best[1] - Math.round(AGAIN_FROM * rate)); k < last; k++) {
      for (let l = 0; l <= lengths.length; l++) {
        const length = l < lengths.length ? lengths[l] : count - k;
        if (k + length > count) continue;
        const r = (sums[k + length] - sums[k]) / (length * noise);
        const score = r > 1 ? length * (r - 1 - Math.log(r)) : 0;
        if (score > likeliest) {
          likeliest = score;
          start = k;
        }
      }
    }
    return start;
  }

  /** The sample at which the smoothed energy reaches its share of the highest in the thump's first 12 ms. */
  private riseAfter(start: number): number {
    const { sums, count, from, rate } = this;
    const half = Math.max(1, Math.round((RISE_SMOOTH * rate) / 2));
    const to = Math.min(count - half, start + Math.round(RISE_WITHIN * rate));
    let highest = 0;
    for (let k = start; k < to; k++) highest = Math.max(highest, sums[k + half] - sums[Math.max(from, k - half)]);
    let k = start;
    while (k < to && sums[k + half] - sums[Math.max(from, k - half)] < RISE_SHARE * highest) k++;
    return k;
  }
}

function clear(find: ThumpFind): void {
  find.score = find.lead = find.step = find.held = find.rise = 0;
}

/** Log likelihood ratio of two powers, over m and n samples, against one power for both; 0 where the second is no larger. */
function stepScore(p: number, m: number, q: number, n: number): number {
  if (q <= p) return 0;
  const both = (m * p + n * q) / (m + n);
  return 0.5 * (m * Math.log(both / p) + n * Math.log(both / q));
}
