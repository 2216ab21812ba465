/** The compass drawn: a mark for each failure and each stroke, none for what was not heard, all within its box. */

import fc from 'fast-check';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compassChart, type CompassOptions } from '../../src/pictures/compass/compassChart.ts';
import { compassRound, failedOf, type CompassNote, type CompassRound } from '../../src/pictures/compass/compassNote.ts';
import { LAPTOP_ROWS, PHONE_ROWS } from '../../src/pictures/compass/layout.ts';
import { pairMeasure, pairPicture } from '../../src/pictures/compass/pairPicture.ts';
import {
  LAPTOP_PLATFORM,
  PHONE_PLATFORM,
  platformLine,
  PRINT_PLATFORM,
  STRIP_PLATFORM,
} from '../../src/pictures/compass/platformLine.ts';
import { svgText, type PictureNode } from '../../src/pictures/element.ts';
import { unpacked, type Packed } from '../app/gallery/packedRound.ts';
import { anyRound, failing, fullRound, note, roundOf } from './compassNotes.ts';
import { all } from './strokes.ts';

const LAPTOP = { ...LAPTOP_ROWS, width: 1124, from: 21, to: 108, text: 13 };
const PHONE = { ...PHONE_ROWS, width: 350, from: 44, to: 65, text: 13 };
const LARGE = { ...PHONE_ROWS, width: 350, from: 50, to: 60, text: 26 };

const laptop = (round: CompassRound, options?: CompassOptions) => compassChart(round, LAPTOP, options);
const withClass = (trees: readonly PictureNode[], name: string) =>
  all(trees).filter(({ attributes }) =>
    String(attributes.class ?? '')
      .split(' ')
      .includes(name),
  );
const words = (trees: readonly PictureNode[]) =>
  all(trees).flatMap(({ tag, children }) => (tag === 'text' ? [String(children[0])] : []));
/** Pieces of a path: each begins with a move. */
const pieces = (node: PictureNode | undefined) => (String(node?.attributes.d ?? '').match(/M /g) ?? []).length;

/** Corners of what is drawn by lines and boxes; curves keep within theirs. */
function extent(trees: readonly PictureNode[]): { x: [number, number]; y: [number, number] } {
  const xs: number[] = [];
  const ys: number[] = [];
  for (const { attributes, tag } of all(trees)) {
    const { d, x, y, width, height } = attributes;
    if (tag === 'rect') {
      xs.push(Number(x), Number(x) + Number(width));
      ys.push(Number(y), Number(y) + Number(height));
    }
    if (d === undefined) continue;
    let [px, py] = [0, 0];
    const parts = String(d).match(/[A-Za-z]|-?[\d.]+/g)!;
    for (let i = 0; i < parts.length;) {
      const letter = parts[i++];
      const next = () => Number(parts[i++]);
      if (letter === 'M' || letter === 'L') [px, py] = [next(), next()];
      else if (letter === 'h') px += next();
      else if (letter === 'v') py += next();
      else if (letter === 'V') py = next();
      else if (letter === 'a') {
        i += 5;
        [px, py] = [px + next(), py + next()];
      } else if (letter !== 'Z') throw new Error(`"${letter}" in a path; expected M, L, h, v, V, a or Z`);
      xs.push(px);
      ys.push(py);
    }
  }
  return { x: [Math.min(...xs), Math.max(...xs)], y: [Math.min(...ys), Math.max(...ys)] };
}

describe('88 notes of 40 strokes', () => {
  const flagged = ({ repeats, colours, verdict }: CompassNote) => ({
    verdict,
    repeats,
    timing: { value: 7, low: 5, high: 9 },
    colours: { ...colours, timing: 'amber', rest: 'ember' } as const,
  });
  const round = fullRound(40, (midi) =>
    midi % 9 === 0 ? flagged(failing(midi, 4, 3)) : { repeats: { silent: midi % 2, weak: 0, double: 0, of: 24 } },
  );

  it('are at most 300 elements, ten of them flagged in every row', () => {
    const marks = laptop(round).marks;
    expect(all(marks).length).toBeGreaterThan(100);
    expect(all(marks).length).toBeLessThanOrEqual(300);
  });

  it('show every one of their strokes: n is seen', () => {
    const rests = all(laptop(round).marks).filter(({ attributes }) => 'data-key' in attributes);
    expect(rests).toHaveLength(88);
    expect(rests.map(pieces)).toEqual(Array.from({ length: 88 }, () => 40));
  });

  it('are drawn in well under 50 ms', () => {
    laptop(round);
    const times = Array.from({ length: 5 }, () => {
      const start = performance.now();
      laptop(round);
      return performance.now() - start;
    });
    expect(Math.min(...times)).toBeLessThan(50);
  });

  it('lose shelves where keys are narrow, but none of a flagged note', () => {
    const wanders = { verdict: 'unstable', colours: { ...note(60).colours, rest: 'ember' } } as const;
    const narrow = compassChart(
      fullRound(40, (midi) => (midi === 60 ? wanders : {})),
      { ...LAPTOP, width: 250 },
    );
    const rests = all(narrow.marks).filter(({ attributes }) => 'data-key' in attributes);
    expect(narrow.layout.key).toBeLessThan(3);
    expect(pieces(rests.find(({ attributes }) => attributes['data-key'] === 60))).toBe(40);
    expect(pieces(rests.find(({ attributes }) => attributes['data-key'] === 61))).toBe(1);
  });
});

describe('marks', () => {
  const tower = (round: CompassRound) => withClass(laptop(round).marks, 'picture-fill-ember')[0];

  it('are one piece a failed repeat, silent ones whole blocks, weak ones less than half, two dots a double', () => {
    expect(pieces(tower(roundOf([failing(51, 4, 3)])))).toBe(7);
    const heights = (silent: number, weak: number) =>
      [...String(tower(roundOf([failing(51, silent, weak)])).attributes.d).matchAll(/v ([\d.]+)/g)].map(([, v]) =>
        Number(v),
      );
    const [[block], [half]] = [heights(1, 0), heights(0, 1)];
    expect(half / block).toBeCloseTo(0.42, 1);
    const twice = { ...failing(51, 0, 0), repeats: { silent: 0, weak: 0, double: 3, of: 24 } };
    expect(pieces(tower(roundOf([twice])))).toBe(6);
  });

  it('say the count from two failures on, and name the note', () => {
    expect(words(laptop(roundOf([failing(51, 4, 3)])).marks)).toEqual(expect.arrayContaining(['7/24', 'D3']));
    const once = note(51, { repeats: { silent: 1, weak: 0, double: 0, of: 24 } });
    expect(words(laptop(roundOf([once])).marks).filter((text) => text.includes('/24'))).toEqual([]);
  });

  it('leave an empty shelf where none failed, and nothing at all where nothing was heard', () => {
    const shelves = (round: CompassRound) =>
      withClass(laptop(round).marks, 'picture-fill-ink2').filter(({ tag }) => tag === 'path');
    const heard = laptop(roundOf([note(60)])).marks;
    const nothing = laptop(roundOf([])).marks;
    // A shelf and the verdict's dash; without the note neither, nor dots, nor rods.
    expect(shelves(roundOf([note(60)])).map(pieces)).toEqual([1, 1]);
    expect(shelves(roundOf([]))).toEqual([]);
    expect(all(heard).some(({ attributes }) => attributes['data-key'] === 60)).toBe(true);
    expect(all(nothing).some(({ attributes }) => 'data-key' in attributes)).toBe(false);
    expect(withClass(nothing, 'picture-fill-ink').filter(({ tag }) => tag === 'path')).toEqual([]);
  });

  it('never stand for what is missing: no timing, no rest, no fast strokes', () => {
    const bare = note(60, { repeats: null, timing: null, offsets: [], restRatio: null, verdict: 'insufficient' });
    const [with_, without] = [laptop(roundOf([bare])).marks, laptop(roundOf([])).marks];
    // Only the dashes that say "not enough yet" are more.
    expect(all(with_).length - all(without).length).toBe(1);
  });

  it('are a dashed ring for a note that cannot be judged yet', () => {
    const rings = withClass(laptop(roundOf([note(60, { verdict: 'insufficient' })])).marks, 'picture-line-ink3');
    expect(rings.filter(({ attributes }) => 'stroke-dasharray' in attributes).length).toBeGreaterThanOrEqual(2);
  });

  it.each([
    ['watch', 'picture-fill-amber'],
    ['unstable', 'picture-fill-ember'],
    ['steady', 'picture-fill-ink2'],
    ['insufficient', 'picture-line-ink3'],
  ] as const)('show %s by its own shape over the key', (verdict, name) => {
    const shapes = (round: CompassRound) => withClass(laptop(round).marks, name).length;
    const silent = { repeats: null, timing: null, offsets: [] };
    expect(shapes(roundOf([note(60, { verdict, ...silent })]))).toBeGreaterThan(shapes(roundOf([])));
  });

  it('put an arrow head and its number where a stroke lies past the axis', () => {
    expect(words(laptop(roundOf([note(60, { offsets: [-3, 0, 34] })])).marks)).toContain('34');
    const late = note(60, {
      timing: { value: 14, low: 11, high: 17 },
      colours: { ...note(60).colours, timing: 'amber' },
    });
    expect(words(laptop(roundOf([late])).marks)).toContain('+14');
  });

  it('draw a note twice where an earlier round has it: hollow before, solid after; the others faint', () => {
    const before = roundOf([failing(51, 5, 2), note(60), note(70)]);
    const chart = laptop(roundOf([note(51, { repeats: { silent: 0, weak: 1, double: 0, of: 24 } })]), { before });
    expect(words(chart.marks)).toContain('7\u21921');
    expect(pieces(withClass(chart.marks, 'picture-fill-dusk')[0])).toBe(1);
    expect(withClass(chart.marks, 'picture-line-ink3').map(pieces)).toContain(7);
    const behind = all(chart.marks).filter(({ attributes }) => attributes.opacity === 0.34);
    expect(all(behind).filter(({ attributes }) => 'data-key' in attributes)).toHaveLength(2);
  });

  it('put the notes that are not chosen behind', () => {
    const chart = laptop(roundOf([failing(51, 4, 3), note(60)]), { chosen: new Set([51]) });
    const behind = all(chart.marks).filter(({ attributes }) => attributes.opacity === 0.34);
    const keys = all(behind).flatMap(({ attributes }) => attributes['data-key'] ?? []);
    expect(keys).toEqual([60]);
  });
});

describe('any round', () => {
  const sizes = [LAPTOP, PHONE, LARGE, { ...LAPTOP, width: 250 }];

  it('is drawn without a number that is none, within its box', () => {
    fc.assert(
      fc.property(anyRound, fc.option(anyRound), fc.constantFrom(...sizes), (round, before, size) => {
        const chart = compassChart(round, size, { before });
        const text = chart.marks.map(svgText).join('');
        expect(text).not.toMatch(/NaN|Infinity|undefined/);
        const { x, y } = extent(chart.marks);
        expect(x[0]).toBeGreaterThanOrEqual(-1);
        expect(x[1]).toBeLessThanOrEqual(chart.width + 1);
        expect(y[0]).toBeGreaterThanOrEqual(0);
        expect(y[1]).toBeLessThanOrEqual(chart.height);
      }),
      { numRuns: 150, seed: 3 },
    );
  });

  it('makes a platform line of every size, within its box', () => {
    const platforms = [PHONE_PLATFORM, LAPTOP_PLATFORM, PRINT_PLATFORM, STRIP_PLATFORM];
    fc.assert(
      fc.property(anyRound, fc.constantFrom(...platforms), (round, size) => {
        const { marks, width, height } = platformLine(round, size);
        expect(marks.map(svgText).join('')).not.toMatch(/NaN|Infinity|undefined/);
        if (marks.length === 0) return;
        const { x, y } = extent(marks);
        expect(x[0]).toBeGreaterThanOrEqual(-6);
        expect(x[1]).toBeLessThanOrEqual(width + 6);
        expect(y[0]).toBeGreaterThanOrEqual(0);
        expect(y[1]).toBeLessThanOrEqual(height);
      }),
      { numRuns: 100, seed: 4 },
    );
  });

  it('makes a pair of every note that two rounds share a measure of', () => {
    fc.assert(
      fc.property(anyRound, anyRound, ({ notes: [before] }, { notes: [after] }) => {
        if (!before || !after) return;
        const measure = pairMeasure(before, after);
        if (measure === null) return;
        const { marks, width, height } = pairPicture(before, after, measure);
        const { x, y } = extent(marks);
        expect(x[0] >= 0 && x[1] <= width && y[0] >= -1 && y[1] <= height + 1, JSON.stringify({ x, y })).toBe(true);
      }),
      { numRuns: 150, seed: 5 },
    );
  });
});

describe('a platform line', () => {
  it('names the unstable notes only, and none on the thin strip', () => {
    const round = fullRound(8, (midi) => (midi === 51 ? failing(51, 4, 3) : {}));
    expect(words(platformLine(round, PHONE_PLATFORM).marks)).toEqual(['D3']);
    expect(words(platformLine(round, STRIP_PLATFORM).marks)).toEqual([]);
  });

  it('names notes to watch too on paper, lighter, where unstable ones leave room, and no name on another or on a tower', () => {
    const some = fullRound(8, (midi) =>
      midi === 51 || midi === 90
        ? failing(midi, 4, 3)
        : midi === 52 || midi === 70
          ? { verdict: 'watch' as const }
          : midi === 71
            ? { repeats: { silent: 5, weak: 0, double: 0, of: 24 } }
            : {},
    );
    const texts = all(platformLine(some, PRINT_PLATFORM).marks).filter(({ tag }) => tag === 'text');
    const said = texts.map(({ attributes, children }) => [children.join(''), attributes['font-weight']]);
    // E3 stands too near to D3, which is unstable.
    expect(said).toEqual([
      ['A4', 400],
      ['D3', 700],
      ['F6', 700],
    ]);
    const [watched] = texts;
    expect(watched.attributes.class).toContain('picture-fill-ink2');
    const alone = fullRound(8, (midi) => (midi === 70 ? { verdict: 'watch' as const } : {}));
    const low = all(platformLine(alone, PRINT_PLATFORM).marks).find(({ tag }) => tag === 'text')!;
    expect(Number(watched.attributes.y)).toBeLessThan(Number(low.attributes.y) - 15);
    expect(words(platformLine(some, PHONE_PLATFORM).marks).sort()).toEqual(['D3', 'F6']);
    fc.assert(
      fc.property(anyRound, (round) => {
        const boxes = all(platformLine(round, PRINT_PLATFORM).marks)
          .filter(({ tag }) => tag === 'text')
          .map(({ attributes, children }) => {
            const [from] = String(attributes.x).split(' ').map(Number);
            const size = Number(attributes['font-size']);
            const sharp = String(attributes.x).split(' ').map(Number)[1] - from > 0.9 * size ? 0.48 : 0;
            return { from, to: from + size * (children.join('').length * 0.57 + sharp), y: Number(attributes.y), size };
          });
        for (const a of boxes)
          for (const b of boxes)
            if (a !== b) expect(a.to <= b.from || b.to <= a.from, JSON.stringify([a, b])).toBe(true);
      }),
      { numRuns: 100, seed: 8 },
    );
  });

  it('folds all strokes under their shelves in a few elements', () => {
    const marks = platformLine(fullRound(40), STRIP_PLATFORM).marks;
    const folded = withClass(marks, 'picture-fill-ink3').filter(({ attributes }) => 'opacity' in attributes);
    expect(folded.map(pieces).reduce((a, b) => a + b)).toBe(88 * 40);
    expect(all(marks).length).toBeLessThan(12);
  });
});

describe('a round made as sound', () => {
  const path = new URL('../app/gallery/compassRound.json', import.meta.url);
  const document = unpacked((JSON.parse(readFileSync(path, 'utf8')) as { before: Packed }).before);
  const round = compassRound(document);

  it('draws as many shelves as the spread of each note rests on', () => {
    const counted = document.notes.map(({ midi, measures }) => ({
      midi,
      n: measures.find(({ kind }) => kind === 'travel-at-level')?.n ?? 0,
    }));
    expect(round.notes.map(({ midi, offsets }) => ({ midi, n: offsets.length }))).toEqual(counted);
    expect(counted.filter(({ n }) => n >= 3).length).toBeGreaterThan(12);
  });

  it('counts as its notes\u2019 words do', () => {
    const failed = round.notes.map(({ repeats }) => (repeats ? repeats.silent + repeats.weak : 0));
    const measured = document.notes.map(({ measures }) => {
      const share = measures.find(({ kind }) => kind === 'failed-repeats');
      return share ? Math.round(share.value * share.n) : 0;
    });
    expect(failed).toEqual(measured);
    expect(Math.max(...failed)).toBeGreaterThan(3);
    expect(round.notes.some(({ repeats }) => repeats !== null && failedOf(repeats) === 0)).toBe(true);
  });

  it('has a band of two firm spreads', () => {
    expect(round.band).toBeCloseTo(2 * document.hand.scalePercent!, 10);
    expect(compassRound({ ...document, hand: { ...document.hand, reference: 'none' } }).band).toBeNull();
  });
});

describe('doubles', () => {
  it('on the shelf are those of fast strokes asked for half-way, a stroke that bounced on once', () => {
    const path = new URL('../app/gallery/compassRound.json', import.meta.url);
    const { before } = JSON.parse(readFileSync(path, 'utf8')) as { before: Packed };
    const document = unpacked(before);
    const own = document.strokes.filter(({ midi, passage }) => midi === 86 && passage === 'fast');
    const doubles = (strokes: typeof document.strokes, takes = document.takes) =>
      compassRound({ ...document, strokes, takes }).notes.find(({ midi }) => midi === 86)!.repeats!.double;
    const heard = own.filter(({ kind }) => kind === 'double').length;
    expect(heard).toBeGreaterThan(2);
    const once = doubles(own);
    expect(once).toBeLessThanOrEqual(heard);
    expect(doubles(own.flatMap((stroke) => (stroke.kind === 'double' ? [stroke, stroke] : [stroke])))).toBe(once);
    expect(
      doubles(
        own,
        document.takes.map((take) => ({ ...take, asked: 'full-return' as const })),
      ),
    ).toBe(0);
  });
});
