/** Checking kept things: what passes, what is refused and how it is named, migration. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check, checkPiece, MIGRATIONS, type Migrations } from '../../src/record/check.ts';
import { newAdjustment, newPiano, newRound, newVisit } from '../../src/record/newThings.ts';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { changed, fullThing, leavesOf, SHELVES, thingsOf } from './generated.ts';

const piano = newPiano({ id: 'p1', name: 'Rehearsal room' });
const visit = newVisit({ id: 'v1', pianoId: 'p1', startedAt: '2026-05-04T09:30:00.000Z' });
const refusalOf = (shelf: (typeof SHELVES)[number], value: unknown, migrations?: Migrations) =>
  check(shelf, value, migrations).refusal;

describe('what passes', () => {
  it.each(SHELVES)('%s: every generated thing, as it is and not as a copy', (shelf) => {
    fc.assert(
      fc.property(thingsOf(shelf), (thing) => {
        expect(check(shelf, thing)).toEqual({ thing, refusal: null });
        expect(check(shelf, thing).thing).toBe(thing);
      }),
      { numRuns: 50 },
    );
  });

  it('keeps fields that were added', () => {
    const more = { ...piano, tuner: { since: 1990 } };
    expect(check('pianos', more).thing).toEqual(more);
  });
});

describe('what is refused', () => {
  it.each(SHELVES)('%s: a thing that lacks any one field, or holds an object of a class in its place', (shelf) => {
    const whole = fullThing(shelf);
    const paths = leavesOf(whole);
    expect(paths.length).toBeGreaterThan(shelf === 'takes' ? 90 : 5);
    // Causes and counts come under keys of their own choice: one fewer is no damage.
    const fixed = paths.filter(
      (path) => !['absent', 'unused'].includes(path[path.length - 2]) && !/^\d+$/.test(path.at(-1)!),
    );
    for (const path of fixed) {
      const refusal = refusalOf(shelf, changed(whole, path, undefined));
      expect(refusal, path.join('.')).toMatchObject({ code: 'damaged', field: path.join('.'), found: 'missing' });
      expect(refusal?.message).toContain(`"${path.join('.')}" is missing; expected `);
    }
    for (const path of paths) {
      expect(refusalOf(shelf, changed(whole, path, new Map())), path.join('.')).not.toBeNull();
    }
  });

  it.each([
    [{ ...piano, kind: 'spinet' }, 'piano "Rehearsal room": "kind" is "spinet"; expected grand, upright'],
    [{ ...piano, name: '' }, 'piano "p1": "name" is ""; expected text that is not empty'],
    [
      { ...piano, lengthCm: '211' },
      'piano "Rehearsal room": "lengthCm" is "211"; expected a number from 30 to 1000, or null',
    ],
    [
      { ...piano, lengthCm: NaN },
      'piano "Rehearsal room": "lengthCm" is NaN; expected a number from 30 to 1000, or null',
    ],
    [{ ...piano, lowest: 21.5 }, 'piano "Rehearsal room": "lowest" is 21.5; expected a whole number from 0 to 127'],
    [{ ...piano, highest: 21 }, 'piano "Rehearsal room": "highest" is 21; expected a key above the lowest, 21'],
    [
      { ...piano, breaks: [40, 40] },
      'piano "Rehearsal room": "breaks.1" is 40; expected a key above 40, up to the highest, 108',
    ],
    [
      { ...piano, breaks: [40, '44'] },
      'piano "Rehearsal room": "breaks.1" is "44"; expected a whole number from 0 to 127',
    ],
    [
      { ...piano, highestDamper: 110 },
      'piano "Rehearsal room": "highestDamper" is 110; expected a key from 21 to 108, or null',
    ],
    [
      { ...piano, targets: { ...piano.targets, dip: Infinity } },
      'piano "Rehearsal room": "targets.dip" is Infinity; expected a number from -500 to 500, or null',
    ],
    [null, 'piano is null; expected an object'],
    [[piano], 'piano is a list; expected an object'],
    [
      { ...piano, recordVersion: '1' },
      `piano "Rehearsal room": "recordVersion" is "1"; expected a whole number up to ${RECORD_VERSION}`,
    ],
  ])('says what was found and what was expected: %#', (broken, message) => {
    expect(refusalOf('pianos', broken)?.message).toBe(message);
  });

  it.each(['yesterday', '2026-05-04', '2026-05-04T09:30:00+02:00', '2026-13-04T09:30:00Z', 1777887000000])(
    'a time that is %s',
    (startedAt) => {
      expect(refusalOf('visits', { ...visit, startedAt })?.message).toMatch(
        /^visit "v1": "startedAt" is .*; expected a time in UTC such as/,
      );
    },
  );

  it('a gap beyond the end of its take', () => {
    const take = { ...fullThing('takes'), frames: 1000, gaps: [{ frame: 900, frames: 101, kind: 'clock' }] };
    expect(refusalOf('takes', take)?.message).toMatch(
      /"gaps\.0" is 900 to 1001; expected frames up to the take's end, 1000$/,
    );
    expect(refusalOf('takes', { ...take, gaps: [{ frame: 900, frames: 100, kind: 'clock' }] })).toBeNull();
  });

  it('sound that is no sound of 16 bit', () => {
    const piece = { takeId: 't1', index: 0, samples: new Int16Array(4) };
    expect(checkPiece(piece).thing).toBe(piece);
    expect(checkPiece({ ...piece, samples: new Float32Array(4) }).refusal?.message).toBe(
      'stretch of sound: "samples" is an object; expected samples of 16 bit (Int16Array)',
    );
    expect(checkPiece({ ...piece, index: -1 }).refusal?.field).toBe('index');
  });
});

describe('versions', () => {
  it('refuses what a newer program made, by name, whatever else it holds', () => {
    const newer = { recordVersion: RECORD_VERSION + 1, name: 'Rehearsal room', quite: 'different' };
    const refusal = refusalOf('pianos', newer);
    expect(refusal).toMatchObject({ code: 'newer', remedy: 'Update this Evenfall; nothing of it was changed.' });
    expect(refusal?.message).toBe(
      `piano "Rehearsal room": made by a newer Evenfall (version ${RECORD_VERSION + 1} of the record; this one knows ${RECORD_VERSION})`,
    );
  });

  /** Two made-up versions before the first: -1 called the name `title`, 0 had no breaks. */
  const steps: Migrations = {
    [-1]: { pianos: ({ title, ...rest }) => ({ ...rest, name: title }) },
    0: { pianos: (old) => ({ ...old, breaks: [] }) },
    ...MIGRATIONS,
  };
  const { name, breaks, ...rest } = piano;

  it('brings older things up step by step, and leaves the old one as it was', () => {
    expect(breaks).toEqual([]);
    const oldest = { ...rest, recordVersion: -1, title: name };
    expect(check('pianos', oldest, steps).thing).toEqual(piano);
    expect(oldest).toEqual({ ...rest, recordVersion: -1, title: name });
    expect(check('pianos', { ...rest, recordVersion: 0, name }, steps).thing).toEqual(piano);
    expect(check('visits', { ...visit, recordVersion: 0 }, steps).thing).toEqual(visit);
  });

  it('brings the first version up: nothing is lost, and what is new is the plainest', () => {
    const first = (thing: object, ...added: readonly string[]) => ({
      ...Object.fromEntries(Object.entries(thing).filter(([field]) => !added.includes(field))),
      recordVersion: 1,
    });
    const [id, visitId, startedAt] = ['x1', 'v1', visit.startedAt];
    const round = newRound({ id, visitId, number: 1, startedAt });
    const turned = newAdjustment({ id, visitId, midi: 60, at: startedAt, afterRound: 1, what: 'lever' });
    expect(check('pianos', first(piano, 'order')).thing).toEqual(piano);
    expect(check('visits', first(visit, 'readiness', 'newParts')).thing).toEqual(visit);
    expect(check('rounds', first(round, 'setting')).thing).toEqual(round);
    expect(check('adjustments', first(turned, 'undone')).thing).toEqual(turned);
  });

  it('checks what came out', () => {
    expect(refusalOf('pianos', { ...rest, recordVersion: -1, title: 7 }, steps)?.message).toBe(
      'piano "p1": "name" is 7; expected text that is not empty',
    );
  });

  it('refuses what no step starts from, and what a step cannot do', () => {
    expect(refusalOf('pianos', { ...piano, recordVersion: 0 })?.message).toBe(
      'piano "Rehearsal room": "recordVersion" is 0; expected a version that this Evenfall can still read',
    );
    const failing: Migrations = {
      0: {
        pianos: () => {
          throw new Error('no strings');
        },
      },
    };
    expect(refusalOf('pianos', { ...piano, recordVersion: 0 }, failing)?.message).toMatch(
      /from version 0 to 1 \(no strings\)/,
    );
  });
});
