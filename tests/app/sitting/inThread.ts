/** The refining worker's analysis in this thread, and a sitting that hears a recording by it. */

import type { AnswerTo, Refining, Request } from '../../../src/app/sitting/refiner.ts';
import { RefinerError } from '../../../src/app/sitting/refiner.ts';
import { RoundBook } from '../../../src/app/sitting/roundBook.ts';
import { Sitting } from '../../../src/app/sitting/sitting.ts';
import { Listener } from '../../../src/analysis/listening/listener.ts';
import type { NotePlan } from '../../../src/piano/plan.ts';
import { newPiano, newReference, newRound, newVisit } from '../../../src/record/newThings.ts';
import { emptyStrokeEvent, StrokeDetector } from '../../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../../../src/signal/liveContacts.ts';
import type { Store } from '../../../src/storage/store.ts';
import { answer } from '../../../src/workers/answer.ts';
import type { FromListener, ToListener, ToRefiner } from '../../../src/workers/listening.ts';

export const inThread: Refining = {
  ask: async <R extends Request>(request: R) => {
    const answered = answer({ ...request, request: 1 } as unknown as ToRefiner);
    if (answered.type === 'refused') throw new RefinerError(answered.message);
    return answered as AnswerTo<R>;
  },
};

export const TODAY = '2026-11-26T10:00:00.000Z';

export interface Played {
  readonly sitting: Sitting;
  readonly store: Store;
  /** Hears on: a recording, block by block, as the audio thread does. */
  hear(samples: Float32Array): Promise<void>;
}

/** A sitting in an open round of an invented piano. */
export async function sittingIn(
  store: Store,
  sampleRate: number,
  plan: NotePlan = { kind: 'free', steps: [] },
  hand: Readonly<Record<string, unknown>> | null = null,
): Promise<Played> {
  const piano = newPiano({ id: 'piano', name: 'Aldervane 274' });
  const visit = newVisit({ id: 'visit', pianoId: piano.id, startedAt: TODAY });
  const round = newRound({ id: 'round', visitId: visit.id, number: 1, startedAt: TODAY, plan });
  await store.put('pianos', piano);
  await store.put('visits', visit);
  await store.put('rounds', round);
  const reference = hand
    ? newReference({
        id: 'hand',
        name: 'the same hand',
        learnedAt: TODAY,
        reference: hand as never,
      })
    : null;
  let ids = 0;
  const said: FromListener[] = [];
  const listener = new Listener({ sampleRate, heard: [], asked: 'slow-fast', touch: 'finger', fastWanted: 12 });
  const tell = (message: ToListener): void => {
    switch (message.type) {
      case 'ask':
        listener.ask(message.asked, message.touch, message.fastWanted);
        break;
      case 'forget':
        listener.forget(message.midi);
        break;
      case 'refined':
        listener.refined(message.take, message.times, message.analysed);
        break;
      case 'cut':
        said.push(...listener.cut());
        break;
      case 'rest':
        said.push(...listener.rest());
        break;
      case 'go-on':
        listener.goOn();
        break;
      case 'so-far':
        said.push({ type: 'so-far', running: listener.running() });
    }
  };
  const sitting = new Sitting({
    store,
    refiner: inThread,
    judge: inThread,
    book: new RoundBook(round, [], reference),
    piano,
    visit,
    sampleRate: () => sampleRate,
    tell,
    newId: () => `take-${++ids}`,
    now: () => new Date(TODAY),
    changed: () => undefined,
  });
  const detector = new StrokeDetector({ sampleRate, maxBlock: 2048 });
  const contacts = new LiveContacts(sampleRate);
  let seen = 0;
  const hear = async (samples: Float32Array): Promise<void> => {
    const event = emptyStrokeEvent();
    const contact = emptyLiveContact();
    for (let at = 0; at < samples.length; at += 2048) {
      const piece = samples.slice(at, at + 2048);
      said.push(...listener.hear({ type: 'samples', frame: seen, samples: piece }));
      seen += piece.length;
      const strokes = detector.process(piece);
      for (let i = 0; i < strokes; i++) {
        detector.read(i, event);
        said.push(...listener.hear({ type: 'stroke', frame: event.frame, level: event.level }));
        contacts.seek(event.frame, event.level);
      }
      const found = contacts.process(piece);
      for (let i = 0; i < found; i++) {
        contacts.read(i, contact);
        said.push(...listener.hear({ type: 'contact', stroke: contact.stroke, contact: contact.contact }));
      }
      for (const event of said.splice(0)) sitting.heard(event);
      await Promise.resolve();
    }
    await sitting.settled();
    for (const event of said.splice(0)) sitting.heard(event);
    await sitting.settled();
  };
  return { sitting, store, hear };
}
