/** The detector and the search for contacts called without worklet and browser: what every other way must give. */

import { emptyStrokeEvent, StrokeDetector } from '../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../../src/signal/liveContacts.ts';
import type { FromDetector } from '../../worklets/messages.ts';

type Of<Type extends FromDetector['type']> = Extract<FromDetector, { type: Type }>;

/** What was found, as the worklet words it: strokes, and contacts, each in their order. */
export interface Found {
  readonly strokes: readonly Of<'stroke'>[];
  readonly contacts: readonly Of<'contact'>[];
}

/** All strokes and contacts in those samples, taken in blocks of that size and flushed at the end. */
export function direct(samples: Float32Array, sampleRate: number, block: number): Found {
  const detector = new StrokeDetector({ sampleRate, maxBlock: block });
  const search = new LiveContacts(sampleRate);
  const strokes: Of<'stroke'>[] = [];
  const contacts: Of<'contact'>[] = [];
  const report = (waiting: number) => {
    for (let i = 0; i < waiting; i++) {
      const event = detector.read(i, emptyStrokeEvent());
      strokes.push({ type: 'stroke', ...event });
      search.seek(event.frame, event.level);
    }
  };
  const tell = (waiting: number) => {
    for (let i = 0; i < waiting; i++) contacts.push({ type: 'contact', ...search.read(i, emptyLiveContact()) });
    return waiting;
  };
  for (let at = 0; at < samples.length; at += block) {
    const part = samples.subarray(at, at + block);
    report(detector.process(part));
    tell(search.process(part));
  }
  report(detector.flush());
  while (tell(search.flush()) > 0) continue;
  return { strokes, contacts };
}

/** The strokes and contacts among the worklet's messages. */
export function foundIn(messages: readonly FromDetector[]): Found {
  return {
    strokes: messages.filter((m) => m.type === 'stroke'),
    contacts: messages.filter((m) => m.type === 'contact'),
  };
}

/** Only what is counted in frames: equal in every engine. */
export function framesOf({ strokes, contacts }: Found): readonly (readonly number[])[] {
  return [
    ...strokes.map(({ frame, precursor }) => [frame, precursor]),
    ...contacts.map(({ stroke, contact }) => [stroke, contact]),
  ];
}

/** Largest difference of a strength or level, of its own size: engines differ in the last bits of a logarithm. */
export function worstDifference(a: Found, b: Found): number {
  const fractions = ({ strokes, contacts }: Found) => [
    ...strokes.flatMap(({ strength, level }) => [strength, level]),
    ...contacts.map(({ strength }) => strength),
  ];
  const other = fractions(b);
  return Math.max(...fractions(a).map((value, i) => Math.abs(value - other[i]) / Math.max(1, Math.abs(other[i]))));
}
