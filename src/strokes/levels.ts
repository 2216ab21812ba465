/**
 * The level of each stroke, as fitted.
 *
 * Where a stroke stands on silence its level is read off. Where another tone still rings it cannot be; there the scale at
 * which the whitened attack was found says how much louder or softer it is than the others. That scale grows faster
 * than the level: a harder blow is brighter, and the attack is all brightness. The line between the two is fitted on the
 * take's own strokes on silence, about a usual slope measured on recorded grands (by register: 0.3 dB a dB at A0, 0.7 at
 * F#5, 1 from C7 up).
 */

import { median } from '../statistics/order.ts';
import { ownLevel, peakLevel } from '../signal/loudness.ts';
import type { Layer } from '../signal/pyramid.ts';
import type { Decibels, MidiNote, Seconds } from '../units.ts';

/** Weight of the usual slope, as a sum of squared deviations of the scale, dB². */
const USUAL_WEIGHT = 150;
const LEAST_OWN = 2;

/** Usual change of level for a change of the attack's scale, dB per dB. */
export function usualSlope(midi: MidiNote): number {
  if (midi <= 78) return 0.3 + (0.38 * (midi - 21)) / 57;
  return Math.min(1, 0.68 + (0.32 * (midi - 78)) / 18);
}

/** Peak levels, dB re full scale, of strokes at `onset` whose attack was found at scale `gain` (dB). */
export function fittedLevels(
  layer: Layer,
  midi: MidiNote,
  strokes: readonly { readonly onset: Seconds; readonly gain: Decibels }[],
): Decibels[] {
  const own = strokes.map(({ onset }) => ownLevel(layer, onset));
  const read = strokes.flatMap(({ onset, gain }, i) =>
    own[i] === null ? [] : [{ gain, level: own[i], crest: peakLevel(layer, onset) - own[i] }],
  );
  if (read.length < LEAST_OWN) {
    const usual = median(strokes.map(({ gain }) => gain));
    const peak = median(strokes.map(({ onset }) => peakLevel(layer, onset)));
    return strokes.map(({ gain }) => peak + usualSlope(midi) * (gain - usual));
  }
  const gainCentre = median(read.map(({ gain }) => gain));
  const levelCentre = median(read.map(({ level }) => level));
  let sxx = USUAL_WEIGHT;
  let sxy = USUAL_WEIGHT * usualSlope(midi);
  for (const { gain, level } of read) {
    sxx += (gain - gainCentre) ** 2;
    sxy += (gain - gainCentre) * (level - levelCentre);
  }
  const crest = median(read.map((stroke) => stroke.crest));
  return strokes.map(({ gain }, i) => crest + (own[i] ?? levelCentre + (sxy / sxx) * (gain - gainCentre)));
}
