/** From a judged round to what the compass shows: order, words of the table, what is compared. */

import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compareDocuments, type ComparisonDocument } from '../../src/analysis/compare.ts';
import { CHANGE_ORDER } from '../../src/app/compass/changes.ts';
import { compassView } from '../../src/app/compass/compassView.ts';
import { keyAfter, keysFor, nextOf, windowAround } from '../../src/app/compass/keyWindow.ts';
import { USUAL_BREAKS } from '../../src/piano/sections.ts';
import { unpacked, type Packed } from './gallery/packedRound.ts';

const file = JSON.parse(readFileSync(new URL('gallery/compassRound.json', import.meta.url), 'utf8')) as {
  before: Packed;
  after: Packed;
  comparison: ComparisonDocument;
};
const [before, after] = [unpacked(file.before), unpacked(file.after)];
const view = compassView({ document: before, title: 'Round 1', breaks: null });

describe('the view of a round made as sound', () => {
  it('has every note once, bass to treble, and counts that add up', () => {
    expect(view.notes.map(({ midi }) => midi)).toEqual(before.notes.map(({ midi }) => midi));
    expect(Object.values(view.counts).reduce((a, b) => a + b)).toBe(before.notes.length);
    expect(view.breaks).toEqual(USUAL_BREAKS);
    expect(view.compared).toBeNull();
  });

  it('lists the unstable first, then those to watch, then the others from bass to treble', () => {
    const verdicts = view.rows.map(({ verdict }) => verdict);
    const flagged = verdicts.filter((verdict) => verdict === 'unstable' || verdict === 'watch');
    expect(flagged.length).toBeGreaterThan(2);
    expect(verdicts.slice(0, flagged.length)).toEqual([...flagged].sort());
    const others = view.rows.slice(flagged.length).map(({ midi }) => midi);
    expect(others).toEqual([...others].sort((a, b) => a - b));
    expect(view.rows).toHaveLength(view.notes.length);
  });

  it('keeps zero, not played and not enough apart', () => {
    const cells = (midi: number) => view.notes.find((note) => note.midi === midi)!.row;
    // B6 was played five times slowly and not fast at all; E2 was.
    expect(cells(95)).toMatchObject({
      silent: 'not played',
      of: 'not played',
      gentle: 'not played',
      off: 'not enough',
    });
    expect(cells(40)).toMatchObject({ silent: '0', of: '11', gentle: 'not played' });
    expect(cells(47).gentle).toMatch(/^\d \u00b7 \d of \d$/);
    expect(cells(40).offRange).toMatch(/^[+\u2212]\d+\.\d to [+\u2212]\d+\.\d$/);
  });

  it('takes the words of the notes', () => {
    for (const { midi, line, evidence } of view.notes) {
      const { words } = before.notes.find((note) => note.midi === midi)!;
      expect([line, evidence]).toEqual([words.line, words.evidence[0] ?? null]);
    }
  });
});

describe('an earlier round', () => {
  const earlier = { document: before, comparison: file.comparison, title: 'Round 1, then round 2' };

  it('gives the notes that both have, with both counts and what became of them', () => {
    const { compared } = compassView({ document: after, title: 'Round 2', breaks: [47], earlier });
    expect(compared!.worked.map(({ midi }) => midi).sort((a, b) => a - b)).toEqual(after.notes.map(({ midi }) => midi));
    const order = compared!.worked.map(({ change }) => CHANGE_ORDER.indexOf(change));
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(compared!.worked.find(({ midi }) => midi === 51)!.words).toMatch(/^Repeats: .* of \d+, then .* of \d+$/);
  });

  it('gives what became of the whole piano, in the comparison’s own sentences', () => {
    const comparison = compareDocuments(before, after, { worked: [51] });
    const { compared } = compassView({
      document: after,
      title: 'Round 2',
      breaks: null,
      earlier: { ...earlier, comparison },
    });
    expect(compared!.whole).toEqual(comparison.whole!.words);
    expect(compared!.whole[0]).toMatch(/^Turned notes \(1\)\. /);
  });

  it('gives only the adjusted ones where they are known', () => {
    const { compared } = compassView({
      document: after,
      title: 'Round 2',
      breaks: null,
      earlier: { ...earlier, worked: [51, 40] },
    });
    expect(compared!.worked.map(({ midi }) => midi)).toEqual([51]);
  });
});

describe('the window of keys', () => {
  it('holds the selected key, moves no further than needed, and stays on the keyboard', () => {
    for (const keys of [11, 22, 44, 88]) {
      let from = 40;
      for (const selected of [21, 108, 60, 61, 62, 40, 107, 22]) {
        const { from: start, to } = windowAround(selected, from, keys);
        expect(to - start + 1).toBe(keys);
        expect(start >= 21 && to <= 108 && selected >= start && selected <= to, `${selected} of ${keys}`).toBe(true);
        from = start;
      }
    }
    expect(windowAround(60, 50, 22)).toEqual({ from: 50, to: 71 });
    expect(windowAround(70, 50, 22)).toEqual({ from: 51, to: 72 });
  });

  it('has 22 keys on a phone, all on a laptop, half of them with large text', () => {
    expect([keysFor(350, 1), keysFor(1072, 1), keysFor(350, 2), keysFor(1072, 2)]).toEqual([22, 88, 11, 44]);
  });

  it('steps by key and to the next flagged one, never past an end', () => {
    expect(keyAfter('ArrowRight', 108, [])).toBe(108);
    expect(keyAfter('PageUp', 60, [50, 70, 65])).toBe(65);
    expect(keyAfter('PageDown', 60, [])).toBe(60);
    expect(keyAfter('a', 60, [61])).toBeNull();
    expect(nextOf([50, 70], 70, 1)).toBeNull();
  });
});
