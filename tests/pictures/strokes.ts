/** Strokes made by hand, and what stands in a tree of elements, for the tests of the pictures. */

import type { PictureNode } from '../../src/pictures/element.ts';
import type { Stroke } from '../../src/pictures/heard.ts';

/** A sounded stroke at `seconds`, loud as usual, without a contact; `change` overwrites. */
export function stroke(seconds: number, change: Partial<Stroke> = {}): Stroke {
  return {
    kind: 'sounded',
    take: 1,
    midi: 60,
    timeSeconds: seconds,
    contactSeconds: null,
    contactRiseSeconds: null,
    otherContactSeconds: null,
    onsetSeconds: seconds,
    onsetErrorSeconds: 5e-6,
    keyBottomSeconds: null,
    levelDb: -20,
    relativeDb: 0,
    force: 'usual',
    brightness: null,
    knockDb: null,
    passage: 'slow',
    group: null,
    preceding: { kind: 'none', restSeconds: null, damped: null, gapDb: null },
    confidence: 1,
    contactConfidence: null,
    absent: { contact: 'none-heard' },
    doubt: [],
    ...change,
  };
}

/** A slow stroke whose contact was heard so many milliseconds before the tone. */
export function travelled(seconds: number, ms: number, change: Partial<Stroke> = {}): Stroke {
  return stroke(seconds, { contactSeconds: seconds - ms / 1000, contactConfidence: 0.9, absent: {}, ...change });
}

/** A stroke that did not speak. */
export function silent(seconds: number, change: Partial<Stroke> = {}): Stroke {
  return stroke(seconds, {
    kind: 'silent',
    onsetSeconds: null,
    levelDb: null,
    absent: { onset: 'none-heard' },
    ...change,
  });
}

/** All elements of trees, outer before inner. */
export function all(trees: readonly (PictureNode | string)[]): PictureNode[] {
  return trees.flatMap((tree) => (typeof tree === 'string' ? [] : [tree, ...all(tree.children)]));
}

/** The marks of strokes, each with its shape and place. */
export function strokeMarks(trees: readonly PictureNode[]): { shape: string; x: number }[] {
  return all(trees).flatMap(({ attributes }) =>
    'data-shape' in attributes ? [{ shape: String(attributes['data-shape']), x: Number(attributes['data-x']) }] : [],
  );
}

/** The texts in trees, with their places. */
export function texts(trees: readonly PictureNode[]): { words: string; x: number; y: number }[] {
  return all(trees)
    .filter(({ tag }) => tag === 'text')
    .map(({ attributes, children }) => ({
      words: children.join(''),
      x: Number(attributes.x),
      y: Number(attributes.y),
    }));
}

/** Ends of the straight lines in trees that are drawn so thick. */
export function lines(
  trees: readonly PictureNode[],
  width: number,
): { x1: number; y1: number; x2: number; y2: number; dashed: boolean }[] {
  return all(trees).flatMap(({ tag, attributes }) => {
    const match = /^M (\S+) (\S+) L (\S+) (\S+)$/.exec(String(attributes.d));
    if (tag !== 'path' || attributes['stroke-width'] !== width || !match) return [];
    const [x1, y1, x2, y2] = match.slice(1).map(Number);
    return [{ x1, y1, x2, y2, dashed: 'stroke-dasharray' in attributes }];
  });
}
