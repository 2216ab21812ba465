/** The order of play changes nothing: notes played in another order have the same verdicts, findings and comparison. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareDocuments } from '../../src/analysis/compare.ts';
import type { AnalysisDocument, PooledDocument } from '../../src/analysis/document.ts';
import { together } from '../../src/analysis/together.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from './madeRound.ts';

const ODD: Readonly<Record<number, Partial<MadeNote>>> = {
  44: { ratio: 4 },
  60: { silent: 0.4 },
  72: { shift: 0.2 },
  80: { slow: 3, fast: 5 },
};

/** One take a note, each a document of its own, as a sitting keeps them; two notes are played a second time. */
function takesOf(seed: number, odd: Readonly<Record<number, Partial<MadeNote>>>): AnalysisDocument[] {
  const random = new RandomStream(seed, 'order');
  const take = (midi: number, again = false) =>
    madeRound(random, [{ midi, slow: 8, fast: 12, ...odd[midi] }], { file: `${midi}${again ? '-again' : ''}.wav` });
  return [...KEYS.map((midi) => take(midi)), take(60, true), take(44, true)];
}

/** The documents in another order; takes of one note keep theirs, for the second of a note is its second look. */
function reordered(takes: readonly AnalysisDocument[], keys: readonly number[]): AnalysisDocument[] {
  const placed = takes.map((document, i) => ({ document, midi: document.takes[0].midi, key: keys[i] }));
  const order = placed.map((_, i) => i).sort((a, b) => keys[a] - keys[b]);
  const byNote = new Map<number | null, AnalysisDocument[]>();
  for (const { document, midi } of placed) byNote.set(midi, [...(byNote.get(midi) ?? []), document]);
  return order.map((i) => byNote.get(placed[i].midi)!.shift()!);
}

/** All numbers to eleven digits: sums taken in another order differ in the last ones. */
function rounded(value: unknown): unknown {
  if (typeof value === 'number') return Number(value.toPrecision(11)) + 0;
  if (Array.isArray(value)) return value.map(rounded);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, rounded(inner)]));
}

const judgement = ({ notes, hand, advice, expectedFalseUnstable }: PooledDocument) =>
  rounded({ notes, hand, advice, expectedFalseUnstable });

const before = takesOf(5, ODD);
const after = takesOf(6, { 66: { silent: 0.5 } });
const orders = (length: number) =>
  fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: length, maxLength: length });

describe('the order of play', () => {
  const usual = together(before);

  it('has among its notes some of every verdict and finding that the rest rests on', () => {
    const verdicts = new Set(usual.notes.map(({ verdict }) => verdict));
    expect([...verdicts].sort()).toEqual(['insufficient', 'steady', 'unstable', 'watch']);
    expect(usual.notes.find(({ midi }) => midi === 60)).toMatchObject({ verdict: 'unstable', looks: 2 });
    expect(usual.notes.flatMap(({ findings }) => findings).length).toBeGreaterThanOrEqual(2);
  });

  it('changes no verdict, finding, measure or word', () => {
    fc.assert(
      fc.property(orders(before.length), (keys) => {
        expect(judgement(together(reordered(before, keys)))).toEqual(judgement(usual));
      }),
      { numRuns: 8, seed: 17 },
    );
  });

  it('changes nothing of a comparison', () => {
    const notes = (a: readonly AnalysisDocument[], b: readonly AnalysisDocument[]) => {
      const { notes: found, advice } = compareDocuments(together(a), together(b));
      return rounded({ found, advice });
    };
    const expected = notes(before, after);
    fc.assert(
      fc.property(orders(before.length), orders(after.length), (first, second) => {
        expect(notes(reordered(before, first), reordered(after, second))).toEqual(expected);
      }),
      { numRuns: 4, seed: 18 },
    );
  });
});
