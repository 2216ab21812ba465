/** Repeats written down sign by sign, and notes in order as their company. */

import { judgeRepeats } from '../../src/steadiness/repeats/judgeRepeats.ts';
import type { BaseRates, RepeatEvidence } from '../../src/steadiness/evidence.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { NotePlay, RecordedTake } from '../../src/steadiness/round.ts';
import { silent, stroke } from '../pictures/strokes.ts';

const WEAK = { relativeDb: -12, force: 'weak' } as const;
const LOW = { relativeDb: -7 } as const;
const AFTER_DAMPED = { preceding: { kind: 'fast', restSeconds: 0.16, damped: true, gapDb: 9 } } as const;

/**
 * A passage written down: `.` sounded, `s` silent, `w` weak, `l` 7 dB under; a capital follows a damped gap (`O` sounded),
 * `:` sounded and struck twice.
 */
export function passage(written: string, { midi = 60, take = 1, perSecond = 6, from = 10 } = {}): RecordedStroke[] {
  return [...written].flatMap((sign, i) => {
    const time = from + i / perSecond;
    const damped = sign !== sign.toLowerCase() ? AFTER_DAMPED : {};
    const at = { midi, take, passage: 'fast' as const, ...damped };
    switch (sign.toLowerCase()) {
      case 's':
        return [silent(time, at)];
      case 'w':
        return [stroke(time, { ...at, ...WEAK })];
      case 'l':
        return [stroke(time, { ...at, ...LOW })];
      case ':':
        return [stroke(time, at), stroke(time + 0.06, { ...at, kind: 'double', force: null })];
      default:
        return [stroke(time, at)];
    }
  });
}

export function slow(n: number, midi: number, take: number): RecordedStroke[] {
  return Array.from({ length: n }, (_, i) => stroke(1 + i, { midi, take }));
}

export function note(
  midi: number,
  looks: readonly (readonly RecordedStroke[])[],
  asked: RecordedTake['asked'] = null,
): NotePlay {
  const takes = new Map<number, RecordedTake>();
  for (const { take } of looks.flat()) takes.set(take, { take, midi, asked, touch: null, ratePerSecond: null });
  return { midi, looks, takes };
}

export const CLEAN = '............';

/** Notes in order, each with 8 slow strokes and one passage; every sixth has one stroke low, so that the keys were half let up. */
export function company(n: number, from = 21): NotePlay[] {
  return Array.from({ length: n }, (_, i) => {
    const midi = from + i;
    const take = 100 + i;
    const written = i % 6 === 0 ? '.....l.w....' : '...l........';
    return note(midi, [[...slow(8, midi, take), ...passage(written, { midi, take })]]);
  });
}

/** Fresh strokes of a later look: twice so at six a second, once clean at eight. */
export const fresh = (written: string, take = 2) => [
  ...passage(written, { take, from: 40 }),
  ...passage(written, { take, from: 50 }),
  ...passage(CLEAN, { take, from: 60, perSecond: 8 }),
];

export const RATES: BaseRates = {
  steady: { silent: 0.005, faint: 0.01 },
  quick: { silent: 0.005, faint: 0.01 },
  doubles: 0.002,
  notes: 20,
};

/** The note 60 with these looks among 20 notes in order. */
export function among(...looks: (readonly RecordedStroke[])[]): RepeatEvidence {
  return judgeRepeats([...company(20), note(60, looks)], null).notes.get(60)!;
}
