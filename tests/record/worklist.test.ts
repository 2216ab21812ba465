/** Where notes stand on the worklist, and whose takes wait for an answer. */

import { describe, expect, it } from 'vitest';
import { newAdjustment, newMark, newRound } from '../../src/record/newThings.ts';
import type { Adjustment, Round, Take, WorkMark } from '../../src/record/types.ts';
import { unanswered, workNotes } from '../../src/record/worklist.ts';
import { fullThing } from './generated.ts';

const at = (hour: number) => `2026-05-04T${String(hour).padStart(2, '0')}:00:00.000Z`;

function round(number: number, heard: readonly number[], flagged: readonly number[]): Round {
  const id = `r${number}`;
  const words = {
    score: 0.5,
    findings: ['missed-repeats'],
    line: `Line of round ${number}.`,
    evidence: [],
    next: [],
    cautions: [],
    parts: [],
  };
  return newRound({
    ...{ id, visitId: 'v1', number, startedAt: at(8 + 2 * number) },
    summary: {
      analysisVersion: '0.4.0',
      verdicts: heard.map((midi) => ({ midi, verdict: flagged.includes(midi) ? 'unstable' : 'steady' })),
      flagged: flagged.map((midi) => ({ midi, ...words })),
      line: [],
    },
  });
}

const turned = (midi: number, afterRound: number, hour: number, more: Partial<Adjustment> = {}): Adjustment => ({
  ...newAdjustment({ id: `a-${midi}-${hour}`, visitId: 'v1', midi, at: at(hour), afterRound, what: 'lever' }),
  ...more,
});
const mark = (midi: number, kind: WorkMark['kind'], hour: number): WorkMark =>
  newMark({ id: `m-${midi}-${hour}`, visitId: 'v1', midi, at: at(hour), kind });
const states = (rounds: readonly Round[], adjustments: readonly Adjustment[] = [], marks: readonly WorkMark[] = []) =>
  workNotes({ rounds, adjustments, marks }).map(({ midi, state, flaggedIn, heardAgainIn }) => [
    ...[midi, state, flaggedIn, heardAgainIn],
  ]);

const first = round(1, [60, 62, 64], [60, 64]);
const second = round(2, [60, 62], [60]);

describe('a note on the worklist', () => {
  it('is there when it was flagged, or turned all the same', () => {
    expect(states([first])).toEqual([
      [60, 'open', 1, null],
      [64, 'open', 1, null],
    ]);
    expect(states([first], [turned(62, 1, 11)])[1]).toEqual([62, 'adjusted', null, null]);
  });

  it('is heard again once a later round has it', () => {
    expect(states([first], [turned(60, 1, 11)])[0]).toEqual([60, 'adjusted', 1, null]);
    expect(states([first, second], [turned(60, 1, 11)])[0]).toEqual([60, 'heard-again', 2, 2]);
    // Turned after the second round: again to be heard, and what it was flagged for is the newest.
    expect(states([first, second], [turned(60, 1, 11), turned(60, 2, 13)])[0]).toEqual([60, 'adjusted', 2, null]);
  });

  it('keeps what it was flagged for before it was turned', () => {
    const clear = round(2, [60], []);
    const [note] = workNotes({ rounds: [first, clear], adjustments: [turned(60, 1, 11)], marks: [] });
    expect(note).toMatchObject({ state: 'heard-again', flaggedIn: 1, flagged: { line: 'Line of round 1.' } });
  });

  it('is done or left until it is reopened or turned again', () => {
    const work = turned(60, 1, 11);
    expect(states([first, second], [work], [mark(60, 'done', 13)])[0][1]).toBe('done');
    expect(states([first, second], [work], [mark(60, 'done', 13), mark(60, 'reopened', 14)])[0][1]).toBe('heard-again');
    expect(states([first, second], [work, turned(60, 2, 14)], [mark(60, 'done', 13)])[0][1]).toBe('adjusted');
    expect(states([first], [], [mark(64, 'left-as-is', 13)])[1][1]).toBe('left-as-is');
  });

  it('counts nothing that was taken back', () => {
    expect(states([first], [turned(60, 1, 11, { undone: true })])[0][1]).toBe('open');
    expect(states([round(1, [60], [])], [turned(60, 1, 11, { undone: true })])).toEqual([]);
  });

  it('does not depend on the order in which things are listed', () => {
    const adjustments = [turned(60, 1, 11), turned(64, 1, 11), turned(60, 2, 13)];
    const marks = [mark(64, 'done', 12), mark(64, 'reopened', 13), mark(60, 'left-as-is', 10)];
    const forward = states([first, second], adjustments, marks);
    expect(states([second, first], [...adjustments].reverse(), [...marks].reverse())).toEqual(forward);
  });
});

describe('the question whether a note was adjusted', () => {
  const take = (midi: number, roundId: string, more: Partial<Take> = {}): Take => ({
    ...fullThing('takes'),
    ...{ id: `t-${midi}-${roundId}`, midi, roundId, startedAt: at(12), undone: false },
    ...more,
  });
  const rounds = [first, newRound({ id: 'r2', visitId: 'v1', number: 2, startedAt: at(12) })];
  const asked = (takes: readonly Take[], adjustments: readonly Adjustment[] = [], marks: readonly WorkMark[] = []) =>
    unanswered(rounds[1], takes, { rounds, adjustments, marks });

  it('is asked of flagged notes that are played in a later round, once each', () => {
    expect(asked([take(60, 'r2'), take(60, 'r2', { id: 'other' }), take(62, 'r2')])).toEqual([60]);
    expect(asked([take(60, 'r1')])).toEqual([]);
    expect(asked([take(60, 'r2', { undone: true })])).toEqual([]);
  });

  it('is answered by an adjustment, or by "no"', () => {
    expect(asked([take(60, 'r2'), take(64, 'r2')], [turned(60, 1, 11)])).toEqual([64]);
    expect(asked([take(60, 'r2'), take(64, 'r2')], [], [mark(64, 'not-adjusted', 13)])).toEqual([60]);
    expect(asked([take(60, 'r2')], [turned(60, 1, 11, { undone: true })])).toEqual([60]);
  });

  it('is not asked of a note whose newest round called it steady', () => {
    const three = [...[first, round(2, [60], [])], newRound({ id: 'r3', visitId: 'v1', number: 3, startedAt: at(14) })];
    expect(unanswered(three[2], [take(60, 'r3')], { rounds: three, adjustments: [], marks: [] })).toEqual([]);
  });
});
