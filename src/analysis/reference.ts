/**
 * The hand reference as a document (`evenfall.reference/1`): learned from notes known to be in order, read back and checked.
 *
 * Its JSON Schema stands beside it in `reference.schema.json`.
 */

import { REFERENCE_SCHEMA, type HandReference } from '../steadiness/reference.ts';
import { LEAST_NOTES } from '../steadiness/travel/judgeTravel.ts';
import { LEAST_STROKES } from '../steadiness/travel/scale.ts';
import { TOUCHES } from '../strokes/types.ts';
import { ANALYSIS_VERSION } from './document.ts';
import { playedRound, refuseOtherVersion, sourcesOf, type RoundDocument } from './playedRound.ts';
import { Refused } from './refused.ts';

export type { HandReference };

/**
 * Learns the hand from a round of notes known to be in order.
 * @throws Refused below twelve notes with three usable slow strokes, or where fewer than half of them seem in order, or for a document of
 *   another analysis version.
 */
export function learnReference(document: RoundDocument): HandReference {
  refuseOtherVersion(document);
  const { usable, travel, touch } = playedRound(document);
  const full = usable.filter(({ usual }) => usual.length >= LEAST_STROKES).length;
  const { hand } = travel;
  if (hand === null || full < LEAST_NOTES) {
    throw new Refused(
      `${full} of ${usable.length} notes with ${LEAST_STROKES} usable slow strokes or more`,
      `at least ${LEAST_NOTES}: eight slow strokes a note, one a second, the fingertip falling from about 1 cm so that its contact is heard`,
    );
  }
  if (hand.reference === 'none') {
    throw new Refused(
      `${Math.round(100 * hand.firmShare)} % of the notes alike in their spread`,
      'at least half: learn the hand on notes known to be in order',
    );
  }
  const own = document.hand.repeatsReference === 'this-round' ? document.hand.baseRates : null;
  return {
    schema: REFERENCE_SCHEMA,
    analysisVersion: ANALYSIS_VERSION,
    scale: hand.scale,
    logError: hand.logError,
    slopePerDb: hand.slopePerDb,
    slopeError: hand.slopeError,
    slipRate: hand.slipRate,
    touch: document.takes.some((take) => take.touch !== null) ? touch : null,
    referenceTravel: hand.referenceTravel,
    referenceDb: hand.referenceDb,
    baseRates: own,
    notes: full,
    sources: sourcesOf(document).map(({ file }) => file),
  };
}

/**
 * Reads a reference from its JSON text.
 * @param name - of the file, for messages
 * @throws Refused naming the field, what was found and what was expected; for another analysis version too.
 */
export function readReference(text: string, name: string): HandReference {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    throw new Refused(`${name}: no JSON`, `a hand reference (${REFERENCE_SCHEMA})`);
  }
  return checkReference(parsed, name);
}

/**
 * Checks a hand reference that is no text any more.
 * @throws Refused as {@link readReference}.
 */
export function checkReference(parsed: unknown, name: string): HandReference {
  const root = fieldsOf(parsed, name, `a hand reference (${REFERENCE_SCHEMA})`);
  const refuse = (field: string, expected: string): never => {
    throw new Refused(`${name}: "${field}" is ${shown(root[field])}`, expected);
  };
  if (root.schema !== REFERENCE_SCHEMA) refuse('schema', `"${REFERENCE_SCHEMA}", as evenfall reference writes it`);
  if (root.analysisVersion !== ANALYSIS_VERSION) {
    refuse('analysisVersion', `"${ANALYSIS_VERSION}": learn the reference again from its recordings`);
  }
  for (const [field, low, high] of LIMITS) {
    const value = root[field];
    if (typeof value !== 'number' || !(value >= low && value <= high)) refuse(field, `a number from ${low} to ${high}`);
  }
  const { touch, notes, sources, baseRates } = root;
  if (touch !== null && !TOUCHES.some((one) => one === touch)) refuse('touch', `${TOUCHES.join(', ')} or null`);
  if (!Number.isInteger(notes) || (notes as number) < LEAST_NOTES)
    refuse('notes', `a whole number from ${LEAST_NOTES}`);
  if (!Array.isArray(sources) || !sources.every((each) => typeof each === 'string'))
    refuse('sources', 'a list of names');
  if (baseRates !== null) checkRates(baseRates, name);
  return root as unknown as HandReference;
}

/** What a number of a reference may be; the hand's scale as far as any was thought possible, and room. */
const LIMITS = [
  ['scale', 0.001, 0.5],
  ['logError', 0, 2],
  ['slopePerDb', -0.3, 0.1],
  ['slopeError', 0, 0.2],
  ['slipRate', 0, 0.5],
  ['referenceTravel', 0.005, 0.5],
  ['referenceDb', -120, 20],
] as const;

function checkRates(value: unknown, name: string): void {
  const rates = fieldsOf(value, `${name}: "baseRates"`, 'the base rates or null');
  const share = (holder: Record<string, unknown>, field: string, path: string): void => {
    const found = holder[field];
    if (typeof found !== 'number' || !(found >= 0 && found <= 1)) {
      throw new Refused(`${name}: "${path}.${field}" is ${shown(found)}`, 'a share from 0 to 1');
    }
  };
  for (const speed of ['steady', 'quick']) {
    const own = fieldsOf(rates[speed], `${name}: "baseRates.${speed}"`, 'shares of silent and faint repeats');
    share(own, 'silent', `baseRates.${speed}`);
    share(own, 'faint', `baseRates.${speed}`);
  }
  share(rates, 'doubles', 'baseRates');
  if (!Number.isInteger(rates.notes) || (rates.notes as number) < 0) {
    throw new Refused(`${name}: "baseRates.notes" is ${shown(rates.notes)}`, 'a whole number from 0');
  }
}

function fieldsOf(value: unknown, what: string, expected: string): Record<string, unknown> {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value as Record<string, unknown>;
  throw new Refused(`${what} is ${shown(value)}`, expected);
}

function shown(value: unknown): string {
  if (value === undefined) return 'missing';
  if (Array.isArray(value)) return 'a list';
  if (typeof value === 'object' && value !== null) return 'an object';
  return JSON.stringify(value);
}
