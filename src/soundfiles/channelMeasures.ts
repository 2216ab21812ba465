/**
 * What is measured of channels before one is chosen or several are mixed.
 *
 * Conventions: levels in dB of amplitude re full scale (±1), means taken out; lags in seconds, positive where the
 * second channel is late. Nothing here is random, and all of it follows the samples' gain.
 *
 * Sources: common practice, no source, except where said.
 */

import { amplitudeToDecibels, powerToDecibels } from '../units.ts';
import type { Decibels, Hertz, Seconds } from '../units.ts';

/** One channel's measures. */
export interface ChannelMeasures {
  /** Greatest deviation from the mean; −Infinity for a constant. */
  readonly peakDb: Decibels;
  /** Level of the loud tenth of the recording over that of the quiet twentieth. */
  readonly overFloorDb: Decibels;
  /** Level of the loud tenth. */
  readonly levelDb: Decibels;
  /** Share of the samples that lie in flat tops at the channel's limit, 0 to 1. */
  readonly clippedShare: number;
}

/** How two channels belong together at the attacks. */
export interface Coincidence {
  /** Normalised correlation without delay, −1 to 1; 0 where either is silent. */
  readonly together: number;
  /** The delay at which the correlation is greatest, within ±2 ms (0.7 m of air). */
  readonly lag: Seconds;
  /** Normalised correlation at that delay. */
  readonly atLag: number;
}

const BLOCK_SECONDS = 0.02;
/** Floors are not believed below this level: a 24-bit converter's last bit. */
const LOWEST_FLOOR_POWER = 2 ** -46;
/** Flat tops: at least so many neighbouring samples within a thousandth of the greatest, at 90 % of full scale or more. */
const FLAT_RUN = 3;
const FLAT_LIMIT = 0.9;
const LONGEST_LAG = 0.002;
const EXCERPT_SECONDS = 0.04;
const MOST_EXCERPTS = 24;

/** Measures one channel: at least one sample, all finite. */
export function measureChannel(samples: Float32Array, sampleRate: Hertz): ChannelMeasures {
  const mean = samples.reduce((sum, sample) => sum + sample, 0) / samples.length;
  const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample - mean)), 0);
  const powers = blockPowers(samples, mean, Math.round(BLOCK_SECONDS * sampleRate)).sort();
  // Nearest rank, so that one block is enough.
  const rank = (share: number) => powers[Math.min(powers.length - 1, Math.floor(share * powers.length))];
  const loud = rank(0.9);
  return {
    peakDb: amplitudeToDecibels(peak),
    overFloorDb: powerToDecibels(Math.max(loud, LOWEST_FLOOR_POWER) / Math.max(rank(0.05), LOWEST_FLOOR_POWER)),
    levelDb: powerToDecibels(loud),
    clippedShare: clippedShare(samples),
  };
}

/** Mean power of consecutive whole blocks (of everything, if shorter than one block). */
function blockPowers(samples: Float32Array, mean: number, length: number): Float64Array {
  const size = Math.min(length, samples.length);
  const powers = new Float64Array(Math.floor(samples.length / size));
  for (let block = 0; block < powers.length; block++) {
    let sum = 0;
    for (let i = block * size; i < (block + 1) * size; i++) sum += (samples[i] - mean) ** 2;
    powers[block] = sum / size;
  }
  return powers;
}

function clippedShare(samples: Float32Array): number {
  const greatest = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  if (greatest < FLAT_LIMIT) return 0;
  let clipped = 0;
  let run = 0;
  for (let i = 0; i <= samples.length; i++) {
    const atLimit = i < samples.length && Math.abs(samples[i]) >= 0.999 * greatest;
    if (atLimit && (run === 0 || samples[i] * samples[i - 1] > 0)) {
      run++;
    } else {
      if (run >= FLAT_RUN) clipped += run;
      run = atLimit ? 1 : 0;
    }
  }
  return clipped / samples.length;
}

/**
 * Correlates two equally long channels around the steepest attacks of the first: at most 24 excerpts of 40 ms, the
 * signals differenced once so that the attack counts for more than the bass that rings on.
 */
export function measureCoincidence(first: Float32Array, second: Float32Array, sampleRate: Hertz): Coincidence {
  const longest = Math.round(LONGEST_LAG * sampleRate);
  const length = Math.round(EXCERPT_SECONDS * sampleRate);
  const starts = attackExcerpts(first, length);
  const products = new Float64Array(2 * longest + 1);
  let firstEnergy = 0;
  let secondEnergy = 0;
  for (const start of starts) {
    const end = Math.min(start + length, first.length);
    for (let i = Math.max(1, start); i < end; i++) {
      const a = first[i] - first[i - 1];
      const b = second[i] - second[i - 1];
      firstEnergy += a * a;
      secondEnergy += b * b;
      for (let lag = -longest; lag <= longest; lag++) {
        const j = i + lag;
        if (j >= 1 && j < second.length) products[lag + longest] += a * (second[j] - second[j - 1]);
      }
    }
  }
  const scale = Math.sqrt(firstEnergy * secondEnergy);
  if (!(scale > 0)) return { together: 0, lag: 0, atLag: 0 };
  // Of equal maxima the one nearest to no delay counts.
  let best = longest;
  for (let distance = 1; distance <= longest; distance++) {
    for (const at of [longest - distance, longest + distance]) if (products[at] > products[best]) best = at;
  }
  return { together: products[longest] / scale, lag: (best - longest) / sampleRate, atLag: products[best] / scale };
}

/** Where the excerpts start: the blocks whose power rises most over the block before, in order of time. */
function attackExcerpts(samples: Float32Array, length: number): number[] {
  const powers = blockPowers(samples, 0, length);
  const rises = Array.from(powers, (power, block) => ({
    start: block * length,
    rise: power - (powers[block - 1] ?? 0),
  }));
  return rises
    .sort((a, b) => b.rise - a.rise || a.start - b.start)
    .slice(0, MOST_EXCERPTS)
    .map(({ start }) => start)
    .sort((a, b) => a - b);
}
