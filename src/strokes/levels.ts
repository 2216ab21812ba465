/**
 * The level of each stroke, as fitted.
 *
 * Where a stroke stands on silence its level is read off. Where another tone still rings it cannot be; there the scale at
 * which the whitened attack was found says how much louder or softer it is than the others. That scale grows faster
 * than the level: a harder blow is brighter, and the attack is all brightness. The line between the two is fitted on the
 * take's own strokes on silence, about a usual slope measured on recorded grands (by register: 0.3 dB a dB at A0, 0.7 at
 * F#5, 1 from C7 up). Where the body of the tone could be fitted (below its third partial, the ringing taken away) its
 * scale serves instead: it grows as the level does.
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

/** A stroke whose level is asked. */
export interface Fitted {
  readonly onset: Seconds;
  /** Scale at which its whitened attack was found. */
  readonly gain: Decibels;
  /** Scale of its tone's body; `null` where it was not fitted. */
  readonly body: Decibels | null;
}

/** Peak levels, dB re full scale, of the strokes of a take. */
export function fittedLevels(layer: Layer, midi: MidiNote, strokes: readonly Fitted[]): Decibels[] {
  const own = strokes.map(({ onset }) => ownLevel(layer, onset));
  const read = strokes.flatMap(({ onset, gain, body }, i) =>
    own[i] === null ? [] : [{ gain, body, level: own[i], crest: peakLevel(layer, onset) - own[i] }],
  );
  if (read.length < LEAST_OWN) {
    const usual = median(strokes.map(({ gain }) => gain));
    const peak = median(strokes.map(({ onset }) => peakLevel(layer, onset)));
    return strokes.map(({ gain }) => peak + usualSlope(midi) * (gain - usual));
  }
  const ofAttack = lineOf(
    read.map(({ gain, level }) => ({ scale: gain, level })),
    usualSlope(midi),
  );
  const bodies = read.flatMap(({ body, level }) => (body === null ? [] : [{ scale: body, level }]));
  const ofBody = bodies.length >= LEAST_OWN ? lineOf(bodies, 1) : null;
  const crest = median(read.map((stroke) => stroke.crest));
  return strokes.map(
    ({ gain, body }, i) => crest + (own[i] ?? (ofBody !== null && body !== null ? ofBody(body) : ofAttack(gain))),
  );
}

/** The line of level on scale through strokes whose level was read, drawn towards a usual slope. */
function lineOf(
  read: readonly { readonly scale: Decibels; readonly level: Decibels }[],
  slope: number,
): (scale: Decibels) => Decibels {
  const scaleCentre = median(read.map(({ scale }) => scale));
  const levelCentre = median(read.map(({ level }) => level));
  let sxx = USUAL_WEIGHT;
  let sxy = USUAL_WEIGHT * slope;
  for (const { scale, level } of read) {
    sxx += (scale - scaleCentre) ** 2;
    sxy += (scale - scaleCentre) * (level - levelCentre);
  }
  return (scale) => levelCentre + (sxy / sxx) * (scale - scaleCentre);
}
