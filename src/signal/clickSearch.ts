/**
 * Clicks before an onset: bursts of a millisecond or two above 3.5 kHz, in whatever rings.
 *
 * What rings is predicted away (64 taps, fitted on the piece itself), and the energy of 1.5 ms is held against the median of
 * the 12 ms on either side, so that neither a dying tone nor the swell of a damper counts; what goes on being loud is no
 * click either. Prediction after J. Makhoul, "Linear prediction: a tutorial review", Proc. IEEE 63 (1975); the rest is this
 * project's own, from clicks laid before real tones.
 *
 * The work is cut into steps, so that the audio thread can spread it over blocks. Buffers are owned, sizes fixed at
 * construction; nothing is allocated after it. Leads are seconds before the end of the piece.
 */

import type { Hertz, Seconds } from '../units.ts';
import { BlockPredictor } from './blockwise.ts';
import { LONGEST_PIECE, prepareAutocorrelation, SILENCE } from './stepwise.ts';
import { levinson } from './whitening.ts';

export const MOST_CLICKS = 3;

const ORDER = 64;
const BURST: Seconds = 0.0015;
const HOPS_PER_BURST = 3;
/** Neighbourhood of a burst, in hops on either side, and the nearest hops that are left out of it. */
const AROUND = 24;
const LEAVE_OUT = 4;
const LEAST_AROUND = 12;
/** A click is over so many hops later: 4 to 7 ms. */
const OVER_FROM = 8;
const OVER_TO = 14;
const STILL_LOUD = 0.5;
/** Less over its surroundings is not looked at. */
const LEAST_CLICK = 2;
/** Two clicks nearer than this are one. */
const CLICKS_APART: Seconds = 0.004;

const AUTOCORRELATE = 0;
const SOLVE = 1;
const WHITEN = 2;
const MEASURE = 3;
const WEIGH = 4;
const CHOOSE = 5;
const DONE = 6;
/** Hops that are weighed in one step. */
const WEIGHED = 60;

export class ClickSearch {
  readonly rate: Hertz;
  /** The piece of the high band; its last sample is the end of the search. Filled by the caller. */
  readonly piece: Float32Array;
  /** Clicks found, the clearest first. */
  clicks = 0;
  readonly lead = new Float64Array(MOST_CLICKS);
  /** Energy of the click over that around it. */
  readonly ratio = new Float64Array(MOST_CLICKS);
  /** Mean power of what prediction leaves, in the search. */
  readonly floor = new Float64Array(1);

  /** The piece under its window, then as it is. */
  private readonly windowed: Float64Array;
  private readonly predictor = new BlockPredictor(ORDER);
  private readonly a = new Float64Array(ORDER + 1);
  private readonly before = new Float64Array(ORDER + 1);
  /** What prediction leaves, and the running sums of its energy. */
  private readonly errors: Float64Array;
  private readonly sums: Float64Array;
  private readonly energy: Float64Array;
  private readonly over: Float64Array;
  private readonly sorted = new Float64Array(2 * AROUND + 1);
  private readonly hop: number;

  private stage = DONE;
  private at = 0;
  private count = 0;
  private from = 0;
  private hops = 0;
  /** First hop of the search, and first whose prediction has settled. */
  private first = 0;
  private settled = 0;

  constructor(rate: Hertz) {
    this.rate = rate;
    const most = Math.ceil(LONGEST_PIECE * rate) + 2;
    this.hop = Math.max(1, Math.round((BURST * rate) / HOPS_PER_BURST));
    this.piece = new Float32Array(most);
    this.windowed = new Float64Array(most);
    this.errors = new Float64Array(most);
    this.sums = new Float64Array(most + 1);
    this.energy = new Float64Array(Math.ceil(most / this.hop) + 2);
    this.over = new Float64Array(this.energy.length);
  }

  /** Begins on the first `count` samples of {@link piece}; the search starts at sample `from`. */
  begin(count: number, from: number): void {
    this.count = Math.max(0, Math.min(count, this.piece.length));
    this.from = Math.max(0, Math.min(this.count, from));
    this.clicks = 0;
    this.floor[0] = 0;
    this.enter(AUTOCORRELATE);
  }

  /** Does one piece of the work; true when all of it is done. */
  step(): boolean {
    switch (this.stage) {
      case AUTOCORRELATE:
        if (this.at === 0) prepareAutocorrelation(this.piece, this.count, this.windowed);
        this.at = this.predictor.gather(this.windowed, this.count, this.at);
        if (this.at >= this.count) this.enter(SOLVE);
        break;
      case SOLVE:
        this.predictor.lags(this.count);
        levinson(this.predictor.r, ORDER, this.a, this.before);
        this.predictor.predictWith(this.a);
        this.windowed.set(this.piece);
        this.enter(WHITEN);
        this.at = ORDER;
        break;
      case WHITEN:
        this.at = this.predictor.errors(this.windowed, this.count, this.at, this.errors);
        if (this.at >= this.count) this.enter(MEASURE);
        break;
      case MEASURE:
        this.measure();
        this.enter(WEIGH);
        this.at = this.first;
        break;
      case WEIGH:
        if (this.weigh()) this.enter(CHOOSE);
        break;
      case CHOOSE:
        this.choose();
        this.enter(DONE);
        break;
    }
    return this.stage === DONE;
  }

  private enter(stage: number): void {
    this.stage = stage;
    this.at = 0;
  }

  /** Energy of every hop, from what prediction left. */
  private measure(): void {
    const { sums, energy, errors, count, hop } = this;
    sums.fill(0, 0, Math.min(count, ORDER) + 1);
    for (let i = ORDER; i < count; i++) sums[i + 1] = sums[i] + errors[i] * errors[i];
    const burst = hop * HOPS_PER_BURST;
    this.hops = Math.max(0, Math.floor((count - burst) / hop) + 1);
    // Counted from the end, so that the end of the piece is looked at whatever its length.
    for (let j = 0; j < this.hops; j++) {
      const from = count - burst - (this.hops - 1 - j) * hop;
      energy[j] = (sums[from + burst] - sums[from]) / burst;
    }
    this.settled = Math.ceil((ORDER + burst) / hop);
    this.first = Math.max(this.settled, this.hops - Math.floor((count - this.from) / hop));
    if (this.hops > this.first) this.floor[0] = (sums[count] - sums[this.from]) / Math.max(1, count - this.from);
  }

  /** Weighs some hops against their surroundings; true after the last. */
  private weigh(): boolean {
    const earliest = Math.max(this.settled, this.first - AROUND);
    const to = Math.min(this.hops, this.at + WEIGHED);
    for (let j = this.at; j < to; j++) this.over[j] = this.clickAt(j, earliest);
    this.at = to;
    return to >= this.hops;
  }

  /** The clearest clicks. */
  private choose(): void {
    const { over, count, hop, first } = this;
    const burst = hop * HOPS_PER_BURST;
    const apart = Math.round((CLICKS_APART * this.rate) / hop);
    for (let n = 0; n < MOST_CLICKS; n++) {
      let top = -1;
      for (let j = first; j < this.hops; j++) if (over[j] >= LEAST_CLICK && (top < 0 || over[j] > over[top])) top = j;
      if (top < 0) return;
      this.ratio[n] = over[top];
      this.lead[n] = (count - this.startOfBurst(top, hop, burst)) / this.rate;
      this.clicks = n + 1;
      for (let j = Math.max(first, top - apart); j < Math.min(this.hops, top + apart + 1); j++) over[j] = 0;
    }
  }

  /** Energy of a hop over the median around it; 0 where it goes on being loud. */
  private clickAt(j: number, earliest: number): number {
    const { energy, hops } = this;
    // Only crests: what stands beside one is the same burst.
    if (energy[j] < energy[j - 1] || (j + 1 < hops && energy[j] < energy[j + 1])) return 0;
    const from = Math.max(earliest, j - AROUND);
    const to = Math.min(hops, j + AROUND + 1);
    if (to - from < LEAST_AROUND + 2 * LEAVE_OUT) return 0;
    const around = this.medianBetween(from, to, j);
    const q = energy[j] / (around + SILENCE);
    if (q < LEAST_CLICK) return 0;
    let after = 0;
    let n = 0;
    for (let i = j + OVER_FROM; i < Math.min(hops, j + OVER_TO); i++, n++) after += energy[i];
    return n > 0 && after / n > STILL_LOUD * energy[j] ? 0 : q;
  }

  /** Median energy of hops `from` to `to`, without those about `without` (or -1). */
  private medianBetween(from: number, to: number, without: number): number {
    const { energy, sorted } = this;
    let n = 0;
    for (let i = from; i < to && n < sorted.length; i++) {
      if (without >= 0 && Math.abs(i - without) <= LEAVE_OUT) continue;
      const v = energy[i];
      let k = n++;
      while (k > 0 && sorted[k - 1] > v) {
        sorted[k] = sorted[k - 1];
        k--;
      }
      sorted[k] = v;
    }
    return n > 0 ? sorted[n >> 1] : 0;
  }

  /** The sample at which a burst begins: where the energy after rises most over that before. */
  private startOfBurst(j: number, hop: number, burst: number): number {
    const { sums, count } = this;
    const centre = count - burst - (this.hops - 1 - j) * hop;
    let start = centre;
    let best = -1;
    for (let k = Math.max(burst, centre - hop); k <= Math.min(count - burst, centre + hop); k++) {
      const rise = sums[k + burst] - 2 * sums[k] + sums[k - burst];
      if (rise > best) {
        best = rise;
        start = k;
      }
    }
    return start;
  }
}
