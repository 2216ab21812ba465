/**
 * What is said of the action: complete, in an order that does not contradict itself, its values within those published.
 *
 * Published ranges, millimetres. Dip: makers' sheets 9.5 to 11 (Brekne, pianotech list, October 2002). Blow: 44 to 48 of
 * two makers (the same), 44 to 49 met in one maker's shop (mmdigest). Let-off: 1.5 plain wire to 2.5 in the bass (pianotech
 * list attachment); an older rule has 1/16 to 1/8 inch (a maker's service manual, p. 7). Drop: about 1/16 inch below let-off
 * (the same). Lever: jack top a paper's thickness, about 0.2, below the window (londonpianotuning, part X).
 */

import { describe, expect, it } from 'vitest';
import { ACTION, PARTS, WORKING_ORDER, companyOf, usualValue, type Part } from '../../src/piano/regulation.ts';
import { CAUTIONS, cautionsFor } from '../../src/piano/cautions.ts';
import { GRADES } from '../../src/piano/grades.ts';
import { CHECKS, OF_REPEATS, SYMPTOMS } from '../../src/piano/symptoms.ts';

const INCH = 25.4;
const PUBLISHED: Readonly<Partial<Record<Part, readonly [number, number]>>> = {
  dip: [9.5, 11],
  blow: [44, 49],
  'let-off': [1.5, INCH / 8],
  drop: [INCH / 16 - 0.1, INCH / 16 + 0.1],
  lever: [0.15, 0.25],
};

describe('the action', () => {
  it('has values within those published, each with its source, and none else', () => {
    for (const part of PARTS) {
      const { published } = ACTION[part];
      expect(published !== null, part).toBe(part in PUBLISHED);
      if (published === null) continue;
      const [low, high] = PUBLISHED[part]!;
      expect(published.low).toBeGreaterThanOrEqual(low);
      expect(published.high).toBeLessThanOrEqual(high);
      expect(published.low).toBeLessThanOrEqual(published.high);
      expect(published.source.length).toBeGreaterThan(10);
      expect(usualValue(part)).toMatch(/^Maker\u2019s specification first/);
    }
  });

  it('sets nothing before what it needs', () => {
    expect([...WORKING_ORDER].sort()).toEqual(PARTS.filter((part) => part !== 'hand').sort());
    const place = (part: Part) => WORKING_ORDER.indexOf(part);
    // Springs are set roughly with the lever and finely at the end: the drop needs the first.
    for (const part of WORKING_ORDER) {
      for (const before of ACTION[part].after.filter((other) => other !== 'spring')) {
        expect(place(before), `${before} before ${part}`).toBeLessThan(place(part));
      }
    }
    expect(ACTION.drop.after).toEqual(['let-off', 'spring']);
    expect(ACTION.spring.after).toContain('check');
    expect(ACTION.lever.after).toContain('jack');
    expect(ACTION.blow.disturbs).toEqual(expect.arrayContaining(['let-off', 'drop']));
    expect(companyOf('drop')).toBe('Set first: let-off, spring; then: drop. After that, look again at: aftertouch.');
    expect(companyOf('key')).toBe(
      'Set first: key frame; then: key. After that, look again at: dip, check, damper start.',
    );
    expect(companyOf('hand')).toBeNull();
  });

  it('warns of keys pressed while the action slides, its weight and the strings', () => {
    const texts = cautionsFor(['hand', 'spring'], true).map(({ text }) => text);
    expect(texts[0]).toMatch(/stop playing/);
    expect(texts.join(' ')).toMatch(/specification.*Never touch a key while the action slides.*two people.*tension/s);
    expect(cautionsFor(['let-off'], false)).not.toContain(CAUTIONS.slide);
    expect(cautionsFor([], false)).toEqual([CAUTIONS.specification]);
  });
});

describe('what to look at', () => {
  const every = SYMPTOMS.flatMap((symptom) => CHECKS[symptom].map((check) => ({ symptom, ...check })));

  it('is there for each symptom, with its grade and source', () => {
    for (const symptom of SYMPTOMS) expect(CHECKS[symptom].length, symptom).toBeGreaterThan(0);
    for (const { look, grade, source, part } of every) {
      expect(look).toMatch(/^[A-Z].*[.?]$/);
      expect(GRADES).toContain(grade);
      expect(PARTS).toContain(part);
      expect(source === 'no source').toBe(grade === 'common practice');
    }
  });

  it('is never said to be the cause', () => {
    for (const { symptom, why } of every) {
      expect(why, symptom).toMatch(/\b(may|fails on a sound action|on a sound action too)\b/);
      expect(why).not.toMatch(/\b(is caused|the cause|because of|certainly|must be)\b/i);
    }
  });

  it('does not ask fast repeats about the dip, a strong spring or a tight centre', () => {
    for (const symptom of OF_REPEATS) {
      const parts = CHECKS[symptom].map(({ part }) => part);
      expect(parts).not.toContain('dip');
      if (symptom !== 'silent-repeats-and-gentle') expect(parts).not.toContain('centre');
      expect(CHECKS[symptom].map(({ why }) => why).join(' ')).not.toMatch(/too strong/);
    }
  });

  it('has the hand first where the hand is as likely', () => {
    for (const symptom of ['lone-miss', 'every-second-repeat', 'early', 'late', 'uneven'] as const) {
      expect(CHECKS[symptom][0].part).toBe('hand');
    }
    expect(CHECKS['every-second-repeat'][0].look).toMatch(/one finger/);
  });

  it('follows the model: spring, lever or checking, hanging hammer', () => {
    const first = (symptom: keyof typeof CHECKS) => CHECKS[symptom].find(({ part }) => part !== 'hand')!.part;
    expect(first('silent-repeats')).toBe('spring');
    expect(first('silent-repeats-and-gentle')).toBe('centre');
    expect(first('fails-when-faster')).toBe('check');
    expect(first('fails-though-let-up')).toBe('check');
    expect(first('wanders-widely')).toBe('centre');
    expect(CHECKS['wanders-widely'].map(({ part }) => part)).not.toContain('lever');
    expect(CHECKS['double-when-soft'].map(({ part }) => part).sort()).toEqual(['let-off', 'spring']);
    expect(CHECKS['double-when-firm'].map(({ part }) => part)).toEqual(['check']);
    // The jack is looked at before the lever's height.
    for (const symptom of ['weak-repeats', 'weak-until-let-up', 'weak-when-hard'] as const) {
      const parts = CHECKS[symptom].map(({ part }) => part);
      expect(parts.indexOf('jack')).toBeGreaterThanOrEqual(0);
      expect(parts.indexOf('jack')).toBeLessThan(parts.indexOf('lever'));
    }
    expect(CHECKS.early.map(({ part }) => part)).toEqual(['hand', 'blow', 'lever', 'let-off']);
  });
});
