/** What the compass says in place of its pictures. */

import { describe, expect, it } from 'vitest';
import { compassLayout, PHONE_ROWS } from '../../src/pictures/compass/layout.ts';
import { pairMeasure, pairPicture, pairWords } from '../../src/pictures/compass/pairPicture.ts';
import { keySentence, platformSentence, rowSentences } from '../../src/pictures/compass/sentences.ts';
import { failing, fullRound, note, roundOf } from './compassNotes.ts';

describe('the sentence of a key', () => {
  it('says verdict, repeats, timing, rest and how many strokes', () => {
    const one = {
      ...failing(51, 4, 3),
      timing: { value: -0.9, low: -2.7, high: 0.8 },
      offsets: Array.from({ length: 15 }, (_, i) => i - 7),
    };
    expect(keySentence(51, one)).toBe(
      'D sharp 3, key 31, unstable, 4 silent and 3 weak of 24, timing 1 in 100 early, rest 1.1 times a firm note\u2019s, 15 clear strokes',
    );
  });

  it('keeps zero, not played, not enough and not heard apart', () => {
    expect(keySentence(60, note(60))).toContain(', 0 failed of 23,');
    const bare = note(60, { repeats: null, timing: null, restRatio: null, offsets: [], verdict: 'insufficient' });
    expect(keySentence(60, bare)).toBe(
      'C4, key 40, not enough yet, no fast strokes, timing not enough to say, rest not enough to say, 0 clear strokes',
    );
    expect(keySentence(21, null)).toBe('A0, key 1, not heard');
  });

  it('counts gentle strokes apart', () => {
    const gentle = { silent: 2, weak: 0, double: 1, of: 8 };
    expect(keySentence(60, note(60, { gentle }))).toContain('gentle: 2 silent and 1 double of 8');
  });
});

describe('the sentences of the rows', () => {
  it('name what is off, the worst first', () => {
    const late = { timing: { value: 6, low: 4, high: 8 }, colours: { ...note(78).colours, timing: 'amber' as const } };
    const wanders = { restRatio: 2.63, colours: { ...note(64).colours, rest: 'ember' as const } };
    const round = fullRound(8, (midi) =>
      midi === 51
        ? failing(51, 4, 3)
        : midi === 74
          ? failing(74, 6, 2)
          : midi === 78
            ? late
            : midi === 64
              ? wanders
              : {},
    );
    expect(rowSentences(round)).toEqual({
      repeats: 'Repeats of 88 notes: D5 6 silent and 2 weak of 24; D sharp 3 4 silent and 3 weak of 24.',
      timing: 'Timing of 88 notes: F sharp 5 6 in 100 late.',
      rest: 'Rest of 88 notes: E4 2.6 times a firm note\u2019s.',
    });
    expect(platformSentence(round)).toBe('88 notes heard: 2 unstable (D sharp 3, D5), 0 to watch.');
  });

  it('say that nothing is off, and that nothing was heard', () => {
    expect(rowSentences(fullRound(8)).repeats).toBe('Repeats of 88 notes: none failed twice.');
    expect(rowSentences(roundOf([])).rest).toBe('Rest: nothing heard yet.');
    expect(platformSentence(roundOf([]))).toBe('Nothing heard yet.');
  });
});

describe('before and after', () => {
  it('takes the measure that was off before, and says both', () => {
    const [before, after] = [failing(51, 4, 3), note(51, { repeats: { silent: 0, weak: 1, double: 0, of: 24 } })];
    expect(pairMeasure(before, after)).toBe('repeats');
    expect(pairWords(before, after, 'repeats')).toBe('Repeats: 4 silent and 3 weak, then 1 weak of 24');
    expect(pairWords(before, note(51), 'repeats')).toBe('Repeats: 4 silent and 3 weak of 24, then 0 failed of 23');
    const wandering = note(64, { restRatio: 3, colours: { ...note(64).colours, rest: 'ember' } });
    expect(pairMeasure(wandering, note(64))).toBe('rest');
    expect(pairWords(wandering, note(64), 'rest')).toBe('Rest: 3.0, then 1.1 times a firm note\u2019s');
    expect(pairWords(note(64), note(64), 'timing')).toBe('Timing: 1 in 100 late, then 1 in 100 late');
  });

  it('compares nothing that one of the rounds lacks', () => {
    const bare = note(51, { repeats: null, gentle: null, timing: null, restRatio: null });
    expect(pairMeasure(failing(51, 4, 3), bare)).toBeNull();
    expect(() => pairPicture(failing(51, 4, 3), bare, 'repeats')).toThrow(/D sharp 3 has no repeats; expected/);
  });
});

describe('a layout', () => {
  it('puts all keys on one axis, each a column of the same width', () => {
    const { x, key, left, right } = compassLayout({ ...PHONE_ROWS, width: 350, from: 44, to: 65, text: 13 });
    expect(x(44)).toBeCloseTo(left + key / 2, 10);
    expect(x(65)).toBeCloseTo(right - key / 2, 10);
    expect(x(45) - x(44)).toBeCloseTo(key, 10);
  });

  it.each([
    [{ from: 65, to: 44, width: 350 }, /keys 65 to 44/],
    [{ from: 44, to: 65, width: 80 }, /on 80 pixels; expected low first, and 108 pixels/],
    [{ from: 44, to: 65, width: NaN }, RangeError],
  ])('refuses %j', (part, message) => {
    expect(() => compassLayout({ ...PHONE_ROWS, text: 13, ...part })).toThrow(message);
  });
});
