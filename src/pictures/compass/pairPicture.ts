/** One measure of one note, before and after: before hollow or thin at the left, after solid at the right. 84 x 64 pixels. */

import type { Chart } from '../chart.ts';
import { element, type PictureNode } from '../element.ts';
import { drawn } from '../colours.ts';
import { scale } from '../scale.ts';
import { figure, spokenNote } from '../words.ts';
import { failedOf, type CompassNote, type RepeatCount } from './compassNote.ts';
import { tower } from './repeatsRow.ts';
import { failures, timingWords } from './sentences.ts';
import { box, disc, draw, fill, stretch } from './shapes.ts';

/** What is compared: what the earlier round found first. */
export const PAIR_MEASURES = ['repeats', 'gentle', 'rest', 'timing'] as const;
export type PairMeasure = (typeof PAIR_MEASURES)[number];

const WIDTH = 84;
const HEIGHT = 64;
const [LEFT, RIGHT] = [16, 66];
const MARK = 24;

/** The measure to show of a note heard twice: what was off before, else what is off now; null where neither is played. */
export function pairMeasure(before: CompassNote, after: CompassNote): PairMeasure | null {
  const has = (measure: PairMeasure) => valueOf(before, measure) !== null && valueOf(after, measure) !== null;
  const off = (note: CompassNote, measure: PairMeasure): boolean => {
    if (measure === 'rest') return note.colours.rest !== 'ink3';
    if (measure === 'timing') return note.colours.timing === 'amber';
    const count = note[measure];
    return count !== null && failedOf(count) >= 2;
  };
  const told = PAIR_MEASURES.filter(has);
  return told.find((one) => off(before, one)) ?? told.find((one) => off(after, one)) ?? told[0] ?? null;
}

function valueOf(note: CompassNote, measure: PairMeasure): unknown {
  return measure === 'rest' ? note.restRatio : note[measure];
}

/** The measure in words: "4 silent and 3 weak, then 1 weak of 24". */
export function pairWords(before: CompassNote, after: CompassNote, measure: PairMeasure): string {
  switch (measure) {
    case 'repeats':
    case 'gentle': {
      const [was, now] = [before[measure]!, after[measure]!];
      const same = was.of === now.of;
      const words = `${failures(was)}${same ? '' : ` of ${was.of}`}, then ${failures(now)} of ${now.of}`;
      return measure === 'gentle' ? `Gentle: ${words}` : `Repeats: ${words}`;
    }
    case 'rest':
      return `Rest: ${figure(before.restRatio!, 1)}, then ${figure(after.restRatio!, 1)} times a firm note\u2019s`;
    case 'timing':
      return `Timing: ${timingWords(before.timing!.value)}, then ${timingWords(after.timing!.value)}`;
  }
}

/** The picture of one measure. @throws RangeError where either note lacks it. */
export function pairPicture(before: CompassNote, after: CompassNote, measure: PairMeasure): Chart {
  for (const note of [before, after]) {
    if (valueOf(note, measure) === null) {
      throw new RangeError(`${spokenNote(note.midi)} has no ${measure}; expected a measure that both rounds have`);
    }
  }
  return {
    title: `${spokenNote(before.midi)}, before and after`,
    aside: '',
    result: `${pairWords(before, after, measure)}.`,
    below: [],
    width: WIDTH,
    height: HEIGHT,
    marks: [
      element('path', {
        d: 'M 36 40 L 46 40 M 42.5 36 L 46.5 40 L 42.5 44',
        class: drawn('ink3'),
        'stroke-width': 1.6,
        'stroke-linecap': 'round',
      }),
      ...marksOf(before, after, measure),
    ],
  };
}

function marksOf(before: CompassNote, after: CompassNote, measure: PairMeasure): PictureNode[] {
  switch (measure) {
    case 'repeats':
    case 'gentle': {
      const way = measure === 'repeats' ? 'up' : 'down';
      const shelf = measure === 'repeats' ? HEIGHT - 6 : 8;
      const counts = [before[measure]!, after[measure]!];
      const block = Math.min(8, ...counts.map((count) => blockFor(count, HEIGHT - 20)));
      const pieces = (count: RepeatCount, x: number) => tower(count, x, shelf, 16, block, way).pieces;
      return [
        ...fill([box(LEFT - 15, shelf - 1.25, 30, 2.5), box(RIGHT - 15, shelf - 1.25, 30, 2.5)], 'ink2'),
        ...draw(pieces(counts[0], LEFT), 'ink3', 1.4),
        ...fill(pieces(counts[1], RIGHT), 'dusk'),
      ];
    }
    case 'rest': {
      const most = Math.max(10, ...[...before.offsets, ...after.offsets].map(Math.abs));
      const y = scale(-most, most, HEIGHT - 6, 6);
      const shelves = ({ offsets }: CompassNote, x: number) =>
        offsets.map((offset) => stretch(x - MARK / 2, y(offset), x + MARK / 2, y(offset)));
      return [...draw(shelves(before, LEFT), 'ink3', 1.2), ...draw(shelves(after, RIGHT), 'dusk', 2.2)];
    }
    case 'timing': {
      const [was, now] = [before.timing!.value, after.timing!.value];
      const most = Math.max(9, Math.abs(was), Math.abs(now));
      const y = scale(-most, most, HEIGHT - 8, 8);
      return [
        ...draw([stretch(LEFT - 15, y(0), LEFT + 15, y(0)), stretch(RIGHT - 15, y(0), RIGHT + 15, y(0))], 'edge', 1.6),
        ...draw([disc(LEFT, y(was), 5)], 'ink2', 1.8),
        ...fill([disc(RIGHT, y(now), 5.5)], 'dusk'),
      ];
    }
  }
}

function blockFor(count: RepeatCount, room: number): number {
  const blocks = count.silent + 0.42 * count.weak + 0.8 * count.double;
  const gaps = count.silent + count.weak + count.double;
  return blocks === 0 ? 8 : Math.max((room - 2 * gaps) / blocks, room / (blocks + 0.5 * gaps));
}
