/** The worklist's operations: both orders, what stands before what, which note stands where, and the words of a turn. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sayLook, looksFor } from '../../src/piano/looks.ts';
import {
  disturbedWords,
  groupedByOperation,
  operationFor,
  operationOf,
  OPERATIONS,
  operationsIn,
  setBefore,
  setBeforeWords,
  TURN,
  TURNS,
  turnWords,
} from '../../src/piano/operations.ts';
import { ACTION, PARTS } from '../../src/piano/regulation.ts';
import { SYMPTOMS } from '../../src/piano/symptoms.ts';

const ORDERS = ['blow-first', 'dip-first'] as const;

describe('the orders', () => {
  it('hold every operation once; dip first moves dip and aftertouch before the blow, and nothing else', () => {
    for (const order of ORDERS) expect([...operationsIn(order)].sort()).toEqual([...OPERATIONS].sort());
    const dipFirst = operationsIn('dip-first');
    expect(dipFirst.indexOf('dip')).toBe(dipFirst.indexOf('blow') - 1);
    const others = (order: (typeof ORDERS)[number]) => operationsIn(order).filter((one) => one !== 'dip');
    expect(others('dip-first')).toEqual(others('blow-first'));
  });

  it.each(ORDERS)('%s: what is to be set before stands before', (order) => {
    const list = operationsIn(order);
    for (const operation of list) {
      for (const before of setBefore(operation, order)) {
        expect(list.indexOf(before), `${before} before ${operation}`).toBeLessThan(list.indexOf(operation));
      }
    }
    expect(list.filter((operation) => setBefore(operation, order).length === 0)).toEqual(['looks', 'key']);
  });

  it('say what is set before', () => {
    expect(setBeforeWords('springs-rough', 'blow-first')).toBe('set before: jack, lever');
    expect(setBeforeWords('blow', 'dip-first')).toBe('set before: dip');
    expect(setBeforeWords('looks', 'blow-first')).toBeNull();
  });
});

describe('where a note stands', () => {
  it('every part but the hand has an operation, and every operation a part', () => {
    const reached = new Set([...PARTS.map((part) => operationOf(part)), operationOf('spring', true)]);
    expect(reached.has(null)).toBe(true);
    for (const operation of OPERATIONS) expect(reached).toContain(operation);
    expect(PARTS.filter((part) => operationOf(part) === null)).toEqual(['hand']);
  });

  it.each(SYMPTOMS)('%s: under its first look that is not the hand', (symptom) => {
    const { looks } = looksFor([symptom]);
    // A lone miss is looked for in the hand alone.
    const first = looks.find(({ check }) => check.part !== 'hand')?.check;
    expect(operationFor(looks.map(sayLook))).toBe(first ? operationOf(first.part, first.fine) : 'looks');
    expect(first === undefined).toBe(symptom === 'lone-miss');
  });

  it('under looks where there is nothing to look at but the hand', () => {
    expect(operationFor([])).toBe('looks');
    expect(operationFor(['Play it again, slowly and then fast, and look whether the same shows.'])).toBe('looks');
  });

  it('groups hold every note once, from bass to treble', () => {
    const note = fc.record({ midi: fc.integer({ min: 21, max: 108 }), operation: fc.constantFrom(...OPERATIONS) });
    fc.assert(
      fc.property(fc.array(note), fc.constantFrom(...ORDERS), (notes, order) => {
        const groups = groupedByOperation(notes, order);
        expect(groups.map(({ operation }) => operation)).toEqual(operationsIn(order));
        expect(groups.flatMap((group) => group.notes)).toHaveLength(notes.length);
        for (const { operation, notes: own } of groups) {
          expect(own.every((one) => one.operation === operation)).toBe(true);
          expect(own.map(({ midi }) => midi)).toEqual(own.map(({ midi }) => midi).sort((a, b) => a - b));
        }
      }),
    );
  });
});

describe('what was turned, in words', () => {
  it.each([
    [turnWords('lever', 'down', 1, null), 'lever down, an eighth'],
    [turnWords('lever', 'up', 11, null), 'lever up, a turn and three eighths'],
    [turnWords('let-off', 'further', 16, null), 'let-off further, 2 turns'],
    [turnWords('centre', 'lever centre eased', null, null), 'lever centre eased'],
    [turnWords('line', 'up', null, '3 mm'), 'line up 3 mm'],
    [turnWords('spring', 'stronger', 4, '3 mm'), 'spring stronger'],
    [turnWords('jack', null, null, null), 'jack adjusted'],
    [turnWords('other', 'knuckle eased', null, null), 'knuckle eased'],
  ])('%s', (words, expected) => {
    expect(words).toBe(expected);
  });

  it('names what a turn disturbs, and nothing where nothing is', () => {
    expect(disturbedWords('lever', 59)).toBe(
      `You moved the lever on B3. Look again at its ${ACTION.lever.disturbs
        .map((part) => ACTION[part].short)
        .join(', ')
        .replace(/, (?=[^,]*$)/, ' and ')}.`,
    );
    expect(disturbedWords('other', 59)).toBeNull();
    for (const what of TURNS)
      if (TURN[what].part) expect(disturbedWords(what, 60)).toMatch(/ on C4\. Look again at its /);
  });
});
