/** Where keys and rows of the compass lie: one key axis for all rows. Pixels; keys are equal columns, blacks too. */

import type { MidiNote } from '../../units.ts';
import { textWidth, wrapped } from '../words.ts';

/** Sizes of a compass chart. */
export interface CompassSizes {
  readonly width: number;
  /** The keys drawn, both ends included. */
  readonly from: MidiNote;
  readonly to: MidiNote;
  /** Height of the axis text. */
  readonly text: number;
  readonly repeats: number;
  readonly timing: number;
  readonly rest: number;
  readonly keyboard: number;
  /** Names of the sections under the keys. */
  readonly sections: boolean;
  /** Longer words beside the titles. */
  readonly wide: boolean;
}

type RowSizes = Omit<CompassSizes, 'width' | 'from' | 'to' | 'text'>;

/** A phone's rows, for about 22 keys. */
export const PHONE_ROWS: RowSizes = { repeats: 120, timing: 64, rest: 104, keyboard: 38, sections: false, wide: false };
/** A laptop's rows, for all 88 keys. */
export const LAPTOP_ROWS: RowSizes = { repeats: 158, timing: 98, rest: 150, keyboard: 44, sections: true, wide: true };

/** One row: its title and unit, and the box that its marks keep within. */
export interface Row {
  readonly title: string;
  readonly titleY: number;
  /** Words of the unit, line by line, each on its baseline. */
  readonly aside: readonly { readonly words: string; readonly y: number }[];
  readonly top: number;
  readonly bottom: number;
}

export interface CompassLayout extends CompassSizes {
  /** The keys' box. */
  readonly left: number;
  readonly right: number;
  /** Width of a key. */
  readonly key: number;
  /** Middle of a key's column. */
  readonly x: (midi: MidiNote) => number;
  readonly rowRepeats: Row;
  readonly rowTiming: Row;
  readonly rowRest: Row;
  /** Where the verdicts stand, and the keys below. */
  readonly verdicts: { readonly top: number; readonly bottom: number };
  readonly keys: { readonly top: number; readonly bottom: number };
  readonly height: number;
}

const ASIDES = {
  repeats: ['block silent, half weak, dots double', 'on the shelf: fast, key half let up; under it: gentle'],
  timing: ['in 100 off the neighbours, 9 in 10', 'in 100 off the neighbours; whisker 9 in 10; above: late'],
  rest: ['each shelf a slow stroke, in 100', 'each shelf one slow stroke, in 100 from the note\u2019s own middle'],
} as const;

/** Lays out a chart. @throws RangeError where the keys stand the wrong way round or the width leaves no room for them. */
export function compassLayout(sizes: CompassSizes, compared = false): CompassLayout {
  const { width, from, to, text, wide } = sizes;
  const left = Math.ceil(3.5 * text);
  const right = width - 2;
  if (!(to >= from) || !(right - left >= 60)) {
    throw new RangeError(
      `keys ${from} to ${to} on ${width} pixels; expected low first, and ${left + 62} pixels or more`,
    );
  }
  const key = (right - left) / (to - from + 1);
  let y = 0;
  const row = (name: keyof typeof ASIDES, plain: string, height: number): Row => {
    const title = compared ? `${plain}, before and after` : plain;
    const size = text + 2;
    const titleY = y + size + 3;
    const words = ASIDES[name][wide ? 1 : 0];
    const beside = 1.1 * textWidth(title, size) + 8 + textWidth(words, text) <= width;
    const lines = beside ? [words] : wrapped(words, width, text);
    const aside = lines.map((line, i) => ({ words: line, y: beside ? titleY : titleY + (i + 1) * (text + 4) }));
    const top = Math.max(titleY, ...aside.map((line) => line.y)) + 6;
    y = top + height;
    return { title, titleY, aside, top, bottom: y };
  };
  const rowRepeats = row('repeats', 'Repeats', sizes.repeats);
  const rowTiming = row('timing', 'Timing', sizes.timing);
  const rowRest = row('rest', 'Rest', sizes.rest);
  const verdicts = { top: y + 6, bottom: y + 28 };
  const keys = { top: y + 32, bottom: y + 32 + Math.max(sizes.keyboard, text + 14) };
  return {
    ...sizes,
    left,
    right,
    key,
    x: (midi) => left + (midi - from + 0.5) * key,
    rowRepeats,
    rowTiming,
    rowRest,
    verdicts,
    keys,
    height: Math.ceil(keys.bottom + (sizes.sections ? text + 8 : 2)),
  };
}

/** The numbers of an axis that have room for their letters beside one another: three, else the outer two. */
export function axisNumbers(edge: number, y: (value: number) => number, text: number): number[] {
  return Math.abs(y(edge) - y(0)) >= text ? [edge, 0, -edge] : [edge, -edge];
}
