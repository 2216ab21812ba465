/** One word for a note: the compass, the report in the app and the command line compare the same takes. */

import { expect, it } from 'vitest';
import { compareWith, earlierRound } from '../../src/app/desk/comparing.ts';
import { reportedVisit } from '../../src/app/report/reportedVisit.ts';
import { RoundBook } from '../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../src/app/sitting/sitting.ts';
import { judgeVisit } from '../../src/cli/visits/judgeVisit.ts';
import { judged } from '../../src/analysis/analyse.ts';
import { together } from '../../src/analysis/together.ts';
import { compassRound } from '../../src/pictures/compass/compassNote.ts';
import { beforeSide, countedTakes } from '../../src/record/beforeSide.ts';
import { newAdjustment, newMark, newPiano, newRound, newTake, newVisit } from '../../src/record/newThings.ts';
import { summaryOf } from '../../src/record/rounds.ts';
import type { Round, Take } from '../../src/record/types.ts';
import { toAskIn } from '../../src/record/worklist.ts';
import { standings } from '../../src/report/standing.ts';
import { pairOf, type VisitThings } from '../../src/report/visit.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from '../analysis/madeRound.ts';
import { smallThings } from '../report/visits.ts';
import { inThread, TODAY } from './sitting/inThread.ts';

/** The visit as judged round by round, which is how a sitting leaves it. */
function withSummaries(things: VisitThings): VisitThings {
  return things.rounds.reduce<VisitThings>((so, round) => {
    const takes = countedTakes(round, so);
    const document = together(takes.map(({ heard }) => heard));
    const midis = [...new Set(takes.map(({ midi }) => midi))];
    const summary = summaryOf(document, midis, compassRound(document).notes);
    return { ...so, rounds: so.rounds.map((one) => (one.id === round.id ? { ...one, summary } : one)) };
  }, things);
}

/** The last round on the desk, everything in a store without sound. */
async function sittingOf(things: VisitThings): Promise<Sitting> {
  const store = memoryStore();
  const { piano, visit, rounds, takes, adjustments, marks } = things;
  await store.put('pianos', piano);
  await store.put('visits', visit);
  for (const round of rounds) await store.put('rounds', round);
  for (const take of takes) await store.put('takes', take);
  for (const one of adjustments) await store.put('adjustments', one);
  for (const one of marks) await store.put('marks', one);
  const last = rounds[rounds.length - 1];
  const own = takes.filter(({ roundId }) => roundId === last.id).sort((a, b) => a.number - b.number);
  const book = new RoundBook(last, own, null);
  book.withhold(toAskIn(last, things));
  const parts = { sampleRate: () => 48000, tell: () => undefined, newId: () => 'x', changed: () => undefined };
  const now = () => new Date(TODAY);
  return new Sitting({ store, refiner: inThread, judge: inThread, book, piano, visit, now, ...parts });
}

/** Change words by note, from each of the three makers, and what the report's rows say. */
async function saidOf(made: VisitThings) {
  const things = withSummaries({ ...made, takes: made.takes.map((take) => ({ ...take, pieces: 0 })) });
  const sitting = await sittingOf(things);
  const earlier = earlierRound(sitting, things.rounds)!;
  const { title, comparison } = await compareWith(sitting, earlier, things.rounds, inThread);
  const inApp = await reportedVisit(sitting, inThread, false);
  const onLine = await judgeVisit({ things, invented: false, sound: async () => null });
  const words = (reported: typeof inApp) =>
    standings(reported).flatMap((note) =>
      note.comparison ? [[note.midi, note.comparison.change, note.comparison.words] as const] : [],
    );
  const compass = comparison.notes.map(({ midi, change, words: line }) => [midi, change, line] as const);
  return { title, compass, app: words(inApp), line: words(onLine) };
}

it('the demo visit: a note changed as the compass says, in the report too', async () => {
  const { compass, app, line } = await saidOf(smallThings());
  expect(compass.map(([, change]) => change)).toContain('improved');
  expect(app).toEqual(compass);
  expect(line).toEqual(compass);
});

const piano = newPiano({ id: 'p', name: 'Aldervane 274' });
const visit = newVisit({ id: 'v', pianoId: 'p', startedAt: TODAY });
const setting = { microphone: null, microphonePlace: null, player: 'R.', referenceId: null };

function takeOf(roundId: string, number: number, asked: Take['asked'], note: MadeNote): Take {
  const heard = madeRound(new RandomStream(11, `${roundId} ${number}`), [note], { file: `${roundId}-${number}.wav` });
  const takes = heard.takes.map((take) => ({ ...take, asked }));
  const own = { id: `${roundId}-${number}`, visitId: 'v', roundId, number, midi: note.midi, startedAt: TODAY };
  const document = { ...heard, takes, ...judged(heard.strokes, takes) };
  return newTake({ ...own, asked, sampleRate: 48000, frames: 48000, pieces: 0, heard: document });
}

/** Note 60 misses repeats, is heard afresh in a round of its own, turned, and heard again; 72 misses them throughout. */
function freshVisit(turned: { midi: number; afterRound: number }[]): VisitThings {
  const whole = (roundId: string, bad: number, fast = 12) =>
    KEYS.map((midi, i) =>
      takeOf(roundId, i + 1, 'slow-fast', { midi, fast, silent: midi === 60 ? bad : midi === 72 ? 0.5 : 0 }),
    );
  const open = takeOf('r2', 1, 'open', { midi: 60, slow: 18, fast: 36, silent: 0.4 });
  const roundOf = (number: number, kind: Round['plan']['kind']) =>
    newRound({
      ...{ id: `r${number}`, visitId: 'v', number, startedAt: TODAY, closedAt: TODAY, setting },
      plan: { kind, steps: [] },
    });
  return {
    ...{ piano, visit, gauges: [], hours: [], reference: null },
    rounds: [roundOf(1, 'free'), roundOf(2, 'open-worklist'), roundOf(3, 'after-adjustment')],
    takes: [...whole('r1', 0.3), open, ...whole('r3', 0, 36)],
    adjustments: turned.map((one) =>
      newAdjustment({ id: `turn-${one.midi}`, visitId: 'v', at: TODAY, what: 'lever', ...one }),
    ),
    marks: KEYS.map((midi) => newMark({ id: `mark-${midi}`, visitId: 'v', midi, at: TODAY, kind: 'not-adjusted' })),
  };
}

it('a round of fresh strokes: it stands with the round that flagged, everywhere', async () => {
  const { title, compass, app, line } = await saidOf(freshVisit([{ midi: 60, afterRound: 2 }]));
  expect(title).toBe('Rounds 1 and 2');
  expect(compass.map(([midi]) => midi)).toEqual(KEYS);
  expect(compass.find(([midi]) => midi === 60)![1]).toBe('improved');
  expect(app).toEqual(compass);
  expect(line).toEqual(compass);
});

it('a note that was turned though the fresh round did not hear it keeps what was heard of it before', async () => {
  const things = withSummaries(freshVisit([{ midi: 72, afterRound: 1 }]));
  expect(beforeSide(things.rounds[1], things).takes.map(({ id }) => id)).toContain(`r1-${KEYS.indexOf(72) + 1}`);
  expect(pairOf(72, things)).toEqual({ before: 2, after: 3 });
  const { compass, app, line } = await saidOf(things);
  expect(compass.map(([midi]) => midi)).toContain(72);
  expect(app).toEqual(compass);
  expect(line).toEqual(compass);
});

it('a note that was turned before the fresh round: what was heard of it until then is no part of that side', () => {
  const things = withSummaries(freshVisit([{ midi: 60, afterRound: 1 }]));
  const { takes, fresh, rounds } = beforeSide(things.rounds[1], things);
  expect(rounds.map(({ number }) => number)).toEqual([1, 2]);
  expect(takes.filter(({ midi }) => midi === 60).map(({ id }) => id)).toEqual(['r2-1']);
  expect(fresh).toEqual([]);
  // The report tells of the whole visit: from before the first turn.
  expect(pairOf(60, things)).toEqual({ before: 1, after: 3 });
});
