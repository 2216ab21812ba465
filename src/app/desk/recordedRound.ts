/**
 * Recordings as a round: in memory, to be looked at; and kept on this device, if the player wants that.
 */

import { newPiano, newRound, newTake, newVisit } from '../../record/newThings.ts';
import { soundToDrop } from '../../record/rounds.ts';
import type { Piano, Round, Take, Visit } from '../../record/types.ts';
import { memoryStore } from '../../storage/memoryStore.ts';
import { StoreError, type Placed, type Store } from '../../storage/store.ts';
import type { Recording } from '../readRecordings.ts';
import type { KeepChoice } from '../round/view.ts';
import type { Shelves } from './shelves.ts';

/** A round with its piano and visit, and the store that has its takes. */
export interface SeatedRound {
  readonly store: Store;
  readonly piano: Piano;
  readonly visit: Visit;
  readonly round: Round;
}

/** Who played, and with which microphone, a file does not say. */
const UNKNOWN_SETTING = { microphone: null, microphonePlace: null, player: null, referenceId: null };

/**
 * Puts the takes of all recordings, in their order, into one round of a memory store.
 * @param now ISO 8601: the round begins and ends when it is opened, as a file does not surely say when it was played.
 */
export async function recordedRound(
  recordings: readonly Recording[],
  now: string,
  newId: () => string,
): Promise<SeatedRound> {
  const store = memoryStore();
  const piano = newPiano({ id: newId(), name: nameOf(recordings) });
  const visit = newVisit({ id: newId(), pianoId: piano.id, startedAt: now });
  const round = newRound({
    ...{ id: newId(), visitId: visit.id, number: 1, startedAt: now, closedAt: now, setting: UNKNOWN_SETTING },
  });
  await store.put('pianos', piano);
  await store.put('visits', visit);
  await store.put('rounds', round);
  const takes = recordings.flatMap((recording) => recording.takes);
  for (const [i, { midi, sampleRate, samples, heard, gaps }] of takes.entries()) {
    const id = newId();
    await store.addPiece({ takeId: id, index: 0, samples });
    const own = { id, visitId: visit.id, roundId: round.id, number: i + 1, midi, startedAt: now };
    await store.put('takes', newTake({ ...own, sampleRate, frames: samples.length, pieces: 1, gaps, heard }));
  }
  return { store, piano, visit, round };
}

/** "Hall, 3 May" of "Hall, 3 May.flac"; with "and 2 more". */
function nameOf([{ file }, ...others]: readonly Recording[]): string {
  const name = file.replace(/\.[^.]{1,5}$/, '') || file;
  return others.length === 0 ? name : `${name} and ${others.length} more`;
}

/**
 * Writes a round of recordings into the lasting store, as a closed round of today's visit to the piano: all of it or nothing.
 *
 * @param seated the round as {@link recordedRound} made it, and `summary` as it was judged.
 * @param choice the piano, known or new.
 * @throws StoreError (as a rejection): then nothing of it is kept.
 */
export async function keepRecorded(
  store: Store,
  shelves: Shelves,
  seated: SeatedRound,
  summary: Round['summary'],
  choice: KeepChoice,
  now: string,
  newId: () => string,
): Promise<SeatedRound> {
  const { things, piano, visit, round, takes } = await placed(shelves, seated, summary, choice, now, newId);
  const begun: string[] = [];
  try {
    for (const { take, from } of takes) {
      if (take.pieces === 0) continue;
      const samples = await seated.store.sound(from);
      if (!samples) throw lost(from);
      begun.push(take.id);
      await store.addPiece({ takeId: take.id, index: 0, samples });
    }
    await store.bringIn([...things, ...takes.map(({ take }): Placed => ({ shelf: 'takes', thing: take }))]);
  } catch (failure) {
    // A store that fails altogether keeps it as sound without a take, which is removed when the page opens.
    for (const takeId of begun) await store.dropOrphan(takeId).catch(() => undefined);
    throw failure;
  }
  return { store, piano, visit, round };
}

/** The round as it is to be kept; each take with the id that it has in memory. */
async function placed(
  { pianos, visits }: Shelves,
  seated: SeatedRound,
  summary: Round['summary'],
  { pianoId, name, place }: KeepChoice,
  now: string,
  newId: () => string,
) {
  const known = pianos.find(({ id }) => id === pianoId);
  const piano = known ?? newPiano({ id: newId(), name: name.trim(), place: place.trim() || null });
  const day = (time: string) => new Date(time).toDateString();
  const today = visits.find((each) => each.piano.id === piano.id && day(each.visit.startedAt) === day(now));
  const visit = today?.visit ?? newVisit({ id: newId(), pianoId: piano.id, startedAt: now });
  const number = (today?.rounds.at(-1)?.number ?? 0) + 1;
  const round: Round = { ...seated.round, id: newId(), visitId: visit.id, number, summary };
  const old = await seated.store.list('takes', { roundId: seated.round.id });
  const dropped = new Set(soundToDrop({ ...round, id: seated.round.id }, old, visit.keepAudio));
  const takes = old.map((take) => {
    const pieces = dropped.has(take.id) ? 0 : take.pieces;
    const own: Take = { ...take, id: newId(), visitId: visit.id, roundId: round.id, pieces };
    return { from: take.id, take: own };
  });
  const things: Placed[] = [{ shelf: 'rounds', thing: round }];
  if (!today) things.unshift({ shelf: 'visits', thing: visit });
  if (!known) things.unshift({ shelf: 'pianos', thing: piano });
  return { things, piano, visit, round, takes };
}

function lost(takeId: string): StoreError {
  return new StoreError(
    'failed',
    `the sound of take ${JSON.stringify(takeId)} is no longer in memory`,
    'Open the recording again.',
  );
}
