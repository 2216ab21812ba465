/** What is typed into forms, read: lengths in either unit, keys, pianos, visits. What cannot be is told, and loses nothing else. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  lengthShown,
  numberIn,
  readKey,
  readKeptLength,
  readKeys,
  readLength,
  readTemperature,
} from '../../src/app/fields/readFields.ts';
import { pianoDraft, readPiano, type PianoDraft } from '../../src/app/piano/pianoForm.ts';
import { NO_FACTS, readinessWords, readVisit, visitDraft, type VisitDraft } from '../../src/app/visit/visitForm.ts';
import { MEASURED, MEASURED_LENGTHS, unusualLength } from '../../src/piano/measuredLengths.ts';
import { check } from '../../src/record/check.ts';
import { newPiano, newVisit } from '../../src/record/newThings.ts';
import { GAUGE_KINDS } from '../../src/record/types.ts';

describe('a length as it is typed', () => {
  // Sixteenths and eighths of an inch in millimetres as tables of the trade have them (FACTS 7A: CALC).
  it.each([
    ['0.390', 9.906],
    ['1 3/4', 44.45],
    ['1 7/8', 47.625],
    ['1-7/8', 47.625],
    ['1\u00be', 44.45],
    ['1/16', 1.5875],
    ['1/8', 3.175],
    ['\u215b', 3.175],
    ['44 mm', 44],
    ['.5', 12.7],
    ['2 in', 50.8],
    ['1 3/4"', 44.45],
  ])('in inches: %s', (text, millimetres) => {
    expect(readLength(text, 'inch', 0, 100)).toEqual({ value: millimetres, fault: null });
  });

  it.each([
    ['10.2', 10.2],
    ['10,2', 10.2],
    [' 10 ', 10],
    ['1 3/4 in', 44.45],
    ['10 1/2', 10.5],
    ['0', 0],
  ])('in millimetres: %s', (text, millimetres) => {
    expect(readLength(text, 'mm', 0, 100)).toEqual({ value: millimetres, fault: null });
  });

  it.each(['ten', '1/0', '1.5 1/2', '1 2 3', '10..2', '--1', '/16', '1/', '1e3', '10 cm'])('is refused: %s', (text) => {
    const { value, fault } = readLength(text, 'mm', 0, 100);
    expect(value).toBeNull();
    expect(fault).toBe(`Found \u201c${text}\u201d; expected a length in millimetres such as 10.2.`);
  });

  it('is refused where it cannot be, with what can, in the unit that is set', () => {
    expect(readLength('440', 'mm', 10, 100).fault).toBe('Found 440 mm; expected 10 to 100 mm.');
    expect(readLength('-1', 'mm', 0, 20).fault).toBe('Found -1 mm; expected 0 to 20 mm.');
    expect(readLength('1.75', 'mm', 10, 100).fault).toBe(
      'Found 1.75 mm; expected 10 to 100 mm. If inches were meant, write \u201c1.75 in\u201d.',
    );
    expect(readLength('46', 'inch', 10, 100).fault).toBe(
      'Found 46 in; expected 0.39 to 3.94 in. If millimetres were meant, write \u201c46 mm\u201d.',
    );
  });

  it('an empty one is none', () => {
    expect(readLength('  ', 'inch', 10, 100)).toEqual({ value: null, fault: null });
    expect(lengthShown(null, 'inch')).toBe('');
  });

  it.each([
    [44.45, '1 3/4'],
    [1.5875, '1/16'],
    [50.8, '2'],
    [10.2, '0.402'],
  ])('%d mm is shown in inches as %s', (length, shown) => expect(lengthShown(length, 'inch')).toBe(shown));

  it('stays what it was while its field is left alone, in either unit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), fc.constantFrom('mm', 'inch'), (length, unit) => {
        const shown = lengthShown(length, unit);
        expect(readKeptLength(shown, length, unit, 0, 100)).toEqual({ value: length, fault: null });
        // And what is shown is near it: half a step of its last figure.
        expect(readLength(shown, unit, 0, 101).value).toBeCloseTo(length, unit === 'mm' ? 1 : 0.9);
      }),
    );
  });

  it('every fraction down to sixty-fourths comes back as it was typed', () => {
    fc.assert(
      fc.property(fc.nat(5), fc.integer({ min: 1, max: 63 }), (whole, over) => {
        const length = readLength(`${whole} ${over}/64`, 'inch', 0, 200).value!;
        const shown = lengthShown(length, 'inch');
        expect(shown).toMatch(/\//);
        expect(numberIn(shown)).toBeCloseTo(whole + over / 64, 12);
      }),
    );
  });
});

describe('usual lengths', () => {
  it('are of the six kinds of the record, and lie within what can be', () => {
    expect([...MEASURED].sort()).toEqual([...GAUGE_KINDS].sort());
    for (const kind of MEASURED) {
      const { least, most } = MEASURED_LENGTHS[kind];
      expect(least).toBeLessThan(most);
      for (const piano of ['grand', 'upright'] as const) {
        const inside = fc.sample(fc.double({ min: least, max: most, noNaN: true }), { numRuns: 2000, seed: 7 });
        // Something that can be is usual, or nobody says what is.
        expect(inside.some((length) => unusualLength(kind, length, piano) === null)).toBe(true);
      }
    }
  });

  it.each([
    ['dip', 10, null],
    ['dip', 12, '9.5 to 11 mm'],
    ['blow', 47, null],
    ['blow', 52, '42 to 49 mm'],
    ['let-off', 0.8, '1 to 3.2 mm'],
    ['drop', 1.5, null],
    ['drop', 4, '1.5 to 1.6 mm'],
    ['check', 25, 'about 15 mm'],
    ['aftertouch', 9, null],
  ] as const)('of a grand, %s of %d mm', (kind, length, published) => {
    const words = unusualLength(kind, length, 'grand');
    expect(words).toBe(published && `Unusual: published texts have ${published}. It is kept all the same.`);
  });

  it('of an upright are others', () => {
    expect(unusualLength('blow', 40, 'upright')).toBeNull();
    expect(unusualLength('blow', 55, 'upright')).toContain('38 to 50 mm');
    expect(unusualLength('dip', 24, 'upright')).toBeNull();
  });
});

describe('names of keys', () => {
  it('are read in lists, as they are typed or printed', () => {
    expect(readKeys('E2, B3;f#5 Bb6')).toEqual({ value: [40, 59, 78, 94], fault: null });
    expect(readKeys('F\u266f5, B\u266d6')).toEqual({ value: [78, 94], fault: null });
    expect(readKeys('')).toEqual({ value: [], fault: null });
    expect(readKeys('E2, H3').fault).toBe(
      'Found \u201cH3\u201d; expected names of keys from A0 to C8, such as E2, B3 or F#5.',
    );
    expect(readKey('E2 B3').fault).toBe('Found \u201cE2 B3\u201d; expected the name of one key.');
    expect(readKey('')).toEqual({ value: null, fault: null });
  });
});

const kept = newPiano({
  ...{
    id: 'p',
    name: 'Aldervane 274',
    place: 'Quillwater Hall',
    lengthCm: 274,
    breaks: [47, 71, 91],
    highestDamper: 89,
  },
  targets: { dip: 10.2, blow: 46, 'let-off': 1.5, drop: null, aftertouch: null, check: 15 },
});
const draft = pianoDraft(kept, 'mm');
const read = (change: Partial<PianoDraft>) => readPiano({ ...draft, ...change }, kept, 'mm');

describe('a piano', () => {
  it('left alone stays as it is, in either unit', () => {
    for (const unit of ['mm', 'inch'] as const) {
      expect(readPiano(pianoDraft(kept, unit), kept, unit)).toEqual({ piano: kept, faults: {}, unusual: {} });
    }
  });

  it('takes what is typed', () => {
    const { piano, faults } = read({
      ...{
        name: ' Small grand ',
        place: '',
        lengthCm: '158',
        compass: '85',
        breaks: 'E2, B3, F5',
        highestDamper: 'F6',
      },
      ...{ dip: '9,8', blow: '1 3/4 in', 'let-off': '', order: 'dip-first', kind: 'upright' },
    });
    expect(faults).toEqual({});
    expect(piano).toEqual({
      ...kept,
      ...{ name: 'Small grand', place: null, lengthCm: 158, highest: 105, breaks: [40, 59, 77], highestDamper: 89 },
      ...{ order: 'dip-first', kind: 'upright' },
      targets: { ...kept.targets, dip: 9.8, blow: 44.45, 'let-off': null },
    });
  });

  it('keeps all that can be read beside fields that cannot', () => {
    const { piano, faults } = read({
      name: '',
      lengthCm: 'long',
      dip: 'deep',
      blow: '45',
      breaks: 'E2, X9',
      place: 'Studio',
    });
    expect(Object.keys(faults).sort()).toEqual(['breaks', 'dip', 'lengthCm', 'name']);
    expect(piano).toEqual({ ...kept, place: 'Studio', targets: { ...kept.targets, blow: 45 } });
    expect(faults.lengthCm).toBe('Found \u201clong\u201d; expected a length in cm, 50 to 500.');
  });

  it('says what is unusual and keeps it', () => {
    const { piano, faults, unusual } = read({ blow: '55', lengthCm: '90' });
    expect(faults).toEqual({});
    expect(piano).toMatchObject({ lengthCm: 90, targets: { blow: 55 } });
    expect(unusual).toEqual({
      blow: 'Unusual: published texts have 42 to 49 mm. It is kept all the same.',
      lengthCm: 'Unusual: most are 130 to 310 cm. It is kept all the same.',
    });
    expect(readPiano({ ...pianoDraft(kept, 'inch'), blow: '2 1/4' }, kept, 'inch').unusual.blow).toBe(
      'Unusual: published texts have 1.65 to 1.93 in. It is kept all the same.',
    );
  });

  it('holds its keys together: breaks and damper within the compass, its ends the right way round', () => {
    const other = { compass: 'other', lowest: 'C1', highest: 'C7' } as const;
    expect(read(other).piano).toMatchObject({ lowest: 24, highest: 96, breaks: [47, 71, 91] });
    expect(read({ ...other, highest: 'C5' }).faults).toEqual({
      breaks: 'Found G6; expected keys above C1 and up to C5: the first key of each section but the lowest.',
      highestDamper: 'Found F6; expected a key of this piano, C1 to C5.',
    });
    expect(read({ ...other, lowest: 'C7', highest: 'C1' }).faults.highest).toBe(
      'Found C1; expected a key above the lowest, C7.',
    );
    expect(read({ ...other, lowest: '' }).faults.lowest).toMatch(/^Found nothing; expected/);
    expect(read({ breaks: 'B3, E2, B3' }).piano.breaks).toEqual([40, 59]);
  });

  it('can always be kept, whatever is typed', () => {
    const texts = fc.constantFrom('', 'x', '0', '999', '10', '45', 'E2', 'B3, A1', 'C8', 'A0', '-5', '1/16', '1e9');
    const drafts = fc.record({
      ...Object.fromEntries(
        [...MEASURED, 'name', 'lengthCm', 'lowest', 'highest', 'breaks', 'highestDamper'].map((f) => [f, texts]),
      ),
      compass: fc.constantFrom('88', '85', 'other'),
      kind: fc.constantFrom('grand', 'upright'),
    });
    fc.assert(
      fc.property(drafts, fc.constantFrom('mm', 'inch'), (typed, unit) => {
        const { piano } = readPiano({ ...draft, ...(typed as Partial<PianoDraft>) }, kept, unit);
        expect(check('pianos', piano).refusal).toBeNull();
      }),
      { numRuns: 500, seed: 3 },
    );
  });
});

const visit = newVisit({ id: 'v', pianoId: 'p', startedAt: '2026-05-04T09:00:00.000Z', temperatureC: 21, lid: 'open' });
const readIn = (change: Partial<VisitDraft>) => readVisit({ ...visitDraft(visit), ...change }, visit);

describe('a visit', () => {
  it('left alone stays as it is', () => {
    expect(readIn({})).toEqual({ visit, faults: {}, unusual: {} });
    expect(visitDraft(NO_FACTS)).toMatchObject({ temperature: '', lid: null, readiness: {} });
  });

  it('takes what is typed, Fahrenheit too', () => {
    const { visit: made, faults } = readIn({
      ...{
        temperature: '70 F',
        humidity: '46 %',
        lid: null,
        player: ' the owner ',
        newParts: 'hammers',
        notes: 'cold stage',
      },
      readiness: { hammers: 'open', screws: 'put-right' },
    });
    expect(faults).toEqual({});
    expect(made).toMatchObject({
      ...{
        temperatureC: 21.1,
        humidityPercent: 46,
        lid: null,
        player: 'the owner',
        newParts: 'hammers',
        notes: 'cold stage',
      },
      readiness: [
        { item: 'screws', state: 'put-right' },
        { item: 'hammers', state: 'open' },
      ],
    });
    expect(check('visits', made).refusal).toBeNull();
  });

  it('keeps all that can be read beside fields that cannot', () => {
    const { visit: made, faults } = readIn({ temperature: 'warm', humidity: '120', player: 'A' });
    expect(made).toEqual({ ...visit, player: 'A' });
    expect(faults).toEqual({
      temperature:
        'Found \u201cwarm\u201d; expected a room temperature in \u00b0C, -30 to 60, or with an F in Fahrenheit.',
      humidity: 'Found 120; expected a relative humidity in per cent, 0 to 100.',
    });
    expect(readTemperature('200', -30, 60).fault).toMatch(/^Found 200 \u00b0C/);
    expect(readIn({ temperature: '3', humidity: '15' }).unusual).toHaveProperty('humidity');
  });

  it('says how far the readiness list is, and keeps items that this list does not have', () => {
    expect(readinessWords({ readiness: {} })).toBe('not looked at yet');
    expect(readinessWords({ readiness: { screws: 'in-order', hammers: 'put-right' } })).toBe(
      '2 of 5 in order or put right',
    );
    expect(readinessWords({ readiness: { screws: 'open' } })).toBe('0 of 5 in order or put right, 1 open');
    const later = { ...visit, readiness: [{ item: 'pedals', state: 'open' as const }] };
    expect(readVisit(visitDraft(later), later).visit.readiness).toEqual(later.readiness);
  });
});
