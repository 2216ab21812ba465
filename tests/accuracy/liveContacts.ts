/**
 * Provisional contacts of the audio thread beside the refined ones of the same recording.
 *
 * A slow stroke whose refined contact was found agrees if a provisional one stands within 2 ms of it; one of which the
 * audio thread says nothing, or something else, does not. Strokes without a refined contact are counted apart. The
 * delay is from the refined onset to the block that tells the contact.
 */

import { emptyStrokeEvent, StrokeDetector } from '../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts, type LiveContact } from '../../src/signal/liveContacts.ts';
import { hear } from '../../src/strokes/hear.ts';

export interface LiveScore {
  /** Slow strokes with a refined contact, and those of them that the audio thread agrees on. */
  readonly refined: number;
  readonly agreed: number;
  /** Slow strokes without a refined contact, and those where the audio thread says one all the same. */
  readonly without: number;
  readonly said: number;
  /** Longest delay, seconds. */
  readonly delay: number;
}

export const AGREES = 0.002;
const BLOCK = 128;
const SAME_STROKE = 0.05;

/** Plays a recording through the two objects of the worklet, block by block. */
export function playLive(samples: Float32Array, sampleRate: number): (LiveContact & { readonly told: number })[] {
  const detector = new StrokeDetector({ sampleRate, maxBlock: BLOCK });
  const contacts = new LiveContacts(sampleRate);
  const event = emptyStrokeEvent();
  const found: (LiveContact & { told: number })[] = [];
  for (let at = 0; at + BLOCK <= samples.length; at += BLOCK) {
    const block = samples.subarray(at, at + BLOCK);
    const strokes = detector.process(block);
    for (let i = 0; i < strokes; i++) contacts.seek(detector.read(i, event).frame, event.level);
    const waiting = contacts.process(block);
    for (let i = 0; i < waiting; i++) found.push({ ...contacts.read(i, emptyLiveContact()), told: at + BLOCK });
  }
  return found;
}

/** Scores one recording. */
export function scoreLive(samples: Float32Array, sampleRate: number): LiveScore {
  const live = playLive(samples, sampleRate);
  const slow = hear(samples, sampleRate)
    .takes.flatMap(({ strokes }) => strokes)
    .filter(({ passage, kind, onsetSeconds }) => passage === 'slow' && kind === 'sounded' && onsetSeconds !== null);
  let [refined, agreed, without, said, delay] = [0, 0, 0, 0, 0];
  for (const { onsetSeconds, contactSeconds } of slow) {
    const near = live
      .map((contact) => ({ ...contact, off: Math.abs(contact.stroke / sampleRate - onsetSeconds!) }))
      .filter(({ off }) => off < SAME_STROKE)
      .sort((a, b) => a.off - b.off)[0];
    if (near) delay = Math.max(delay, near.told / sampleRate - onsetSeconds!);
    if (contactSeconds === null) {
      without++;
      if (near && near.contact >= 0) said++;
    } else {
      refined++;
      if (near && near.contact >= 0 && Math.abs(near.contact / sampleRate - contactSeconds) <= AGREES) agreed++;
    }
  }
  return { refined, agreed, without, said, delay };
}

/** Several recordings together. */
export function pooledLive(scores: readonly LiveScore[]): LiveScore {
  return scores.reduce((a, b) => ({
    refined: a.refined + b.refined,
    agreed: a.agreed + b.agreed,
    without: a.without + b.without,
    said: a.said + b.said,
    delay: Math.max(a.delay, b.delay),
  }));
}
