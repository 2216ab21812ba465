/** Which steps of a plan are done. */

import { describe, expect, it } from 'vitest';
import { donePatterns, type PlayedTake } from '../../src/piano/progress.ts';

const take = (asked: PlayedTake['asked'], slow: number, fastPassages: number, midi = 60): PlayedTake => ({
  midi,
  asked,
  slow,
  fastPassages,
});

describe('patterns', () => {
  it('slow and fast are done together, in one take or two', () => {
    expect(donePatterns([take('slow-fast', 8, 0)])).toEqual([]);
    expect(donePatterns([take('slow-fast', 8, 1)])).toEqual([{ midi: 60, asked: 'slow-fast' }]);
    expect(donePatterns([take('slow-fast', 8, 0), take('slow-fast', 0, 1)])).toHaveLength(1);
    expect(donePatterns([take('slow-fast', 4, 1)])).toEqual([]);
  });

  it('an open note needs its three fast passages', () => {
    expect(donePatterns([take('open', 18, 1), take('open', 0, 1)])).toEqual([]);
    expect(donePatterns([take('open', 18, 1), take('open', 0, 1), take('open', 0, 1)])).toHaveLength(1);
    expect(donePatterns([take('open', 18, 3), take('open', 18, 3)])).toHaveLength(2);
  });

  it('what is only fast, or only slow, is done by itself; notes are apart', () => {
    expect(donePatterns([take('full-return', 0, 1)])).toHaveLength(1);
    expect(donePatterns([take('gentle', 8, 0)])).toHaveLength(1);
    expect(donePatterns([take('bar', 16, 0)])).toHaveLength(1);
    expect(donePatterns([take('slow-fast', 8, 0, 60), take('slow-fast', 0, 1, 62)])).toEqual([]);
  });
});
