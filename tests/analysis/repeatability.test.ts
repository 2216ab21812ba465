/** Studies of made takes: what went in comes out, the schema, refusals by name. */

import { describe, expect, it } from 'vitest';
import { studyTakes } from '../../src/analysis/repeatability.ts';
import { STUDY_MEASURES, STUDY_UNITS } from '../../src/steadiness/repeatability.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound } from './madeRound.ts';
import { faultsBy, withoutEachField } from './schemas.ts';

const faultsOf = faultsBy('repeatability');
const random = new RandomStream(4, 'takes');
/** What the notes themselves differ by, ln travel time. */
const own = new Map(KEYS.map((midi) => [midi, random.normal(0, 0.05)]));
const take = (file: string, midis = KEYS, silent = 0) =>
  madeRound(
    random,
    midis.map((midi) => ({ midi, silent, shift: own.get(midi) })),
    { file },
  );

describe('a study of three takes', () => {
  const study = studyTakes([take('1.wav'), take('2.wav'), take('3.wav', KEYS.slice(1), 0.2)]);
  const of = (kind: string) => study.measures.find((measure) => measure.kind === kind)!;

  it('keeps to its schema, and lacks nothing', () => {
    expect(faultsOf(JSON.parse(JSON.stringify(study)))).toEqual([]);
    const broken = withoutEachField(study);
    expect(broken.length).toBeGreaterThan(20);
    expect(broken.filter((each) => faultsOf(each.broken).length === 0).map(({ field }) => field)).toEqual([]);
    const [measure] = study.measures;
    for (const kind of STUDY_MEASURES) expect(faultsOf({ ...study, measures: [{ ...measure, kind }] })).toEqual([]);
    for (const unit of STUDY_UNITS) expect(faultsOf({ ...study, measures: [{ ...measure, unit }] })).toEqual([]);
    expect(faultsOf({ ...study, measures: [{ ...measure, kind: 'odd' }] })).not.toEqual([]);
  });

  it('finds what was put in', () => {
    // Eight strokes that stray by 4 %: their centre by 4/√8, a little more for being bounded.
    const { repeatability, betweenNotes, betweenTakes } = of('travel-at-level');
    expect(repeatability.value).toBeGreaterThan(1);
    expect(repeatability.value).toBeLessThan(2.2);
    expect(betweenNotes).toBeGreaterThan(3);
    expect(betweenNotes).toBeLessThan(8);
    expect(betweenTakes).toBeLessThan(1.2);
    // The logarithm of a spread of eight values strays by about 1/√(2·7).
    expect(of('travel-spread').repeatability.value).toBeGreaterThan(0.17);
    expect(of('travel-spread').repeatability.value).toBeLessThan(0.4);
    expect(of('failed-repeats').repeatability.value).toBeGreaterThan(0.02);
    expect(study.measures.map(({ kind }) => kind)).toEqual(STUDY_MEASURES);
  });

  it('names the note that misses a take', () => {
    expect(study.leftOut).toEqual([{ midi: 40, name: 'E2' }]);
    expect(study.notes.map(({ midi }) => midi)).toEqual(KEYS.slice(1));
    expect(of('level').notes).toEqual(KEYS.slice(1));
  });
});

describe('refused by name', () => {
  it.each([
    ['one take', () => studyTakes([take('1.wav')]), /^1 take; expected at least 2/],
    [
      'too few notes',
      () => studyTakes([take('1.wav', KEYS.slice(0, 4)), take('2.wav')]),
      /^4 notes measured in all 2 takes, of 14 heard; expected at least 5/,
    ],
    [
      'another version',
      () => studyTakes([take('1.wav'), { ...take('2.wav'), analysisVersion: '0.0.1' }]),
      /^2\.wav: analysis version 0\.0\.1/,
    ],
  ])('%s', (_, study, words) => {
    expect(study).toThrow(words);
  });
});
