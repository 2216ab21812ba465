/**
 * What is said of the action: complete, in an order that does not contradict itself, its values within those published.
 *
 * Published ranges, millimetres. Dip: makers' sheets 9.5 to 11 (Brekne, pianotech list, October 2002). Blow: 44 to 48 of
 * two makers (the same), 44 to 49 met in one maker's shop (mmdigest). Let-off: 1.5 plain wire to 2.5 in the bass (pianotech
 * list attachment); an older rule has 1/16 to 1/8 inch (a maker's service manual, p. 7). Drop: about 1/16 inch below let-off
 * (the same). Lever: jack top a paper's thickness, about 0.2, below the window (londonpianotuning, part X).
 */

import { describe, expect, it } from 'vitest';
import {
  ACTION,
  PARTS,
  WAYS_OUT,
  WORKING_ORDER,
  companyOf,
  usualValue,
  type Part,
} from '../../src/piano/regulation.ts';
import { CAUTIONS, CAUTION_SPOTS, cautionsAt, cautionsFor } from '../../src/piano/cautions.ts';
import { EVIDENCE, MARKS, type Mark } from '../../src/piano/evidence.ts';
import { GRADES, NO_SOURCE, PLACES } from '../../src/piano/grades.ts';
import { SECTION_LOOKS, lookSaid, looksFor, orderSaid, sayLook } from '../../src/piano/looks.ts';
import { READINESS } from '../../src/piano/readiness.ts';
import { USUAL_BREAKS } from '../../src/piano/sections.ts';
import { troubledSections } from '../../src/piano/troubledSections.ts';
import { CHECKS, OF_REPEATS, SYMPTOMS, type Symptom } from '../../src/piano/symptoms.ts';

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

  it('comes in the order: the hand, then as easy to see', () => {
    const rank = ({ part, where }: (typeof every)[number]) => (part === 'hand' ? -1 : PLACES.indexOf(where));
    for (const symptom of SYMPTOMS) {
      const ranks = every.filter((one) => one.symptom === symptom).map(rank);
      expect(ranks, symptom).toEqual([...ranks].sort((a, b) => a - b));
      // A jammed note is not played again.
      expect(ranks[0] === -1, symptom).toBe(symptom !== 'jammed');
    }
  });

  it('follows what was heard: spring, lever or checking, hanging hammer', () => {
    const parts = (symptom: Symptom, marks: readonly Mark[] = []) =>
      looksFor([symptom], marks).looks.flatMap(({ check: { part } }) => (part === 'hand' ? [] : [part]));
    expect(parts('silent-repeats')[0]).toBe('spring');
    expect(parts('silent-repeats-and-gentle')[0]).toBe('centre');
    expect(parts('weak-repeats').slice(0, 2)).toEqual(['lever', 'check']);
    expect(parts('weak-repeats', ['fails-half-returned-only']).at(-1)).toBe('check');
    expect(parts('fails-when-faster')[0]).toBe('check');
    expect(parts('fails-though-let-up')[0]).toBe('check');
    expect(parts('wanders-widely')[0]).toBe('centre');
    expect(parts('wanders-widely')).not.toContain('lever');
    expect(parts('double-when-soft').slice(0, 2)).toEqual(['let-off', 'spring']);
    expect(parts('double-when-firm')[0]).toBe('check');
    for (const symptom of ['early', 'late'] as const) {
      expect(parts(symptom)).not.toContain('let-off');
      expect(parts(symptom, ['shift-grows-softer']).slice(0, 2)).toEqual(['let-off', 'drop']);
      expect(parts(symptom, ['shift-equal']).slice(0, 2)).toEqual(['blow', 'lever']);
    }
  });

  it('says what ordered it, and gives each look that was moved its reason', () => {
    expect(looksFor(['early'])).toMatchObject({ orderedBy: 'easiest-to-see' });
    expect(looksFor([])).toEqual({ looks: [], orderedBy: 'easiest-to-see' });
    expect(looksFor(['jammed', 'silent-repeats']).looks.map(({ check }) => check)).toEqual(CHECKS.jammed);
    for (const mark of MARKS) {
      const { of, first, reason, grade, source } = EVIDENCE[mark];
      expect(reason, mark).toMatch(/\bmay\b.*\.$/);
      expect(source === NO_SOURCE, mark).toBe(grade === 'common practice');
      for (const symptom of of) {
        const { looks, orderedBy } = looksFor([symptom], [mark]);
        expect(orderedBy, mark).toBe('evidence');
        expect(
          looks.some(({ check, reason: why }) => first.includes(check.part) && why !== null),
          mark,
        ).toBe(true);
        // Nothing is taken away.
        const there = looks.map(({ check }) => check.look);
        for (const { look } of CHECKS[symptom]) expect(there).toContain(look);
      }
    }
  });

  it('is found again from its own sentence', () => {
    for (const symptom of SYMPTOMS) {
      for (const look of looksFor([symptom], MARKS).looks) expect(lookSaid(sayLook(look))).toEqual(look.check);
    }
    expect(lookSaid('Play it again, slowly and then fast.')).toBeNull();
  });

  it('says by what it was ordered, from the words alone', () => {
    const orders = new Set<string>();
    for (const symptom of SYMPTOMS) {
      for (const marks of [[], MARKS]) {
        const { looks, orderedBy } = looksFor([symptom], marks);
        expect(orderSaid(looks.map(sayLook))).toBe(orderedBy);
        orders.add(orderedBy);
      }
    }
    expect(orders.size).toBe(2);
    expect(orderSaid(['Play it again, slowly and then fast.'])).toBe('easiest-to-see');
  });
});

describe('parts, cautions and readiness', () => {
  const graded = [...Object.values(ACTION), ...Object.values(CAUTIONS), ...Object.values(READINESS), ...WAYS_OUT];

  it('name a source, or common practice exactly where there is none', () => {
    for (const { grade, source } of graded) {
      expect(source.length).toBeGreaterThan(0);
      expect(source === NO_SOURCE).toBe(grade === 'common practice');
    }
  });

  it('say what each adjustment disturbs, where and with what it is done', () => {
    for (const part of PARTS) {
      if (part !== 'hand') expect(ACTION[part].disturbs.length, part).toBeGreaterThan(0);
      expect(PLACES).toContain(ACTION[part].where);
      expect(ACTION[part].tool.length).toBeGreaterThan(0);
    }
    expect(ACTION.lever.disturbs).toEqual(['blow', 'spring', 'drop']);
    expect(ACTION.blow.disturbs).toEqual(['let-off', 'drop', 'dip', 'check', 'damper']);
    expect(ACTION.dip.disturbs).toEqual(['aftertouch', 'check', 'damper']);
    expect(ACTION['let-off'].disturbs).toContain('drop');
  });

  it('go round in no circle but by a stated way out', () => {
    const out = new Set(WAYS_OUT.map(({ between: [first, second] }) => `${first} ${second}`));
    const circular = (part: Part, seen: readonly Part[]): boolean =>
      seen.includes(part) ||
      ACTION[part].after.some((before) => !out.has(`${before} ${part}`) && circular(before, [...seen, part]));
    for (const part of PARTS) expect(circular(part, []), part).toBe(false);
    // Without the way out there is a circle, so it is needed.
    out.clear();
    expect(PARTS.some((part) => circular(part, []))).toBe(true);
  });

  it('warn at every spot, each caution somewhere', () => {
    const shown = new Set(CAUTION_SPOTS.flatMap((spot) => cautionsAt(spot)));
    expect(shown.size).toBe(Object.keys(CAUTIONS).length);
    for (const spot of CAUTION_SPOTS) expect(cautionsAt(spot).length, spot).toBeGreaterThan(0);
    const bench = cautionsAt('half out').map(({ text }) => text);
    expect(bench.join(' ')).toMatch(/fallboard.*key slip.*cheek blocks.*Never touch a key.*end keys.*two people/s);
  });

  it('send a troubled section before its notes', () => {
    const heard = (flagged: number) => Array.from({ length: 8 }, (_, i) => ({ midi: 50 + i, flagged: i < flagged }));
    expect(troubledSections(heard(3), USUAL_BREAKS)).toEqual([]);
    expect(troubledSections(heard(4), USUAL_BREAKS)).toMatchObject([
      { section: { name: 'Tenor' }, flagged: 4, heard: 8 },
    ]);
    expect(SECTION_LOOKS.map(({ part }) => part)).toEqual(['climate', 'bedding', 'rail']);
  });
});
