/** A piano's visits side by side: what drifts, what came back, what is to be taken with reserve, when to come again. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Verdict } from '../../src/analysis/document.ts';
import { comeAgain } from '../../src/record/comeAgain.ts';
import { newAdjustment, newRound, newVisit } from '../../src/record/newThings.ts';
import { seasonsOf, SEASON_STORIES, type KeptVisit, type SeasonNote } from '../../src/record/seasons.ts';
import type { Round, Visit } from '../../src/record/types.ts';

const at = (month: number) => `2026-${String(month).padStart(2, '0')}-04T10:00:00.000Z`;
const LETTERS: Readonly<Record<string, Verdict>> = { s: 'steady', w: 'watch', u: 'unstable', i: 'insufficient' };

/** A visit in a month: for each round the verdicts of notes 60, 61, ... as letters, a blank for one not heard. */
function visitIn(
  month: number,
  rounds: readonly string[],
  more: Partial<Visit> = {},
  turned: readonly number[] = [],
): KeptVisit {
  const visit = newVisit({ id: `v${month}`, pianoId: 'p', startedAt: at(month), ...more });
  return {
    visit,
    rounds: rounds.map((letters, i): Round => {
      const verdicts = [...letters].flatMap((letter, k) =>
        letter === ' ' ? [] : [{ midi: 60 + k, verdict: LETTERS[letter] }],
      );
      const own = { id: `r${month}-${i}`, visitId: visit.id, number: i + 1, startedAt: at(month) };
      return newRound({ ...own, summary: { analysisVersion: '0.4.0', verdicts, flagged: [], line: [] } });
    }),
    adjustments: turned.map((midi) =>
      newAdjustment({ id: `a${month}-${midi}`, visitId: visit.id, midi, at: at(month), afterRound: 1, what: 'lever' }),
    ),
  };
}
const stories = (...visits: readonly KeptVisit[]) => seasonsOf(visits).notes.map(({ story }) => story);
/** The story of one note from its visits, each "found" or "found, left". */
const story = (...visits: readonly string[]) => stories(...visits.map((letters, i) => visitIn(i + 1, [...letters])))[0];

describe('a note over the visits', () => {
  it.each([
    [['s', 's'], 'in-order'],
    [['s', 'w'], 'drifts'],
    [['s', 's', 'u'], 'drifts'],
    [['us', 'w'], 'came-back'],
    [['us', 's', 'u'], 'came-back'],
    [['s', 'us', 'u'], 'came-back'],
    [['w', 'u'], 'still-flagged'],
    [['w', 's'], 'stayed'],
    [['us', 's'], 'stayed'],
    [['us'], 'flagged-once'],
    [['w'], 'flagged-once'],
    [['i', 'w'], 'flagged-once'],
    [['s', 'i', 'w'], 'drifts'],
    [['us', 'w', 's'], 'stayed'],
  ] as const)('%j: %s', (letters, expected) => {
    expect(story(...letters)).toBe(expected);
  });

  it('is found as it was heard first and left as it was heard last, what was not enough left out', () => {
    const { notes, visits } = seasonsOf([visitIn(5, ['iu', 'us', 'si'], {}, [61])]);
    expect(notes.map(({ cells }) => cells[0])).toEqual([
      { found: 'unstable', left: 'steady', turned: false },
      { found: 'unstable', left: 'steady', turned: true },
    ]);
    expect(visits[0].counts).toEqual({ steady: 2, watch: 0, unstable: 0, insufficient: 0 });
  });

  it('has a place in every visit, in order of time whatever the order given', () => {
    const kept = [visitIn(11, [' ws']), visitIn(5, ['ss'])];
    const { visits, notes } = seasonsOf(kept);
    expect(visits.map(({ visit }) => visit.id)).toEqual(['v5', 'v11']);
    expect(notes.map(({ midi, cells }: SeasonNote) => [midi, ...cells.map((cell) => cell?.found ?? null)])).toEqual([
      [60, 'steady', null],
      [61, 'steady', 'watch'],
      [62, null, 'steady'],
    ]);
    const letters = fc.stringMatching(/^[swui ]{1,4}$/);
    fc.assert(
      fc.property(fc.array(fc.array(letters, { minLength: 1, maxLength: 3 }), { maxLength: 4 }), (months) => {
        const all = months.map((rounds, i) => visitIn(i + 1, rounds));
        const seasons = seasonsOf(all);
        expect(seasonsOf([...all].reverse())).toEqual(seasons);
        for (const { cells, story: told } of seasons.notes) {
          expect(cells).toHaveLength(seasons.visits.length);
          expect(SEASON_STORIES).toContain(told);
        }
      }),
    );
  });

  it('is not in a visit that was never judged', () => {
    const empty = { ...visitIn(3, ['s']), rounds: [newRound({ id: 'r', visitId: 'v3', number: 1, startedAt: at(3) })] };
    expect(seasonsOf([empty]).visits).toEqual([]);
    expect(comeAgain(seasonsOf([empty]))).toEqual([]);
  });
});

describe('what is to be taken with reserve', () => {
  const said = { humidityPercent: 45, microphonePlace: 'left of the keys', player: 'R.', referenceId: 'h' };
  const reserves = (before: Partial<Visit>, after: Partial<Visit>) =>
    seasonsOf([visitIn(5, ['s'], { ...said, ...before }), visitIn(11, ['s'], { ...said, ...after })]).reserves;

  it('is nothing between alike visits, and nothing of one alone', () => {
    expect(reserves({}, { microphonePlace: 'Left of  the keys', humidityPercent: 54 })).toEqual([]);
    expect(seasonsOf([visitIn(5, ['s'])]).reserves).toEqual([]);
  });

  it.each([
    [{ humidityPercent: 55 }, 'other-climate'],
    [{ humidityPercent: null }, 'climate-unknown'],
    [{ microphonePlace: 'on the desk' }, 'other-place'],
    [{ player: 'S.' }, 'other-player'],
    [{ referenceId: 'k' }, 'other-hand'],
  ] as const)('%j: %s', (after, expected) => {
    expect(reserves({}, after)).toEqual([expected]);
  });

  it('is another microphone where both are known, and another analysis', () => {
    expect(reserves({ microphone: 'A' }, {})).toEqual([]);
    expect(reserves({ microphone: 'A' }, { microphone: 'B' })).toEqual(['other-microphone']);
    const [first, second] = [visitIn(5, ['s'], said), visitIn(11, ['s'], said)];
    const [round] = second.rounds;
    const newer = { ...second, rounds: [{ ...round, summary: { ...round.summary!, analysisVersion: '0.5.0' } }] };
    expect(seasonsOf([first, newer]).reserves).toEqual(['other-analysis']);
  });
});

describe('when to come again', () => {
  const codes = (...visits: readonly KeptVisit[]) => comeAgain(seasonsOf(visits)).map(({ code }) => code);

  it('is after new parts have settled, in the other season, and with the season where notes moved', () => {
    expect(codes(visitIn(5, ['s'], { newParts: 'Hammers, A0 to E3.', humidityPercent: 50 }))).toEqual(['new-parts']);
    expect(codes(visitIn(1, ['s'], { humidityPercent: 30 }))).toEqual(['dry']);
    expect(codes(visitIn(8, ['s'], { humidityPercent: 68 }))).toEqual(['damp']);
    expect(codes(visitIn(1, ['s'], { humidityPercent: 30 }), visitIn(8, ['w'], { humidityPercent: 68 }))).toEqual([
      'drifting',
      'damp',
    ]);
    expect(codes(visitIn(5, ['s']))).toEqual(['other-season']);
  });

  it('says that it is common practice, without a source', () => {
    const all = comeAgain(seasonsOf([visitIn(5, ['s'], { newParts: 'Hammers, A0 to E3.' })]));
    expect(all).toMatchObject([{ grade: 'common practice', source: null }]);
    expect(all[0].words).toContain('(Hammers, A0 to E3)');
  });
});
