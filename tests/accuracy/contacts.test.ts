/**
 * The gate of the finger-key contacts: a part of what `npm run accuracy -- --contacts` prints, held to floors. Same
 * material, same comparer (`contactMeasure.ts`), on keys on which no rule or constant was chosen.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { quantile } from '../../src/statistics/order.ts';
import { hearCase, scoresOf, type ContactCase } from './contactSections.ts';
import { summary, type ContactScore, type ContactSummary } from './contactMeasure.ts';
import { JUDGING_KEYS } from './contactMaterial.ts';
import { CLEAN_SNR_DB } from './material.ts';

const KEYS = JUDGING_KEYS.filter((_, i) => i % 3 === 1);
const HALF_DAMPED = { snrDb: CLEAN_SNR_DB, rate: 8, ringDb: -10 };
const RINGING_ON = { snrDb: CLEAN_SNR_DB, rate: 6, ringDb: -3 };
const LEVEL_DB = -36;

let clicks: ContactCase;
let thumps: ContactCase;
let none: ContactCase[];

const of = (cases: readonly ContactCase[], passage: 'slow' | 'fast'): ContactScore[] =>
  scoresOf(cases).filter((score) => score.passage === passage);
const summed = (one: ContactCase, passage: 'slow' | 'fast'): ContactSummary => summary(of([one], passage));
const medianMs = ({ errors }: ContactSummary): number => 1000 * quantile(errors.map(Math.abs), 0.5);

beforeAll(async () => {
  clicks = await hearCase({ noise: 'click', levelDb: LEVEL_DB, conditions: HALF_DAMPED }, KEYS);
  thumps = await hearCase({ noise: 'thump', levelDb: LEVEL_DB, conditions: HALF_DAMPED }, KEYS);
  none = [];
  for (const conditions of [HALF_DAMPED, RINGING_ON, { ...HALF_DAMPED, snrDb: 30 }]) {
    none.push(await hearCase({ noise: 'none', levelDb: LEVEL_DB, conditions }, KEYS));
  }
}, 120_000);

describe('contacts 36 dB under the tone, in a quiet room', () => {
  it('have all their strokes to be judged by', () => {
    for (const one of [clicks, thumps, ...none]) {
      expect(scoresOf([one]).length).toBeGreaterThanOrEqual(KEYS.length * 20 - 2);
    }
  });

  it('clicks before slow strokes: goal 90 % found, median error 0.4 ms', () => {
    const slow = summed(clicks, 'slow');
    expect(slow.found).toBeGreaterThanOrEqual(0.95);
    expect(slow.wrong).toBeLessThanOrEqual(0.02);
    expect(medianMs(slow)).toBeLessThanOrEqual(0.1);
  });

  it('clicks before fast strokes over their own ringing: goal 75 % found', () => {
    const fast = summed(clicks, 'fast');
    expect(fast.found).toBeGreaterThanOrEqual(0.75);
    expect(fast.wrong).toBeLessThanOrEqual(0.03);
    expect(medianMs(fast)).toBeLessThanOrEqual(0.3);
  });

  it('thumps before slow strokes: goal 90 % found, median error 1 ms', () => {
    const slow = summed(thumps, 'slow');
    expect(slow.found).toBeGreaterThanOrEqual(0.9);
    expect(slow.wrong).toBeLessThanOrEqual(0.04);
    expect(medianMs(slow)).toBeLessThanOrEqual(1);
  });
});

describe('strokes without any noise before them', () => {
  it('get few contacts: goal 2 % of slow and of fast strokes', () => {
    for (const passage of ['slow', 'fast'] as const) {
      const scores = of(none, passage);
      const said = scores.filter((score) => score.said).length;
      // Of some hundred strokes one more or less is chance.
      expect(said / scores.length, passage).toBeLessThanOrEqual(0.025);
    }
  });

  it('say why there is none, and in a noisy room that none could be heard', () => {
    for (const { said, cause } of scoresOf(none)) expect(said === null ? cause : 'said').not.toBeNull();
    const noisy = scoresOf([none[2]]);
    expect(noisy.filter(({ cause }) => cause === 'masked').length / noisy.length).toBeGreaterThan(0.7);
    const quiet = of([none[0]], 'slow');
    expect(quiet.filter(({ cause }) => cause === 'masked').length).toBe(0);
  });
});

it('every number said about a contact is one', () => {
  for (const { said } of scoresOf([clicks, thumps, ...none])) {
    if (!said) continue;
    expect(Number.isFinite(said.lead)).toBe(true);
    expect(said.lead).toBeGreaterThan(0);
    expect(said.confidence).toBeGreaterThan(0);
    expect(said.confidence).toBeLessThanOrEqual(1);
    if (said.riseError !== null) expect(Number.isFinite(said.riseError)).toBe(true);
  }
});
