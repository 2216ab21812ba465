/**
 * A recording at halved sample rates, made when first asked for.
 *
 * Each level halves the rate with a half-band filter: a windowed sinc (Kaiser, β = 7) of 35 taps, linear in phase, whose
 * centre falls on the kept sample, so that sample i of a level stands at the time i / rate exactly. Every second tap
 * but the centre is zero. Aliases lie more than 60 dB down below 0.4 of the level's rate.
 */

import type { Hertz } from '../units.ts';

const HALF = 17;

const TAPS = (() => {
  const bessel = (x: number) => {
    let sum = 1;
    let term = 1;
    for (let k = 1; k < 30; k++) sum += term *= (x / (2 * k)) ** 2;
    return sum;
  };
  const taps = new Float64Array((HALF + 1) / 2);
  let sum = 0;
  for (let j = 0; j < taps.length; j++) {
    const n = 2 * j + 1;
    const window = bessel(7 * Math.sqrt(1 - (n / (HALF + 1)) ** 2)) / bessel(7);
    taps[j] = (Math.sin((Math.PI * n) / 2) / (Math.PI * n)) * window;
    sum += 2 * taps[j];
  }
  for (let j = 0; j < taps.length; j++) taps[j] *= 0.5 / sum;
  return taps;
})();

/** Samples at one rate. */
export interface Layer {
  readonly samples: Float32Array;
  readonly rate: Hertz;
}

export class Pyramid {
  private readonly layers: Layer[];

  constructor(samples: Float32Array, rate: Hertz) {
    this.layers = [{ samples, rate }];
  }

  /** The recording as it came. */
  get full(): Layer {
    return this.layers[0];
  }

  /** The layer of the lowest rate that is still at least `rate` (or the recording itself where it is slower). */
  atLeast(rate: Hertz): Layer {
    let level = 0;
    while (this.layers[0].rate / 2 ** (level + 1) >= rate) level++;
    while (this.layers.length <= level) this.layers.push(halve(this.layers[this.layers.length - 1]));
    return this.layers[level];
  }
}

function halve({ samples, rate }: Layer): Layer {
  const out = new Float32Array(samples.length >> 1);
  const last = samples.length - 1;
  const [a, b, c, d, e, f, g, h, k] = TAPS;
  for (let i = 0; i < out.length; i++) {
    const m = 2 * i;
    if (m >= HALF && m + HALF <= last) {
      out[i] =
        0.5 * samples[m] +
        a * (samples[m - 1] + samples[m + 1]) +
        b * (samples[m - 3] + samples[m + 3]) +
        c * (samples[m - 5] + samples[m + 5]) +
        d * (samples[m - 7] + samples[m + 7]) +
        e * (samples[m - 9] + samples[m + 9]) +
        f * (samples[m - 11] + samples[m + 11]) +
        g * (samples[m - 13] + samples[m + 13]) +
        h * (samples[m - 15] + samples[m + 15]) +
        k * (samples[m - 17] + samples[m + 17]);
    } else {
      let sum = 0.5 * samples[m];
      for (let j = 0; j < TAPS.length; j++) {
        sum += TAPS[j] * ((samples[m - 2 * j - 1] ?? 0) + (samples[m + 2 * j + 1] ?? 0));
      }
      out[i] = sum;
    }
  }
  return { samples: out, rate: rate / 2 };
}
