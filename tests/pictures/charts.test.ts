/** The charts of hand-made strokes: what stands where, what is said, and that nothing is drawn that is not known. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { chartElement, type Chart } from '../../src/pictures/chart.ts';
import { svgText } from '../../src/pictures/element.ts';
import { fastChart } from '../../src/pictures/fastStrokes.ts';
import type { FirmHand } from '../../src/pictures/firmBand.ts';
import type { Stroke } from '../../src/pictures/heard.ts';
import { notePage } from '../../src/pictures/notePage.ts';
import { slowTable } from '../../src/pictures/noteTables.ts';
import { moreThanShown, slowChart } from '../../src/pictures/slowStrokes.ts';
import { travelChart } from '../../src/pictures/travel.ts';
import { waveformChart } from '../../src/pictures/waveform.ts';
import { ABSENCES, DOUBTS, PASSAGES, STROKE_KINDS } from '../../src/strokes/types.ts';
import { all, lines, silent, stroke, strokeMarks, texts, travelled } from './strokes.ts';

const WIDTH = 350;
const words = ({ result, below }: Chart) => [result, ...below].join(' ');
/** The tone's upright and the ticks of clear contacts, by their thickness. */
const toneOf = (chart: Chart) => lines(chart.marks, 2)[0].x1;
const ticks = (chart: Chart) => lines(chart.marks, 3.2).map(({ x1 }) => x1);

describe('slow strokes', () => {
  const strokes = [
    travelled(1, 60, { levelDb: -24 }),
    travelled(2, 30, { levelDb: -18 }),
    travelled(3, 45, { levelDb: -21 }),
  ];

  it('stand in line at the tone, the contact at minus the travel time, loud to soft', () => {
    const chart = slowChart(60, strokes, WIDTH)!;
    const before = ticks(chart).map((x) => toneOf(chart) - x);
    expect(before[1] / before[0]).toBeCloseTo(1.5, 3);
    expect(before[2] / before[0]).toBeCloseTo(2, 3);
    const twenty = texts(chart.marks).find((text) => text.words === '\u221220')!;
    expect((toneOf(chart) - twenty.x) / 20).toBeCloseTo(before[0] / 30, 3);
    expect(chart.result).toBe('3 slow strokes of C4: contact clear in 3, 30 to 60 ms before the tone.');
  });

  it('draw a faint contact dotted, two possible ones as rings, and count neither', () => {
    const faint = travelled(4, 50, { contactConfidence: 0.2 });
    const two = travelled(5, 70, { otherContactSeconds: 4.94 });
    const chart = slowChart(60, [...strokes, faint, two], WIDTH)!;
    expect(ticks(chart)).toHaveLength(3);
    expect(lines(chart.marks, 1.5).filter(({ dashed }) => dashed)).toHaveLength(1);
    const rings = all(chart.marks).filter(({ tag }) => tag === 'circle');
    const [a, b] = rings.map(({ attributes }) => toneOf(chart) - Number(attributes.cx));
    expect(rings).toHaveLength(2);
    expect(a / b).toBeCloseTo(70 / 60, 3);
    expect(chart.result).toContain(
      'contact clear in 3, 30 to 60 ms before the tone; faint in 1; in two possible places in 1.',
    );
  });

  it.each([
    ['none-heard', 'no contact heard'],
    ['masked', 'contact covered by other sound'],
    ['outside-recording', 'contact before the recording'],
    ['two-candidates', 'two places fit'],
  ] as const)('say in their row why a contact is absent: %s', (contact, said) => {
    const chart = slowChart(60, [...strokes, stroke(9, { absent: { contact } })], WIDTH)!;
    expect(texts(chart.marks).map((text) => text.words)).toContain(said);
    expect(ticks(chart)).toHaveLength(3);
  });

  it('stand closer from 25 on, and from 35 on keep the last 24 unless all are asked for', () => {
    const many = (n: number) => Array.from({ length: n }, (_, i) => travelled(i + 1, 40 + i));
    const chartOf = (n: number, all = false) => slowChart(60, [...many(n), silent(99)], WIDTH, { all })!;
    const heights = [24, 25, 34, 35].map((n) => chartOf(n).height);
    expect(heights.map((height) => height - heights[0])).toEqual([0, 25 * 12 - 24 * 17, 0, 0]);
    expect(ticks(chartOf(34))).toHaveLength(34);
    expect(chartOf(34).result).toMatch(/^34 slow strokes/);
    const last = chartOf(35);
    expect(ticks(last)).toHaveLength(24);
    expect(last.result).toContain('The last 24 of 35 slow strokes');
    expect(words(last)).toContain('1 slow stroke stayed silent');
    expect(ticks(chartOf(60, true))).toHaveLength(60);
    expect(chartOf(60, true).result).toMatch(/^60 slow strokes/);
    expect([34, 35].map((n) => moreThanShown(many(n)))).toEqual([null, 35]);
    expect([false, true].map((all) => slowTable(many(35), 'played', null, all).rows.length)).toEqual([24, 35]);
  });

  it('are no chart where there are none', () => {
    expect(slowChart(60, [silent(1), stroke(2, { passage: 'fast' })], WIDTH)).toBeNull();
  });
});

describe('loudness and travel', () => {
  /** On a line of −3 in 100 a decibel exactly. */
  const on = (n: number, range: number) =>
    Array.from({ length: n }, (_, i) => {
      const levelDb = -26 + (range * i) / (n - 1);
      return travelled(i + 1, 60 * 0.97 ** (levelDb + 26), { levelDb });
    });
  const curve = (chart: Chart) =>
    lines(chart.marks, 2).length +
    all(chart.marks).filter(({ attributes }) => / L .* L /.test(String(attributes.d))).length;

  it('put the louder right and the longer up', () => {
    const dots = all(travelChart(60, on(5, 6), WIDTH)!.marks).filter(({ tag }) => tag === 'circle');
    const places = dots.map(({ attributes }) => [Number(attributes.cx), Number(attributes.cy)]);
    expect(places).toHaveLength(5);
    for (let i = 1; i < 5; i++) {
      expect(places[i][0]).toBeGreaterThan(places[i - 1][0]);
      expect(places[i][1]).toBeGreaterThan(places[i - 1][1]);
    }
  });

  it('draw the line that the strokes lie on, with its size, its interval and its n', () => {
    const chart = travelChart(60, on(9, 6), WIDTH)!;
    expect(curve(chart)).toBe(1);
    expect(chart.result).toMatch(
      /9 strokes of C4 took 50 to 60 ms .* 3\.0 in 100 off it \(3\.0 to 3\.0, 9 strokes\)\.$/,
    );
  });

  it('say why there is no line: too few strokes, too little loudness', () => {
    const few = travelChart(60, on(7, 6), WIDTH)!;
    expect([curve(few), words(few)]).toEqual([
      0,
      expect.stringContaining('No line: it needs 8 strokes with a clear contact, there are 7.'),
    ]);
    const level = travelChart(60, on(12, 2), WIDTH)!;
    expect([curve(level), words(level)]).toEqual([
      0,
      expect.stringContaining('No line: the strokes differ by 2.0 dB only, it needs 4.'),
    ]);
  });

  it('take the rise where all have it, and say which is drawn', () => {
    const rising = on(5, 6).map((s) => ({ ...s, contactRiseSeconds: s.contactSeconds! + 0.004 }));
    expect(words(travelChart(60, rising, WIDTH)!)).toMatch(/took 46 to 56 ms .* rise to the tone/);
    const some = [{ ...rising[0], contactRiseSeconds: null }, ...rising.slice(1)];
    expect(words(travelChart(60, some, WIDTH)!)).toMatch(/took 50 to 60 ms .* first start to the tone/);
  });

  it('leave out faint and doubtful contacts, fast strokes and strokes without a level', () => {
    const strokes = [
      ...on(3, 6),
      travelled(5, 99, { contactConfidence: 0.1 }),
      travelled(6, 99, { otherContactSeconds: 5.95 }),
      travelled(7, 99, { passage: 'fast' }),
      travelled(8, 99, { levelDb: null }),
    ];
    expect(travelChart(60, strokes, WIDTH)!.result).toMatch(/^3 strokes/);
    expect(travelChart(60, [stroke(1)], WIDTH)!.result).toContain('none of 1 slow stroke has a clear contact');
    expect(travelChart(60, [silent(1)], WIDTH)).toBeNull();
  });
});

describe('fast strokes', () => {
  const played = (n: number) => Array.from({ length: n }, (_, i) => stroke(1 + i / 6, { passage: 'fast' }));

  it('stand in equal slots, each with its shape', () => {
    const strokes = played(12);
    strokes[2] = silent(strokes[2].timeSeconds, { passage: 'fast' });
    strokes[5] = { ...strokes[5], force: 'weak', levelDb: -32 };
    strokes.splice(9, 0, stroke(strokes[8].timeSeconds + 0.06, { kind: 'double', passage: 'fast', levelDb: -30 }));
    const chart = fastChart(60, strokes, WIDTH)!;
    const marks = strokeMarks(chart.marks);
    expect(marks.map(({ shape }) => shape)).toEqual(
      Array.from({ length: 12 }, (_, i) => (i === 2 ? 'silent' : i === 5 ? 'weak' : 'sounded')),
    );
    const steps = marks.slice(1).map(({ x }, i) => x - marks[i].x);
    expect(Math.max(...steps) - Math.min(...steps)).toBeLessThan(0.03);
    const small = all(chart.marks).filter(
      ({ tag, attributes }) => tag === 'circle' && String(attributes.class).includes('ember'),
    );
    expect(small).toHaveLength(1);
    expect(Number(small[0].attributes.cx)).toBeGreaterThan(marks[8].x);
    expect(Number(small[0].attributes.cx)).toBeLessThan(marks[9].x);
    expect(chart.result).toBe(
      '12 fast strokes of C4, 6.0 a second: 1 silent, 1 weak, 1 double. The gaps lie up to 0 ms off an even pulse.',
    );
  });

  it('raise the louder dot, and colour nothing that spoke', () => {
    const strokes = played(4).map((s, i) => ({ ...s, levelDb: -20 - i }));
    const chart = fastChart(60, strokes, WIDTH)!;
    const heights = all(chart.marks)
      .filter(({ tag }) => tag === 'circle')
      .map(({ attributes }) => Number(attributes.cy));
    expect([...heights].sort((a, b) => a - b)).toEqual(heights);
    expect(new Set(heights).size).toBe(4);
    expect(svgText(chartElement(chart))).not.toMatch(/ember|amber/);
  });

  it('lay each gap as far off the line as it is off the pulse, dotted on it beside a miss', () => {
    const late = 0.01;
    const strokes = played(12).map((s, i) => (i === 5 ? stroke(s.timeSeconds + late, { passage: 'fast' }) : s));
    const shelves = lines(fastChart(60, strokes, WIDTH)!.marks, 2.4);
    expect(shelves).toHaveLength(11);
    const level = shelves[0].y1;
    // Up is late; 20 ms are 18 pixels.
    expect(level - shelves[4].y1).toBeGreaterThan(6);
    expect(shelves[5].y1 - level).toBeGreaterThan(6);
    strokes[8] = silent(strokes[8].timeSeconds, { passage: 'fast' });
    const missed = fastChart(60, strokes, WIDTH)!;
    expect(lines(missed.marks, 2.4)).toHaveLength(9);
    expect(lines(missed.marks, 2).filter(({ dashed }) => dashed)).toHaveLength(2);
  });

  it('write the number where a gap lies beyond the strip', () => {
    const strokes = played(12).map((s, i) => (i >= 6 ? stroke(s.timeSeconds + 0.06, { passage: 'fast' }) : s));
    expect(texts(fastChart(60, strokes, WIDTH)!.marks).map((text) => text.words)).toContain('60');
  });

  it('say that zero in few gaps is nothing: one stroke, two strokes', () => {
    expect(fastChart(60, played(1), WIDTH)!.result).toBe('1 fast stroke of C4: it spoke.');
    expect(words(fastChart(60, played(2), WIDTH)!)).toContain('Too few gaps');
    expect(fastChart(60, [], WIDTH)).toBeNull();
  });
});

describe('any strokes at all', () => {
  const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
  const seconds = fc.double({ min: 0, max: 30, noNaN: true });
  const arbitrary: fc.Arbitrary<Stroke> = fc
    .record({
      kind: fc.constantFrom(...STROKE_KINDS),
      passage: maybe(fc.constantFrom(...PASSAGES)),
      timeSeconds: seconds,
      contactSeconds: maybe(seconds),
      otherContactSeconds: maybe(seconds),
      contactRiseSeconds: maybe(seconds),
      onsetSeconds: maybe(seconds),
      levelDb: maybe(fc.double({ min: -140, max: 6, noNaN: true })),
      contactConfidence: maybe(fc.double({ min: 0, max: 1, noNaN: true })),
      force: fc.constantFrom(null, 'usual', 'firm', 'weak', 'gentle'),
      source: fc.constantFrom(undefined, 0, 1, 2),
      take: fc.integer({ min: 1, max: 3 }),
      absent: fc.constantFrom({}, ...ABSENCES.map((contact) => ({ contact }))),
      doubt: fc.constantFrom([], ...DOUBTS.map((doubt) => [doubt])),
    })
    .map((some) => stroke(some.timeSeconds, some as Partial<Stroke>));
  const sounds = [{ samples: new Float32Array(8000 * 20).fill(0.1), sampleRate: 8000 }, null];

  it('make pictures without a number that is none', () => {
    fc.assert(
      fc.property(fc.array(arbitrary, { maxLength: 30 }), fc.integer({ min: 320, max: 1200 }), (some, width) => {
        const strokes = [...some].sort((a, b) => a.timeSeconds - b.timeSeconds);
        const page = notePage({ note: { midi: 60, verdict: 'watch' }, strokes, files: ['a', 'b', 'c'], sounds }, width);
        expect(svgText(page)).not.toMatch(/NaN|Infinity|undefined|null/);
      }),
      { numRuns: 300 },
    );
  });

  it('have at most three grid lines, a name and a sentence', () => {
    fc.assert(
      fc.property(fc.array(arbitrary, { minLength: 1, maxLength: 30 }), (strokes) => {
        for (const make of [slowChart, travelChart, fastChart]) {
          const chart = make(60, strokes, WIDTH);
          if (chart === null) continue;
          expect(chart.result).toMatch(/\d.*\.$/);
          const { attributes, children } = chartElement(chart);
          expect(attributes.role).toBe('img');
          expect(children.slice(0, 2)).toMatchObject([{ tag: 'title' }, { tag: 'desc', children: [chart.result] }]);
        }
        const travel = travelChart(60, strokes, WIDTH);
        const grid = (travel?.marks ?? []).filter(({ attributes }) => String(attributes.class).endsWith('hair'));
        expect(grid.length).toBeLessThanOrEqual(3);
      }),
    );
  });

  it('are no chart of the sound where there is none', () => {
    expect(waveformChart(60, [stroke(1)], [null], WIDTH)).toBeNull();
    expect(waveformChart(60, [], sounds, WIDTH)).toBeNull();
  });
});

describe('the band of a firm note', () => {
  const hand: FirmHand = { scalePercent: 4, slopePerDb: -0.06, referenceDb: -20, reference: 'this-round' };
  const even = [1, 2, 3, 4, 5, 6].map((i) => travelled(i, 50, { source: 0 }));

  it('tells what lies outside, at equal loudness, and is not drawn without a hand', () => {
    const late = travelled(7, 60, { source: 0 });
    const chart = slowChart(60, [...even, late], WIDTH, { hand })!;
    expect(chart.result).toContain('1 of the clear ones lies outside');
    expect(texts(chart.marks).map((each) => each.words)).toContain('+10');
    const soft = travelled(7, 50 * Math.exp(0.06 * 3), { source: 0, levelDb: -23 });
    expect(slowChart(60, [...even, soft], WIDTH, { hand })!.result).toContain('All clear ones lie');
    expect(words(slowChart(60, [...even, late], WIDTH)!)).not.toContain('firm note');
    const own = { ...hand, reference: 'none' as const };
    const offs = (of: FirmHand | null) => slowTable([...even, late], 'played', of).rows.map(({ cells }) => cells[2]);
    expect(offs(hand)).toEqual([...even.map(() => 'within'), '+10.0']);
    expect(new Set([...offs(own), ...offs(null)])).toEqual(new Set(['not known']));
    expect(words(slowChart(60, [...even, late], WIDTH, { hand: own })!)).not.toContain('firm note');
  });

  it('takes each recording by its own middle', () => {
    const other = [1, 2, 3, 4, 5].map((i) => travelled(i, 62, { source: 1, take: 2 }));
    expect(slowChart(60, [...even, ...other], WIDTH, { hand })!.result).toContain('All clear ones lie');
  });
});
