/**
 * The zero of a note: how far "the onset" of neighbouring notes may differ by definition alone.
 *
 * Three definitions of one stroke's onset, each a constant of its note: the first arrival of `arrival.ts`; the point at
 * which the smoothed power reaches -20 dB re its maximum in the first 60 ms; the onset that the analysis reports. None
 * is the hammer's contact, which no microphone hears. What can be measured is how much their distances from each other
 * scatter from one sampled key to the next: whatever compares onsets *between* notes carries at least that much.
 */

import { median } from '../../src/evaluation/distribution.ts';
import { arrivalOf } from './arrival.ts';
import { registerOf, REGISTERS, type Register, type TakeScore } from './measure.ts';
import { LAYERS, loadTone, SAMPLE_RATE, SAMPLED_KEYS, type Layer } from './samples.ts';

const SEARCH = Math.round(0.06 * SAMPLE_RATE);
/** Power is smoothed over 1 ms, centred. */
const SMOOTH = Math.round(0.0005 * SAMPLE_RATE);
const MAD_TO_SD = 1.4826;

/** The -20 dB point of a tone after its arrival, seconds re the arrival. */
export function minus20Point(samples: Float32Array, arrival: number): number {
  const from = Math.max(0, Math.round(arrival) - Math.round(0.004 * SAMPLE_RATE));
  const power = new Float64Array(SEARCH);
  for (let i = 0; i < SEARCH; i++) {
    for (let k = -SMOOTH; k <= SMOOTH; k++) power[i] += (samples[from + i + k] ?? 0) ** 2;
  }
  const limit = Math.max(...power) / 100;
  return (from + power.findIndex((p) => p >= limit) - arrival) / SAMPLE_RATE;
}

/** Scatter between neighbouring sampled keys, seconds, of the three distances between definitions. */
export interface ZeroScatter {
  readonly register: Register;
  /** -20 dB point against first arrival. */
  readonly minus20ToArrival: number | null;
  /** Reported onset against first arrival. */
  readonly reportedToArrival: number | null;
  /** Reported onset against the -20 dB point. */
  readonly reportedToMinus20: number | null;
  /** Pairs of neighbours it rests on, and those that are missing because a take had no constant. */
  readonly pairs: number;
  readonly missing: number;
}

/** Robust SD of one value, from differences of neighbours: 1.4826·median|difference| / √2. */
const scatterOf = (differences: readonly number[]): number | null =>
  differences.length ? (MAD_TO_SD * median(differences.map(Math.abs))) / Math.SQRT2 : null;

/** Scatter per register, from single-layer takes of all sampled keys, each with its layer. */
export async function zeroScatter(takes: readonly { layer: Layer; score: TakeScore }[]): Promise<ZeroScatter[]> {
  const distances = new Map<string, { minus20: number; reported: number | null }>();
  for (const layer of LAYERS) {
    for (const midi of SAMPLED_KEYS) {
      const { frame } = await arrivalOf(midi, layer);
      const own = takes.filter((take) => take.layer === layer && take.score.midi === midi);
      const errors = own.flatMap(({ score }) =>
        score.strokes.flatMap(({ referenceSeconds, estimateSeconds }) =>
          estimateSeconds === null ? [] : [estimateSeconds - referenceSeconds],
        ),
      );
      if (own.length === 0) continue;
      distances.set(`${layer} ${midi}`, {
        minus20: minus20Point(await loadTone(midi, layer), frame),
        reported: errors.length ? median(errors) : null,
      });
    }
  }
  return REGISTERS.map(({ name }) => {
    const [minus20, reported, both] = [[], [], []] as number[][];
    let missing = 0;
    for (const layer of LAYERS) {
      for (const midi of SAMPLED_KEYS) {
        const a = distances.get(`${layer} ${midi}`);
        const b = distances.get(`${layer} ${midi + 3}`);
        if (registerOf(midi) !== name || !a || !b) continue;
        if (a.reported === null || b.reported === null) {
          missing++;
          continue;
        }
        minus20.push(b.minus20 - a.minus20);
        reported.push(b.reported - a.reported);
        both.push(b.reported - b.minus20 - (a.reported - a.minus20));
      }
    }
    return {
      register: name,
      minus20ToArrival: scatterOf(minus20),
      reportedToArrival: scatterOf(reported),
      reportedToMinus20: scatterOf(both),
      pairs: minus20.length,
      missing,
    };
  });
}
