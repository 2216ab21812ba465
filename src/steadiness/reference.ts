/**
 * The hand reference: the firm scale of player, touch and microphone place, learned on notes known to be in order.
 *
 * It holds for the same player, touch and place of the microphone only; with it a single note can be judged.
 */

import type { TOUCHES } from '../strokes/types.ts';
import type { BaseRates } from './evidence.ts';

export const REFERENCE_SCHEMA = 'evenfall.reference/1';

export interface HandReference {
  readonly schema: typeof REFERENCE_SCHEMA;
  readonly analysisVersion: string;
  /** Spread of ln travel time at equal level on notes in order. */
  readonly scale: number;
  /** Standard error of its logarithm. */
  readonly logError: number;
  readonly slopePerDb: number;
  readonly slopeError: number;
  readonly slipRate: number;
  readonly touch: (typeof TOUCHES)[number] | null;
  /** Typical travel time, seconds, at the loudness it was learned at, dB re full scale. */
  readonly referenceTravel: number;
  readonly referenceDb: number;
  readonly baseRates: BaseRates | null;
  /** Notes it was learned on. */
  readonly notes: number;
  /** Recordings it was learned from, by name. */
  readonly sources: readonly string[];
}
