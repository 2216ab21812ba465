/**
 * The zero of a note: when, on its mean attack, the hammer's energy first arrives.
 *
 * A template times the strokes of one note against each other; where its own zero lies is a constant that must be
 * picked. It is picked on the mean of the aligned, energy-normalised strokes, where noise has been averaged down: the
 * first moment at which the emphasised wave reaches {@link ARRIVAL} below its strongest in the first 60 ms, and stays
 * there for a millisecond; not at all where noise before it stands within 8 dB of that. Picks of this kind agree between
 * neighbouring notes to a fraction of a millisecond in the treble and to some milliseconds in the deep bass.
 */

import { quantile } from '../statistics/order.ts';
import type { Decibels, Seconds } from '../units.ts';
import { resampleAt } from './matching.ts';
import type { Layer } from './pyramid.ts';

/** Share of the strongest at which the attack counts as arrived. */
export const ARRIVAL: Decibels = -22;
const OVER_NOISE: Decibels = 8;
const BEFORE: Seconds = 0.03;
const AFTER: Seconds = 0.06;
const EMPHASIS = 0.95;

/**
 * Offset of the first arrival from the template's zero, seconds (usually a few milliseconds either way), on the mean of
 * the strokes at `times`. `null` where noise hides it.
 */
export function arrivalOffset(layer: Layer, times: readonly Seconds[]): Seconds | null {
  const { samples, rate } = layer;
  const before = Math.round(BEFORE * rate);
  const count = before + Math.round(AFTER * rate);
  const mean = new Float64Array(count);
  const piece = new Float32Array(count + 1);
  for (const time of times) {
    resampleAt(samples, time * rate - before - 1, count + 1, piece);
    let energy = 0;
    for (let i = 0; i < count; i++) {
      piece[i] = piece[i + 1] - EMPHASIS * piece[i];
      energy += piece[i] * piece[i];
    }
    if (!(energy > 0)) continue;
    const scale = 1 / Math.sqrt(energy);
    for (let i = 0; i < count; i++) mean[i] += piece[i] * scale;
  }

  const width = Math.max(2, Math.round(0.0006 * rate));
  const envelope = new Float64Array(count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    sum += mean[i] * mean[i] - (i >= width ? mean[i - width] ** 2 : 0);
    envelope[i] = Math.max(0, sum) / width;
  }
  let strongest = 0;
  for (let i = before >> 1; i < count; i++) strongest = Math.max(strongest, envelope[i]);
  if (!(strongest > 0)) return null;
  const noise = quantile(envelope.subarray(width, Math.round(0.5 * before)), 0.8);
  const threshold = strongest * 10 ** (ARRIVAL / 10);
  if (noise * 10 ** (OVER_NOISE / 10) > threshold) return null;
  const stay = Math.round(0.001 * rate);
  for (let i = Math.round(0.4 * before); i < count - stay; i++) {
    if (envelope[i] < threshold) continue;
    let stays = true;
    for (let j = 1; j <= stay && stays; j++) stays = envelope[i + j] >= 0.5 * threshold;
    if (stays) return (i - width / 2 - before) / rate;
  }
  return null;
}
