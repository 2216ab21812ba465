/** Which flagged notes have a fair "before", and of which a comparison may take a whole round for one. */

import { describe, expect, it } from 'vitest';
import { FRESH_BEFORE_WORDS, freshIn, withoutFreshBefore } from '../../src/record/freshBefore.ts';
import { newAdjustment, newRound } from '../../src/record/newThings.ts';
import type { Adjustment, Round, Take } from '../../src/record/types.ts';
import { fullThing } from './generated.ts';

const at = (hour: number) => `2026-05-04T${String(hour).padStart(2, '0')}:00:00.000Z`;

function round(number: number, heard: readonly number[], flagged: readonly number[]): Round {
  const words = { score: 0.5, findings: [], line: 'So.', evidence: [], next: [], cautions: [], parts: [] };
  return newRound({
    ...{ id: `r${number}`, visitId: 'v1', number, startedAt: at(8 + number) },
    summary: {
      analysisVersion: '0.4.0',
      verdicts: heard.map((midi) => ({ midi, verdict: flagged.includes(midi) ? 'watch' : 'steady' })),
      flagged: flagged.map((midi) => ({ midi, ...words })),
      line: [],
    },
  });
}

const [kept] = [fullThing('takes')];

/** A take of so many slow and fast strokes. */
function take(
  roundNumber: number,
  number: number,
  midi: number,
  { slow = 8, fast = 12, ...more }: { slow?: number; fast?: number } & Partial<Take> = {},
): Take {
  const stroke = kept.heard.strokes[0];
  const strokes = Array.from({ length: slow + fast }, (_, i) => ({
    ...stroke,
    ...{ midi, kind: 'sounded' as const, passage: i < slow ? ('slow' as const) : ('fast' as const) },
  }));
  const heard = { ...kept.heard, strokes };
  const own = { id: `t${roundNumber}-${number}`, visitId: 'v1', roundId: `r${roundNumber}`, number, midi, heard };
  return { ...kept, ...own, asked: 'slow-fast', undone: false, jammed: false, ...more };
}

const turned = (midi: number, afterRound: number, more: Partial<Adjustment> = {}): Adjustment => ({
  ...newAdjustment({ id: `a${midi}-${afterRound}`, visitId: 'v1', midi, at: at(20), afterRound, what: 'lever' }),
  ...more,
});

const first = round(1, [60, 62, 64], [60, 64]);
const lacking = (rounds: readonly Round[], takes: readonly Take[], adjustments: readonly Adjustment[] = []) =>
  withoutFreshBefore({ rounds, adjustments, marks: [] }, takes);

describe('a flagged note', () => {
  const one = [take(1, 1, 60), take(1, 2, 62), take(1, 3, 64)];

  it('has no fair before where the pass that flagged it is all there is; one that was not flagged is not asked for', () => {
    expect(lacking([first], one)).toEqual([60, 64]);
    expect(FRESH_BEFORE_WORDS.split(/[.!?](?: |$)/).filter((words) => words !== '')).toHaveLength(1);
  });

  it('has one once it was played again, in the same round or a later one', () => {
    expect(lacking([first], [...one, take(1, 4, 60, { asked: 'open', slow: 18, fast: 36 })])).toEqual([64]);
    expect(lacking([first, round(2, [60], [])], [...one, take(2, 1, 60)])).toEqual([64]);
  });

  it('has none by a first look in pieces, too few strokes, another way of playing, or a take that was taken back', () => {
    const pieces = [take(1, 1, 60, { fast: 0 }), take(1, 2, 60, { slow: 0 })];
    expect(lacking([round(1, [60], [60])], pieces)).toEqual([60]);
    for (const more of [
      { slow: 3 },
      { fast: 8 },
      { asked: 'full-return' as const },
      { undone: true },
      { jammed: true },
    ]) {
      expect(lacking([first], [...one, take(1, 4, 60, more)])).toEqual([60, 64]);
    }
    // A second look in two takes is one.
    expect(lacking([first], [...one, take(1, 4, 60, { fast: 0 }), take(1, 5, 60, { slow: 0 })])).toEqual([64]);
  });

  it('begins anew when it was turned: its new before are strokes since', () => {
    const again = [first, round(2, [60], [60])];
    const takes = [...one, take(1, 4, 60), take(2, 1, 60)];
    expect(lacking(again, takes, [turned(60, 1)])).toEqual([60, 64]);
    expect(lacking(again, [...takes, take(2, 2, 60)], [turned(60, 1)])).toEqual([64]);
    // Turned and not heard since: nothing is to be played before.
    expect(lacking([first], one, [turned(60, 1)])).toEqual([64]);
    expect(lacking([first], one, [turned(60, 1, { undone: true })])).toEqual([60, 64]);
  });
});

describe('a round that is compared as before', () => {
  it('is fresh of the notes that an earlier round had flagged, unless they were turned in between', () => {
    const second = round(2, [60, 62, 64], [60, 62]);
    const rounds = [first, second, round(3, [60, 62, 64], [])];
    expect(freshIn(second, { rounds, adjustments: [] })).toEqual([60, 64]);
    expect(freshIn(second, { rounds, adjustments: [turned(60, 1)] })).toEqual([64]);
    expect(freshIn(second, { rounds, adjustments: [turned(60, 2)] })).toEqual([60, 64]);
    expect(freshIn(first, { rounds, adjustments: [] })).toEqual([]);
  });
});
