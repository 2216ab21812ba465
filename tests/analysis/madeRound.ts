/** Rounds made of drawn strokes: contact, onset and level as a hand would make them, without any sound. */

import { judged } from '../../src/analysis/analyse.ts';
import { ANALYSIS_SCHEMA, ANALYSIS_VERSION, type AnalysisDocument } from '../../src/analysis/document.ts';
import type { Stroke, Take } from '../../src/strokes/types.ts';
import type { RandomStream } from '../../src/synthesis/random.ts';

export interface MadeNote {
  readonly midi: number;
  readonly slow?: number;
  readonly fast?: number;
  /** Spread of the travel time against the hand's own. */
  readonly ratio?: number;
  /** Share of the quick repeats that stay silent. */
  readonly silent?: number;
  /** Added to ln travel time. */
  readonly shift?: number;
}

export interface MadeRound {
  readonly file?: string;
  readonly scale?: number;
  /** Level of all strokes at the microphone, dB re full scale. */
  readonly levelDb?: number;
  /** Travel time at the usual loudness, seconds. */
  readonly travel?: number;
}

/** Fourteen notes from E2 on. */
export const KEYS = Array.from({ length: 14 }, (_, i) => 40 + 4 * i);

/** A recording's document; its notes are judged as those of any other. */
export function madeRound(
  random: RandomStream,
  notes: readonly MadeNote[],
  { file = 'made.wav', scale = 0.04, levelDb = -20, travel = 0.08 }: MadeRound = {},
): AnalysisDocument {
  const strokes: Stroke[] = [];
  const takes: Take[] = [];
  let time = 1;
  notes.forEach(({ midi, slow = 8, fast = 12, ratio = 1, silent = 0, shift = 0 }, i) => {
    const take = i + 1;
    takes.push({ take, midi, asked: null, touch: null, ratePerSecond: fast > 1 ? 6 : null });
    for (let k = 0; k < slow + fast; k++) {
      const passage = k < slow ? 'slow' : 'fast';
      const rest = k === 0 ? null : (passage === 'slow' ? 1 : 1 / 6) * (1 + random.normal(0, 0.04));
      time += rest ?? 3;
      const force = random.normal(0, 1.5);
      const logTravel = Math.log(travel) - 0.0645 * force + random.normal(0, ratio * scale) + shift;
      const mute = passage === 'fast' && k > slow && random.chance(silent);
      strokes.push({
        kind: mute ? 'silent' : 'sounded',
        take,
        midi,
        timeSeconds: time,
        contactSeconds: mute || passage === 'fast' ? null : time - Math.exp(logTravel),
        contactRiseSeconds: null,
        otherContactSeconds: null,
        onsetSeconds: mute ? null : time,
        onsetErrorSeconds: mute ? null : 2e-5,
        keyBottomSeconds: null,
        levelDb: mute ? null : levelDb + force,
        relativeDb: mute ? null : force,
        force: mute ? null : 'usual',
        brightness: null,
        knockDb: null,
        passage,
        group: null,
        preceding: { kind: k === 0 ? 'none' : passage, restSeconds: rest, damped: null, gapDb: null },
        confidence: 0.95,
        contactConfidence: mute || passage === 'fast' ? null : 0.9,
        absent: mute ? { onset: 'none-heard', level: 'none-heard', contact: 'not-sought' } : {},
        doubt: mute ? ['inferred-from-beat'] : [],
      });
    }
  });
  return {
    schema: ANALYSIS_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    source: { file, sampleRate: 48000, channels: 1, durationSeconds: time + 2 },
    warnings: [],
    takes,
    strokes,
    bars: [],
    ...judged(strokes, takes),
  };
}
