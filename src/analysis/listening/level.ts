/**
 * Levels while listening: the highest sample of each quarter second, and how quiet the room is between strokes.
 */

import { quantile } from '../../statistics/order.ts';
import { amplitudeToDecibels, powerToDecibels, type Decibels, type Hertz } from '../../units.ts';

const TOLD_EVERY = 0.25;
const HOP = 0.05;
/** The room is the quiet twentieth of a minute: a take that rings all through says nothing of it, its pauses do. */
const HOPS = 1200;
const LEAST_HOPS = 20;
const QUIET_SHARE = 0.05;
/** So many samples in a row at full scale are clipping. */
const CLIPPED_AT = 0.9995;
const CLIPPED_RUN = 3;
const LOWEST: Decibels = -120;

export interface Level {
  readonly peakDb: Decibels;
  readonly roomDb: Decibels | null;
  readonly clipped: boolean;
}

/** Follows the level of sound that comes in blocks of any size. */
export class LevelMeter {
  readonly #hops: number[] = [];
  #hopPower = 0;
  #hopCount = 0;
  #peak = 0;
  #run = 0;
  #clipped = false;
  #count = 0;
  readonly #hopFrames: number;
  readonly #toldFrames: number;

  constructor(sampleRate: Hertz) {
    this.#hopFrames = Math.round(HOP * sampleRate);
    this.#toldFrames = Math.round(TOLD_EVERY * sampleRate);
  }

  /** Takes samples in; gives a level for each quarter second that was completed. */
  process(samples: Float32Array): Level[] {
    const told: Level[] = [];
    for (const value of samples) {
      const size = Math.abs(value);
      if (size > this.#peak) this.#peak = size;
      this.#run = size >= CLIPPED_AT ? this.#run + 1 : 0;
      if (this.#run >= CLIPPED_RUN) this.#clipped = true;
      this.#hopPower += value * value;
      if (++this.#hopCount === this.#hopFrames) this.#endHop();
      if (++this.#count === this.#toldFrames) told.push(this.#tell());
    }
    return told;
  }

  #endHop(): void {
    // Zeros are no room: a device puts them in, or is not open yet.
    if (this.#hopPower > 0) this.#hops.push(this.#hopPower / this.#hopFrames);
    if (this.#hops.length > HOPS) this.#hops.shift();
    this.#hopPower = 0;
    this.#hopCount = 0;
  }

  #tell(): Level {
    const level = {
      peakDb: Math.max(LOWEST, amplitudeToDecibels(this.#peak)),
      roomDb:
        this.#hops.length < LEAST_HOPS ? null : Math.max(LOWEST, powerToDecibels(quantile(this.#hops, QUIET_SHARE))),
      clipped: this.#clipped,
    };
    this.#peak = 0;
    this.#clipped = false;
    this.#count = 0;
    return level;
  }
}
