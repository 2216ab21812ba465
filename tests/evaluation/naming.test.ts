import { describe, expect, it } from 'vitest';
import { scoreKinds } from '../../src/evaluation/kinds.ts';
import { majorityName, scoreNames, type NamedNote } from '../../src/evaluation/naming.ts';

const note = (reference: number, estimate: number | null): NamedNote => ({
  reference,
  estimate,
  label: `${reference}`,
});

describe('scoreNames', () => {
  it('works out the hand example', () => {
    // Right; octave below in the middle; octave above in the bass; semitone; not named; two octaves off.
    const found = scoreNames([note(60, 60), note(60, 48), note(24, 36), note(61, 62), note(100, null), note(45, 69)]);
    expect([found.n, found.right, found.unnamed]).toEqual([6, 1, 1]);
    expect([found.octaveErrors, found.octaveErrorsInMiddle, found.semitoneErrors]).toEqual([3, 2, 1]);
    expect(found.share).toBeCloseTo(1 / 6, 12);
    expect(found.misses.map((miss) => miss.reference)).toEqual([60, 24, 61, 100, 45]);
  });

  it('refuses an empty list and frequencies', () => {
    expect(() => scoreNames([])).toThrow(/no notes/);
    expect(() => scoreNames([note(60, 261.6)])).toThrow(/estimate of 60 is 261\.6.*hertz/);
    expect(() => scoreNames([note(60.5, 60)])).toThrow(/reference of 60\.5/);
  });
});

describe('majorityName', () => {
  it.each([
    [[60, 60, 48], 60],
    [[60, 48], null],
    [[null, null, 60], null],
    [[null, 60, 60], 60],
    [[], null],
  ])('of %j is %j', (names, expected) => {
    expect(majorityName(names)).toBe(expected);
  });
});

describe('scoreKinds', () => {
  it('works out the hand example', () => {
    const found = scoreKinds(
      [
        { kind: 'sounded', timeSeconds: 1 },
        { kind: 'silent', timeSeconds: 2 },
        { kind: 'sounded', timeSeconds: 3 },
        { kind: 'double', timeSeconds: 3.08 },
      ],
      [
        { kind: 'sounded', timeSeconds: 1.001 },
        { kind: 'double', timeSeconds: 1.1 },
        { kind: 'sounded', timeSeconds: 2.001 },
        { kind: 'sounded', timeSeconds: 3.001 },
        { kind: 'double', timeSeconds: 3.081 },
      ],
      { sounded: 0.01, silent: 0.05, double: 0.01 },
    );
    expect([found.sounded.precision, found.sounded.recall]).toEqual([2 / 3, 1]);
    expect([found.silent.precision, found.silent.recall]).toEqual([null, 0]);
    expect([found.double.precision, found.double.recall]).toEqual([0.5, 1]);
  });

  it('takes a number for all kinds', () => {
    const list = [{ kind: 'silent', timeSeconds: 1 }] as const;
    expect(scoreKinds(list, list, 0).silent.fMeasure).toBe(1);
  });
});
