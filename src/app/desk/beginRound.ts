/** A new round as it was chosen: with a new piano where none was, in today's visit where there is one. */

import type { NotePlan } from '../../piano/plan.ts';
import { newPiano, newRound, newVisit } from '../../record/newThings.ts';
import type { Piano, Round, Visit } from '../../record/types.ts';
import type { Store } from '../../storage/store.ts';
import type { StartChoices } from '../home/view.ts';
import type { RoundBook } from '../sitting/roundBook.ts';
import { readVisit } from '../visit/visitForm.ts';
import type { Shelves, VisitOnShelf } from './shelves.ts';

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
  const today = visitToday(visits, piano.id, now);
  const begun = today?.visit ?? newVisit({ id: newId(), pianoId: piano.id, startedAt: now });
  const said = {
    // An empty field says nothing of a visit that goes on.
    player: words(choices.player) ?? begun.player,
    microphonePlace: words(choices.microphonePlace) ?? begun.microphonePlace,
    keepAudio: choices.keepAudio,
    referenceId: choices.referenceId,
  };
  const visit = { ...(choices.visit ? readVisit(choices.visit, begun).visit : begun), ...said };
  await store.put('visits', visit);
  const number = (today?.rounds.at(-1)?.number ?? 0) + 1;
  const { player, microphonePlace, referenceId } = said;
  const setting = { microphone: visit.microphone, microphonePlace, player, referenceId };
  const round = newRound({ id: newId(), visitId: visit.id, number, startedAt: now, plan, setting });
  await store.put('rounds', round);
  return { piano, visit, round };
}

/** The visit of that day at a piano, where there is one. */
export function visitToday(visits: Shelves['visits'], pianoId: string, now: string): VisitOnShelf | undefined {
  const day = (time: string) => new Date(time).toDateString();
  return visits.find((each) => each.piano.id === pianoId && day(each.visit.startedAt) === day(now));
}

/**
 * The round that follows in the same visit. It is played as the visit says by now, which may be otherwise than the round on the desk;
 * that one keeps what it was begun with.
 * @throws StoreError (as a rejection).
 */
export async function nextRound(
  store: Store,
  { visit, book }: { readonly visit: Visit; readonly book: Pick<RoundBook, 'round'> },
  rounds: readonly Round[],
  plan: NotePlan,
  newId: () => string,
): Promise<Round> {
  const number = Math.max(...rounds.map((round) => round.number)) + 1;
  const { microphone, microphonePlace, player } = visit;
  const { referenceId } = book.round.setting ?? visit;
  const setting = { microphone, microphonePlace, player, referenceId };
  const said = { visitId: visit.id, number, startedAt: new Date().toISOString(), setting };
  const round = newRound({ id: newId(), ...said, plan });
  await store.put('rounds', round);
  return round;
}
