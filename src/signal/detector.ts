/**
 * The stroke detector: samples in, coarse stroke events out, causal and without allocation.
 *
 * Five bands are followed in steps of one millisecond. In each, the level of the newest moment is compared with the
 * level shortly before; a stroke lifts several bands at once. The weighted sum of the rises is the detection curve; a
 * peak of it above the threshold is an event. An event is held back for {@link HOLD_SECONDS}: where a much louder one
 * follows within that time, the first was the key's own noise, and is kept as the `precursor` of the second.
 *
 * Conventions: times count frames from construction or `reset()`; levels are dB re full scale, of power in a hop.
 * The result does not depend on how the samples are cut into blocks. Pickers find strokes, they do not time them: an
 * event is good to a few milliseconds, and to more in the lowest octave, where the wave of the strings comes late.
 *
 * Sources: log-energy increments over bands after A. Klapuri, "Sound onset detection by applying psychoacoustic
 * knowledge", ICASSP 1999; weights and thresholds are this project's own, from measurements on noise and real tones.
 */

import type { Decibels, Frames, Hertz, Seconds } from '../units.ts';
import { BandBank } from './bandBank.ts';

/** A coarse stroke, as the detector hears it. */
export interface StrokeEvent {
  /** Start of the stroke, frames from construction. */
  frame: Frames;
  /** Height of the detection curve, in units of its threshold: 1 is just an event. */
  strength: number;
  /** Loudest hop within {@link HOLD_SECONDS} of the start, dB re full scale. */
  level: Decibels;
  /** An earlier, fainter start within {@link HOLD_SECONDS} before, or -1: the key's own noise, provisionally. */
  precursor: Frames;
}

/** A new event with nothing in it, to be filled by {@link StrokeDetector.read}. */
export function emptyStrokeEvent(): StrokeEvent {
  return { frame: 0, strength: 0, level: -Infinity, precursor: -1 };
}

export interface DetectorOptions {
  /** 8000 to 96000 Hz. */
  readonly sampleRate: Hertz;
  /** Largest block that `process` will be given, frames; sizes the queue of waiting events. */
  readonly maxBlock: number;
}

/** Time for which an event is held back in case a louder one follows. */
export const HOLD_SECONDS: Seconds = 0.04;

const HOP_SECONDS: Seconds = 0.001;
/** Power added to every band, -110 dB: below it is silence. */
const SILENCE = 1e-11;

/**
 * The bands: edges in hertz; milliseconds over which a level is taken; weight. Weights are about the inverse variance of
 * the rise in noise: a wide band with a short window is the surer witness.
 */
const BANDS = [
  { low: 60, high: 220, window: 6, weight: 0.3 },
  { low: 220, high: 700, window: 4, weight: 0.5 },
  { low: 700, high: 2200, window: 3, weight: 0.8 },
  { low: 2000, high: 5000, window: 2, weight: 1 },
  { low: 4500, high: 11000, window: 2, weight: 1 },
] as const;
/**
 * The newest level is compared with the highest between these many hops ago: near enough that a stroke of 14 a second
 * does not meet its predecessor, far enough back to span a period of the lowest string, whose pulses are no strokes.
 */
const BEFORE_FROM = 10;
const BEFORE_TO = 48;
/** Rises in a band are counted between these limits, dB. */
const RISE_FROM: Decibels = 1;
const RISE_UP_TO: Decibels = 24;
/** Power ratio of the least rise that counts. */
const LEAST_RATIO = 10 ** (RISE_FROM / 10);
/** Detection threshold, weighted dB. */
const THRESHOLD = 3;
/** A second event nearer than this is the same stroke, unless it is much louder. */
const REFRACTORY_SECONDS: Seconds = 0.035;
/** So much louder than the one before, hundredths of a decibel, within the refractory time, and it is the stroke after all. */
const LOUDER = 1500;
/** Below every level, hundredths of a decibel. */
const QUIETEST = -100_000;
/** The curve must fall below so many tenths of its last peak before it can make a new event. */
const RELEASE = 6;
/** Hops over which a rise may climb to its peak. */
const CLIMB_HOPS = 14;
const RING = 64;

/**
 * Streams samples and reports strokes. `process` returns the number of events now waiting; `read(i, into)` copies the
 * i-th of them. Waiting events are dropped by the next `process`, `flush` or `reset`.
 */
export class StrokeDetector {
  readonly sampleRate: Hertz;
  readonly maxBlock: number;
  /** Longest time from a stroke's start to the block that reports it. */
  readonly latencySeconds: Seconds;

  private readonly hop: Frames;
  private readonly bank: BandBank;
  private readonly bandCount: number;
  private readonly windows: Int32Array;
  private readonly weights: Float64Array;
  private readonly power: Float64Array;
  private readonly level: Float64Array;
  /** Level of the whole in each hop, hundredths of a decibel. */
  private readonly whole = new Int32Array(RING);
  /** The detection curve, thousandths of its threshold. */
  private readonly curve = new Int32Array(RING);
  private readonly holdHops: number;
  private readonly refractoryHops: number;

  private frames = 0;
  private inHop = 0;
  private hops = 0;

  private climbing = false;
  private armed = true;
  private peak = 0;
  private peakHop = 0;
  private lastPeak = 0;
  private pendingHop = -1;
  private pendingPeakHop = 0;
  private pendingStrength = 0;
  private pendingLevel = QUIETEST;
  private pendingPrecursor: Frames = -1;
  private lastHop = -1;
  private lastLevel = QUIETEST;

  private readonly queueFrame: Float64Array;
  private readonly queueStrength: Int32Array;
  private readonly queueLevel: Int32Array;
  private readonly queuePrecursor: Float64Array;
  private waiting = 0;

  /** @throws RangeError if the sample rate or the block size cannot be worked with. */
  constructor({ sampleRate, maxBlock }: DetectorOptions) {
    if (!(sampleRate >= 8000 && sampleRate <= 96000)) {
      throw new RangeError(`sample rate ${sampleRate} Hz; expected 8000 to 96000`);
    }
    if (!(Number.isInteger(maxBlock) && maxBlock >= 1)) {
      throw new RangeError(`maxBlock ${maxBlock}; expected a whole number of frames from 1`);
    }
    this.sampleRate = sampleRate;
    this.maxBlock = maxBlock;
    this.hop = Math.round(sampleRate * HOP_SECONDS);
    this.holdHops = Math.round(HOLD_SECONDS / HOP_SECONDS);
    this.refractoryHops = Math.round(REFRACTORY_SECONDS / HOP_SECONDS);
    this.latencySeconds = ((this.holdHops + CLIMB_HOPS + 2) * this.hop) / sampleRate;

    const usable = BANDS.filter((band) => band.low < 0.4 * sampleRate);
    this.bandCount = usable.length;
    this.bank = new BandBank(sampleRate, usable, this.hop);
    this.windows = Int32Array.from(usable, (band) => band.window);
    this.weights = Float64Array.from(usable, (band) => band.weight);
    this.power = new Float64Array(this.bandCount * RING);
    this.level = new Float64Array(this.bandCount * RING);

    const most = Math.ceil(maxBlock / this.hop / Math.min(this.refractoryHops, CLIMB_HOPS)) + 3;
    this.queueFrame = new Float64Array(most);
    this.queueStrength = new Int32Array(most);
    this.queueLevel = new Int32Array(most);
    this.queuePrecursor = new Float64Array(most);
    this.reset();
  }

  /** Forgets everything: the next sample is frame 0. */
  reset(): void {
    this.bank.reset();
    this.power.fill(0);
    this.level.fill(0);
    this.whole.fill(0);
    this.curve.fill(0);
    this.frames = 0;
    this.inHop = 0;
    this.hops = 0;
    this.climbing = false;
    this.armed = true;
    this.peak = 0;
    this.lastPeak = 0;
    this.pendingHop = -1;
    this.lastHop = -1;
    this.lastLevel = QUIETEST;
    this.waiting = 0;
  }

  /** Frames seen since construction or `reset()`. */
  get framesSeen(): Frames {
    return this.frames;
  }

  /**
   * Takes the next samples (mono, nominally within ±1; what is not finite counts as silence) and returns the number of
   * events now waiting.
   * @throws RangeError if the block is longer than `maxBlock`.
   */
  process(block: Float32Array): number {
    const n = block.length;
    if (n > this.maxBlock) throw new RangeError(`block of ${n} frames; this detector was built for ${this.maxBlock}`);
    this.waiting = 0;
    const { bank, hop } = this;
    for (let at = 0; at < n;) {
      const count = Math.min(n - at, hop - this.inHop);
      bank.take(block, at, count);
      at += count;
      this.frames += count;
      this.inHop += count;
      if (this.inHop === hop) this.endHop();
    }
    return this.waiting;
  }

  /** Ends the stream: reports what is still held back. */
  flush(): number {
    this.waiting = 0;
    if (this.climbing) this.endClimb();
    if (this.pendingHop >= 0) this.release();
    return this.waiting;
  }

  /**
   * Copies waiting event `i` into `into` and returns it.
   * @throws RangeError if fewer events are waiting.
   */
  read(i: number, into: StrokeEvent): StrokeEvent {
    if (!(i >= 0 && i < this.waiting)) throw new RangeError(`event ${i}; ${this.waiting} are waiting`);
    into.frame = this.queueFrame[i];
    into.strength = this.queueStrength[i] / 1000;
    into.level = this.queueLevel[i] / 100;
    into.precursor = this.queuePrecursor[i];
    return into;
  }

  // Code that runs once a stroke is never compiled, and code that is not compiled allocates for every fraction it touches:
  // so the picker works in whole numbers, thousandths of the threshold and hundredths of a decibel.

  private endHop(): void {
    const { bandCount } = this;
    const { sums } = this.bank;
    const at = this.hops % RING;
    for (let b = 0; b < bandCount; b++) {
      this.power[b * RING + at] = sums[b] / this.hop + SILENCE;
      sums[b] = 0;
    }
    this.whole[at] = Math.round(1000 * Math.log10(sums[bandCount] / this.hop + SILENCE));
    sums[bandCount] = 0;
    this.inHop = 0;
    this.hops++;
    this.rise();
    this.follow();
  }

  /** Writes the detection curve at the newest hop: weighted rises of the bands, in units of the threshold. */
  private rise(): void {
    let sum = 0;
    const newest = this.hops - 1;
    for (let b = 0; b < this.bandCount; b++) {
      const window = this.windows[b];
      const row = b * RING;
      let recent = 0;
      for (let i = 0; i < window; i++) recent += this.power[row + ((newest - i) & (RING - 1))];
      recent /= window;
      this.level[row + (newest & (RING - 1))] = recent;
      if (newest < BEFORE_TO + window) continue;
      // Mostly nothing rises: stop at the first earlier level that shows it.
      const limit = recent / LEAST_RATIO;
      let before = 0;
      for (let i = window + BEFORE_FROM; i <= window + BEFORE_TO && before <= limit; i++) {
        const earlier = this.level[row + ((newest - i) & (RING - 1))];
        if (earlier > before) before = earlier;
      }
      if (before > limit) continue;
      // Math.min, not a condition: a choice between a fraction and a whole constant is kept in a box.
      sum += this.weights[b] * (Math.min(10 * Math.log10(recent / before), RISE_UP_TO) - RISE_FROM);
    }
    this.curve[newest % RING] = Math.round((1000 * sum) / THRESHOLD);
  }

  /** The peak picker on the curve, one hop at a time. */
  private follow(): void {
    const now = this.hops - 1;
    const value = this.curve[now % RING];
    if (this.climbing) {
      if (value > this.peak) {
        this.peak = value;
        this.peakHop = now;
      }
      if (10 * value < RELEASE * this.peak || now - this.peakHop >= CLIMB_HOPS) this.endClimb();
    } else if (!this.armed) {
      if (10 * value < RELEASE * this.lastPeak) this.armed = true;
    }
    if (!this.climbing && this.armed && value >= 1000) {
      this.climbing = true;
      this.peak = value;
      this.peakHop = now;
    }
    if (this.pendingHop >= 0) {
      if (this.whole[now % RING] > this.pendingLevel) this.pendingLevel = this.whole[now % RING];
      if (!this.climbing && now - this.pendingPeakHop >= this.holdHops) this.release();
    }
  }

  /** A peak is complete: it becomes the pending event, replaces one, or is the tail of one. */
  private endClimb(): void {
    this.climbing = false;
    this.armed = false;
    this.lastPeak = this.peak;
    const start = this.startOfPeak();
    let loudest = QUIETEST;
    for (let h = start; h < this.hops; h++) loudest = Math.max(loudest, this.whole[h % RING]);
    let precursor = -1;
    if (this.pendingHop >= 0) {
      const gap = start - this.pendingHop;
      let before = QUIETEST;
      for (let h = this.pendingHop; h < start; h++) before = Math.max(before, this.whole[h % RING]);
      if (gap <= this.holdHops && loudest > before + LOUDER) {
        precursor = this.pendingPrecursor >= 0 ? this.pendingPrecursor : this.pendingHop * this.hop;
        this.pendingHop = -1;
      } else if (gap < this.refractoryHops) {
        this.pendingStrength = Math.max(this.pendingStrength, this.peak);
        return;
      } else {
        this.release();
      }
    } else if (this.lastHop >= 0 && start - this.lastHop < this.refractoryHops && loudest < this.lastLevel + LOUDER) {
      return;
    }
    this.pendingHop = start;
    this.pendingPeakHop = this.peakHop;
    this.pendingStrength = this.peak;
    this.pendingLevel = loudest;
    this.pendingPrecursor = precursor;
  }

  /** Walks back from the peak to the hop at which the curve began to climb. */
  private startOfPeak(): number {
    let h = this.peakHop;
    while (h > 0 && this.peakHop - h < CLIMB_HOPS && 4 * this.curve[(h - 1) % RING] > this.peak) h--;
    return h;
  }

  private release(): void {
    const i = this.waiting++;
    this.queueFrame[i] = this.pendingHop * this.hop;
    this.queueStrength[i] = this.pendingStrength;
    this.queueLevel[i] = this.pendingLevel;
    this.queuePrecursor[i] = this.pendingPrecursor;
    this.lastHop = this.pendingHop;
    this.lastLevel = this.pendingLevel;
    this.pendingHop = -1;
  }
}
