/** The hand learned from made rounds, written, read back, and refused where it is not whole. */

import { describe, expect, it } from 'vitest';
import { learnReference, readReference, type HandReference } from '../../src/analysis/reference.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from './madeRound.ts';
import { faultsBy, withoutEachField } from './schemas.ts';

const faultsOf = faultsBy('reference');
const random = new RandomStream(5, 'reference');
const round = (notes: readonly MadeNote[] = KEYS.map((midi) => ({ midi, slow: 12 })), scale = 0.04) =>
  madeRound(random, notes, { file: 'in-order.wav', scale });
const reference = learnReference(round());
const rates = {
  steady: { silent: 0.01, faint: 0.02 },
  quick: { silent: 0.02, faint: 0.03 },
  doubles: 0.004,
  notes: 14,
};
const full: HandReference = { ...reference, baseRates: rates, touch: 'finger' };
const read = (changed: object) => readReference(JSON.stringify({ ...full, ...changed }), 'hand.json');

describe('learning', () => {
  it.each([0.03, 0.06])('finds a scale of %s, with its error', (scale) => {
    const learned = learnReference(round(undefined, scale));
    expect(Math.abs(Math.log(learned.scale / scale))).toBeLessThan(3 * learned.logError);
    expect(learned.logError).toBeLessThan(0.12);
    expect(Math.abs(learned.slopePerDb + 0.0645)).toBeLessThan(4 * learned.slopeError);
    expect(learned.referenceTravel).toBeGreaterThan(0.075);
    expect(learned.referenceTravel).toBeLessThan(0.085);
    expect(learned).toMatchObject({ notes: 14, sources: ['in-order.wav'], touch: null });
  });

  it('needs twelve notes with three usable slow strokes, and says what was found', () => {
    const few = KEYS.map((midi, i) => ({ midi, slow: i < 11 ? 8 : 2 }));
    expect(() => learnReference(round(few))).toThrow(
      /^11 of 14 notes with 3 usable slow strokes or more; expected at least 12/,
    );
    expect(() => learnReference(round([]))).toThrow(/^0 of 0 notes/);
  });

  it('refuses another version', () => {
    expect(() => learnReference({ ...round(), analysisVersion: '0.0.1' })).toThrow(/analysis version 0\.0\.1/);
  });
});

describe('reading', () => {
  it('gives back what was written, with base rates and without', () => {
    for (const each of [reference, full]) {
      expect(faultsOf(JSON.parse(JSON.stringify(each)))).toEqual([]);
      expect(readReference(JSON.stringify(each), 'hand.json')).toEqual(each);
    }
  });

  it('refuses, as the schema does, a reference that lacks any one field', () => {
    const broken = withoutEachField(full);
    expect(broken.length).toBeGreaterThan(15);
    for (const { field, broken: document } of broken) {
      expect(faultsOf(document), field).not.toEqual([]);
      expect(() => readReference(JSON.stringify(document), 'hand.json'), field).toThrow(/^hand\.json: .*; expected /);
    }
  });

  it.each<[string, object, RegExp]>([
    ['another schema', { schema: 'evenfall.analysis/1' }, /^hand\.json: "schema" is "evenfall\.analysis\/1"; expected/],
    [
      'another version',
      { analysisVersion: '0.0.1' },
      /"analysisVersion" is "0\.0\.1"; expected .*learn the reference again/,
    ],
    ['a scale of nothing', { scale: 0 }, /"scale" is 0; expected a number from 0\.001/],
    ['a scale in percent', { scale: 4.1 }, /"scale" is 4\.1; expected/],
    ['a scale as text', { scale: '0.04' }, /"scale" is "0\.04"; expected/],
    ['no number', { slopePerDb: null }, /"slopePerDb" is null; expected/],
    ['an unknown touch', { touch: 'elbow' }, /"touch" is "elbow"; expected finger, weight, bar or null/],
    ['too few notes', { notes: 4 }, /"notes" is 4; expected a whole number from 12/],
    ['sources that are none', { sources: 'a.wav' }, /"sources" is "a\.wav"; expected a list/],
    ['a share over 1', { baseRates: { ...rates, doubles: 2 } }, /"baseRates\.doubles" is 2; expected a share/],
    ['half the rates', { baseRates: { ...rates, quick: null } }, /"baseRates\.quick" is null; expected/],
  ])('refuses %s', (_, changed, words) => {
    expect(() => read(changed)).toThrow(words);
    if (!('analysisVersion' in changed)) expect(faultsOf({ ...full, ...changed })).not.toEqual([]);
  });

  it.each([
    ['no JSON', 'scale = 4', /^hand\.json: no JSON; expected a hand reference/],
    ['a list', '[]', /^hand\.json is a list; expected a hand reference/],
    ['nothing', 'null', /^hand\.json is null; expected/],
  ])('refuses %s', (_, text, words) => {
    expect(() => readReference(text, 'hand.json')).toThrow(words);
  });
});
