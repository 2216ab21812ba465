/** Note plans: what they ask for, how long they take, what comes next. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keyName } from '../../src/piano/keys.ts';
import {
  FREE_PLAN,
  PAUSE_PER_NOTE,
  compass,
  handPicked,
  minutes,
  nextStep,
  oneNote,
  openSteps,
  parseNoteList,
  sampled,
  section,
  stepsLeft,
  withOpenNotes,
} from '../../src/piano/notePlans.ts';
import { PATTERNS, type NotePlan, type PlanStep } from '../../src/piano/plan.ts';
import { KEYS_85, KEYS_88, USUAL_BREAKS, sectionAt, sectionsOf, type Compass } from '../../src/piano/sections.ts';

const names = (plan: NotePlan) => plan.steps.map(({ midi }) => keyName(midi)).join(' ');
const midis = (plan: NotePlan) => plan.steps.map(({ midi }) => midi);

/** A compass with room for a dozen others, and breaks in it. */
const pianos = fc
  .record({
    lowest: fc.integer({ min: 21, max: 40 }),
    highest: fc.integer({ min: 85, max: 108 }),
    breaks: fc.uniqueArray(fc.integer({ min: 41, max: 85 }), { maxLength: 5 }),
  })
  .map(({ lowest, highest, breaks }) => ({
    keys: { lowest, highest },
    breaks: breaks.sort((a, b) => a - b),
  }));

/** From bass to treble, no key twice, all on the piano, the usual pattern. */
function expectSound(plan: NotePlan, { lowest, highest }: Compass): void {
  const keys = midis(plan);
  expect(keys.length).toBeGreaterThan(0);
  for (const [i, key] of keys.entries()) {
    expect(Number.isInteger(key)).toBe(true);
    expect(key).toBeGreaterThan(i === 0 ? lowest - 1 : keys[i - 1]);
  }
  expect(keys[keys.length - 1]).toBeLessThanOrEqual(highest);
  expect(new Set(plan.steps.map(({ asked }) => asked))).toEqual(new Set(['slow-fast']));
}

describe('sections', () => {
  it('are named from bass to treble and meet without gap', () => {
    const named = (breaks: readonly number[]) =>
      sectionsOf(breaks).map(({ name, lowest, highest }) => `${name} ${keyName(lowest)} ${keyName(highest)}`);
    expect(named(USUAL_BREAKS)).toEqual(['Bass A0 A#2', 'Tenor B2 A#4', 'Treble B4 F#6', 'High treble G6 C8']);
    expect(named([])).toEqual(['Whole compass A0 C8']);
    expect(named([50])).toEqual(['Bass A0 C#3', 'Treble D3 C8']);
    expect(named([50, 80]).map((words) => words.split(' ')[0])).toEqual(['Bass', 'Tenor', 'Treble']);
    const six = sectionsOf([40, 50, 60, 70, 80]).map(({ name }) => name);
    expect(six).toEqual(['Bass', 'Tenor', 'Treble 1', 'Treble 2', 'Treble 3', 'High treble']);
    fc.assert(
      fc.property(pianos, ({ keys, breaks }) => {
        const sections = sectionsOf(breaks, keys);
        expect(sections[0].lowest).toBe(keys.lowest);
        expect(sections.at(-1)!.highest).toBe(keys.highest);
        for (let i = 1; i < sections.length; i++) expect(sections[i].lowest).toBe(sections[i - 1].highest + 1);
        for (let key = keys.lowest; key <= keys.highest; key++) {
          const { lowest, highest } = sectionAt(key, sections);
          expect(key >= lowest && key <= highest).toBe(true);
        }
        expect(new Set(sections.map(({ name }) => name)).size).toBe(sections.length);
      }),
    );
  });

  it('refuse breaks that are none', () => {
    expect(() => sectionsOf([60, 60])).toThrow('cannot begin at C4; expected a key above C4 and up to C8');
    expect(() => sectionsOf([21])).toThrow('expected a key above A0');
    expect(() => sectionsOf([106], KEYS_85)).toThrow('cannot begin at A#7; expected a key above A0 and up to A7');
    expect(() => sectionsOf([60.5])).toThrow('60.5 is no piano key');
    expect(() => sectionsOf([], { lowest: 60, highest: 50 })).toThrow('no compass');
    expect(() => sectionAt(108, sectionsOf(USUAL_BREAKS, KEYS_85))).toThrow('C8 lies in no section');
  });
});

describe('plans', () => {
  it('hold a note among a dozen others, also at the ends', () => {
    expect(names(oneNote(69))).toBe('D#4 E4 F4 F#4 G4 G#4 A4 A#4 B4 C5 C#5 D5 D#5');
    expect(names(oneNote(22))).toBe('A0 A#0 B0 C1 C#1 D1 D#1 E1 F1 F#1 G1 G#1 A1');
    expect(names(oneNote(108))).toBe('C7 C#7 D7 D#7 E7 F7 F#7 G7 G#7 A7 A#7 B7 C8');
    expect(names(oneNote(60, KEYS_88, { beside: 2, leftOut: [59, 61, 62] }))).toBe('A3 A#3 C4 D#4 E4');
    fc.assert(
      fc.property(pianos, fc.nat(), fc.integer({ min: 1, max: 9 }), ({ keys }, at, beside) => {
        const midi = keys.lowest + (at % (keys.highest - keys.lowest + 1));
        const plan = oneNote(midi, keys, { beside });
        expectSound(plan, keys);
        expect(midis(plan)).toContain(midi);
        expect(plan.steps).toHaveLength(2 * beside + 1);
        // Neighbours without a gap.
        expect(midis(plan).at(-1)! - midis(plan)[0]).toBe(2 * beside);
      }),
    );
    expect(() => oneNote(108, KEYS_85)).toThrow('C8 is not on this piano; expected A0 to A7');
    expect(() => oneNote(69, KEYS_88, { beside: 0 })).toThrow('expected a whole number from 1');
    expect(() => oneNote(12)).toThrow('12 is no piano key');
  });

  it('hold all there is on a piano too small for a dozen others', () => {
    expect(names(oneNote(60, { lowest: 58, highest: 63 }))).toBe('A#3 B3 C4 C#4 D4 D#4');
  });

  it('hold picked notes once, from bass to treble', () => {
    expect(handPicked([69, 45, 69, 50])).toEqual({
      kind: 'hand-picked',
      steps: [45, 50, 69].map((midi) => ({ midi, asked: 'slow-fast' })),
    });
    expect(() => handPicked([])).toThrow('no note is picked');
    expect(() => handPicked([69, 107], KEYS_85)).toThrow('B7 is not on this piano');
  });

  it('hold a section or the whole compass', () => {
    expect(midis(compass())).toHaveLength(88);
    expect(midis(compass(KEYS_85.lowest, KEYS_85.highest))).toHaveLength(85);
    expect(() => compass(108, 21)).toThrow('no compass');
    expect(() => section(USUAL_BREAKS, 4)).toThrow('section 4; expected a whole number from 0 to 3');
    fc.assert(
      fc.property(pianos, ({ keys, breaks }) => {
        const all = [...breaks, 0].flatMap((_, index) => midis(section(breaks, index, keys)));
        expect(all).toEqual(midis(compass(keys.lowest, keys.highest)));
        expectSound(section(breaks, 0, keys), keys);
      }),
    );
  });

  it('sample B and E of each octave and both ends of each section, and nothing else', () => {
    expect(names(sampled())).toBe('A0 B0 E1 B1 E2 A#2 B2 E3 B3 E4 A#4 B4 E5 B5 E6 F#6 G6 B6 E7 B7 C8');
    fc.assert(
      fc.property(pianos, ({ keys, breaks }) => {
        const plan = sampled(breaks, keys);
        expectSound(plan, keys);
        const ends = sectionsOf(breaks, keys).flatMap(({ lowest, highest }) => [lowest, highest]);
        for (let key = keys.lowest; key <= keys.highest; key++) {
          const wanted = /^[BE]\d$/.test(keyName(key)) || ends.includes(key);
          expect(midis(plan).includes(key), keyName(key)).toBe(wanted);
        }
      }),
    );
  });
});

describe('a list of notes', () => {
  it('is read with commas, blanks and stretches', () => {
    expect(parseNoteList('A4, C#5 Bb2-D3').map(keyName)).toEqual(['A#2', 'B2', 'C3', 'C#3', 'D3', 'A4', 'C#5']);
    expect(parseNoteList(' c4;c4\n D♭4 – c4 ').map(keyName)).toEqual(['C4', 'C#4']);
    fc.assert(
      fc.property(fc.uniqueArray(fc.integer({ min: 21, max: 108 }), { minLength: 1 }), (keys) => {
        expect(parseNoteList(keys.map(keyName).join(', '))).toEqual([...keys].sort((a, b) => a - b));
      }),
    );
  });

  it.each([
    ['A4, H2', '"H2" names no piano key; expected a name from A0 to C8'],
    ['A4, C4-X', 'in "C4-X": "X" names no piano key'],
    ['A4-', 'in "A4-": "" names no piano key'],
    ['A4-B4-C5', '"A4-B4-C5" is no stretch of notes; expected two names'],
    ['', 'no note is named; expected names such as'],
    [' , ', 'no note is named'],
  ])('is refused by name: %s', (text, words) => {
    expect(() => parseNoteList(text)).toThrow(words);
  });

  it('is refused where the piano ends', () => {
    expect(() => parseNoteList('A4 G7-C8', KEYS_85)).toThrow('"G7-C8": C8 is not on this piano; expected A0 to A7');
  });
});

describe('the time a plan takes', () => {
  it('is that of its strokes and pauses', () => {
    // Eight strokes, one a second, twelve at six a second, and the way to the next key.
    expect(PAUSE_PER_NOTE).toBe(3);
    expect(minutes(handPicked([69]))).toBeCloseTo((8 / 1 + 12 / 6 + 3) / 60, 12);
    expect(minutes(compass())).toBeCloseTo((88 * 13) / 60, 9);
    expect(minutes(FREE_PLAN)).toBe(0);
    const longest = Math.max(...PATTERNS.map((asked) => minutes({ kind: 'free', steps: [{ midi: 60, asked }] })));
    // The bar: twice eight strokes, two seconds each, turned once.
    expect(longest * 60).toBeCloseTo(2 * 16 + 3 + 5, 9);
  });

  it('shrinks as it is played', () => {
    const plan = sampled();
    expect(minutes(plan, plan.steps.slice(0, 5))).toBeCloseTo(minutes(plan) - (5 * 13) / 60, 9);
    expect(minutes(plan, plan.steps)).toBe(0);
  });
});

describe('what comes next', () => {
  const plan = handPicked([45, 50, 69]);

  it('is the first step not played, whatever was played besides', () => {
    const slowFast = (...keys: number[]): PlanStep[] => keys.map((midi) => ({ midi, asked: 'slow-fast' }));
    expect(nextStep(plan, [])?.midi).toBe(45);
    expect(nextStep(plan, slowFast(50, 50, 60))?.midi).toBe(45);
    expect(nextStep(plan, slowFast(50, 45))?.midi).toBe(69);
    expect(nextStep(plan, [{ midi: 45, asked: 'gentle' }])?.midi).toBe(45);
    expect(nextStep(plan, slowFast(69, 50, 45))).toBeNull();
    expect(nextStep(FREE_PLAN, [])).toBeNull();
  });

  it('ends after as many steps as the plan has', () => {
    fc.assert(
      fc.property(pianos, ({ keys, breaks }) => {
        const wanted = sampled(breaks, keys);
        const done: PlanStep[] = [];
        for (let step = nextStep(wanted, done); step; step = nextStep(wanted, done)) done.push(step);
        expect(done).toEqual(wanted.steps);
      }),
    );
  });
});

describe('open notes', () => {
  const plan = handPicked([45, 50, 69]);
  const watch = (midi: number) => ({ midi, failedRepeats: 0, verdict: 'watch' }) as const;

  it('come at the end, from bass to treble, for a failed repeat or a watch', () => {
    const shown = [
      watch(69),
      { midi: 50, failedRepeats: 0, verdict: 'steady' },
      { midi: 45, failedRepeats: 1, verdict: 'insufficient' },
      { midi: 60, failedRepeats: 0, verdict: null },
    ] as const;
    const more = withOpenNotes(plan, shown, plan.steps);
    expect(more.steps.slice(0, 3)).toEqual(plan.steps);
    expect(more.steps.slice(3)).toEqual([
      { midi: 45, asked: 'open' },
      { midi: 69, asked: 'open' },
    ]);
    expect(withOpenNotes(plan, [shown[1]], plan.steps)).toBe(plan);
  });

  it('are opened a second time only once the first was played, and never a third', () => {
    const once = withOpenNotes(plan, [watch(50)], plan.steps);
    expect(openSteps(once, [watch(50)], plan.steps)).toEqual([]);
    const twice = withOpenNotes(once, [watch(50)], once.steps);
    expect(twice.steps).toHaveLength(5);
    expect(stepsLeft(twice, once.steps)).toEqual([{ midi: 50, asked: 'open' }]);
    expect(openSteps(twice, [watch(50)], twice.steps)).toEqual([]);
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.constantFrom(45, 50, 69), fc.nat(3)), { maxLength: 30 }), (events) => {
        let grown: NotePlan = plan;
        const done: PlanStep[] = [...plan.steps];
        for (const [midi, failedRepeats] of events) {
          grown = withOpenNotes(grown, [{ midi, failedRepeats, verdict: 'watch' }], done);
          const step = nextStep(grown, done);
          if (step) done.push(step);
        }
        for (const midi of midis(plan)) {
          expect(grown.steps.filter((step) => step.midi === midi && step.asked === 'open').length).toBeLessThan(3);
        }
      }),
    );
  });

  it('are not opened again once their fresh strokes have settled them', () => {
    const unstable = { midi: 50, failedRepeats: 4, verdict: 'unstable' } as const;
    expect(openSteps(plan, [unstable], plan.steps)).toHaveLength(1);
    const once = withOpenNotes(plan, [unstable], plan.steps);
    expect(openSteps(once, [unstable], once.steps)).toEqual([]);
    expect(openSteps(once, [{ midi: 50, failedRepeats: 0, verdict: 'steady' }], once.steps)).toEqual([]);
  });
});
