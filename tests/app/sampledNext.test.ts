/** What a sampled round proposes, from the book of a round as it was judged; and that a proposal begins a round. */

import { describe, expect, it } from 'vitest';
import { proposalAfter, sampledNext } from '../../src/app/desk/sampledNext.ts';
import { breaksWithin, troubledOn } from '../../src/app/sitting/breaks.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { judged } from '../../src/analysis/analyse.ts';
import { sampled } from '../../src/piano/notePlans.ts';
import { newPiano, newRound, newTake } from '../../src/record/newThings.ts';
import type { Take } from '../../src/record/types.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { madeRound } from '../analysis/madeRound.ts';
import { inThread, TODAY } from './sitting/inThread.ts';

const piano = newPiano({ id: 'p', name: 'Aldervane 274' });
const PLAN = sampled();
const SAMPLES = PLAN.steps.map(({ midi }) => midi);

/** A sampled round as played: `bad` of its notes miss every second repeat. */
async function bookOf(bad: readonly number[], closed = true, plan = PLAN): Promise<RoundBook> {
  const random = new RandomStream(7, 'sampled');
  const takes = SAMPLES.map((midi, i): Take => {
    const heard = madeRound(random, [{ midi, silent: bad.includes(midi) ? 0.5 : 0, slow: 8, fast: 24 }]);
    const strokes = heard.strokes.map((stroke) => ({ ...stroke, take: 1 }));
    const own = { id: `t${i}`, visitId: 'v', roundId: 'r', number: i + 1, midi, startedAt: TODAY };
    const document = { ...heard, strokes, ...judged(strokes, heard.takes) };
    return newTake({ ...own, sampleRate: 48000, frames: 48000, pieces: 0, heard: document });
  });
  const round = newRound({
    ...{ id: 'r', visitId: 'v', number: 1, startedAt: TODAY, closedAt: closed ? TODAY : null, plan },
  });
  const book = new RoundBook(round, takes, null);
  await book.judge(inThread);
  return book;
}

describe('a sampled round', () => {
  it('says how many notes may be affected, and proposes what lies around the flagged one', async () => {
    const book = await bookOf([64]);
    expect(book.notes.find(({ midi }) => midi === 64)?.verdict).toBe('unstable');
    const proposal = proposalAfter(book, piano)!;
    expect(proposal.kind).toBe('beside-flagged');
    expect(proposal.plan.steps.map(({ midi }) => midi)).toEqual(expect.arrayContaining([63, 64, 65]));
    const next = sampledNext(book, piano)!;
    expect(next.share).toMatch(
      /^1 of \d+ sampled notes is to be seen to\..* It says nothing about a note that was not heard\.$/,
    );
    expect(next).toMatchObject({ notes: proposal.plan.steps.length });
    expect(next.minutes).toBeGreaterThan(2);
  });

  it('proposes nothing while notes are still to be played, or where other notes were asked for', async () => {
    expect(proposalAfter(await bookOf([64], false), piano)).toBeNull();
    expect(proposalAfter(await bookOf([64], true, { ...PLAN, kind: 'hand-picked' }), piano)).toBeNull();
  });
});

it('sections are those that lie on the piano, and an upright’s are not told of', () => {
  expect(breaksWithin(newPiano({ id: 'p', name: 'x', lowest: 47, highest: 88 }))).toEqual([71]);
  const verdicts = [60, 61, 62, 63].map((midi) => ({ midi, verdict: 'watch' as const }));
  expect(troubledOn(piano, verdicts)).toMatchObject([{ section: { name: 'Tenor' }, flagged: 4, heard: 4 }]);
  expect(troubledOn({ ...piano, kind: 'upright' }, verdicts)).toEqual([]);
});
