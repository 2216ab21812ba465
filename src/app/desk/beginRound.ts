/** A new round as it was chosen: with a new piano where none was, in today's visit where there is one. */

import type { NotePlan } from '../../piano/plan.ts';
import { newPiano, newRound, newVisit } from '../../record/newThings.ts';
import type { Piano, Round, Visit } from '../../record/types.ts';
import type { Store } from '../../storage/store.ts';
import type { StartChoices } from '../home/view.ts';
import type { Sitting } from '../sitting/sitting.ts';
import type { Shelves } from './shelves.ts';

export interface Begun {
  readonly piano: Piano;
  readonly visit: Visit;
  readonly round: Round;
}

/** Makes and keeps what the round needs. @throws StoreError (as a rejection). */
export async function beginRound(
  store: Store,
  { pianos, visits }: Shelves,
  choices: StartChoices,
  plan: NotePlan,
  now: string,
  newId: () => string,
): Promise<Begun> {
  const words = (text: string) => text.trim() || null;
  const known = pianos.find(({ id }) => id === choices.pianoId);
  const piano = known ?? newPiano({ id: newId(), name: choices.pianoName.trim(), place: words(choices.place) });
  if (!known) await store.put('pianos', piano);
  const said = {
    player: words(choices.player),
    microphonePlace: words(choices.microphonePlace),
    keepAudio: choices.keepAudio,
    referenceId: choices.referenceId,
  };
  const day = (time: string) => new Date(time).toDateString();
  const today = visits.find((each) => each.piano.id === piano.id && day(each.visit.startedAt) === day(now));
  const visit = today
    ? { ...today.visit, ...said }
    : newVisit({ id: newId(), pianoId: piano.id, startedAt: now, ...said });
  await store.put('visits', visit);
  const number = (today?.rounds.at(-1)?.number ?? 0) + 1;
  const { player, microphonePlace, referenceId } = said;
  const setting = { microphone: visit.microphone, microphonePlace, player, referenceId };
  const round = newRound({ id: newId(), visitId: visit.id, number, startedAt: now, plan, setting });
  await store.put('rounds', round);
  return { piano, visit, round };
}

/** The round that follows in the same visit, played as the one on the desk was. @throws StoreError (as a rejection). */
export async function nextRound(
  store: Store,
  { visit, book }: Sitting,
  rounds: readonly Round[],
  plan: NotePlan,
  newId: () => string,
): Promise<Round> {
  const number = Math.max(...rounds.map((round) => round.number)) + 1;
  const said = { visitId: visit.id, number, startedAt: new Date().toISOString(), setting: book.round.setting };
  const round = newRound({ id: newId(), ...said, plan });
  await store.put('rounds', round);
  return round;
}
