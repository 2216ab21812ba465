/** Plays a recording to a listener through the two objects of the audio thread, as the worklet does. */

import { Listener, type ListenerOptions } from '../../../src/analysis/listening/listener.ts';
import type { ListenEvent } from '../../../src/analysis/listening/events.ts';
import { emptyStrokeEvent, StrokeDetector } from '../../../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../../../src/signal/liveContacts.ts';

/** What was said, and by which frame of the recording. */
export type Said = ListenEvent & { readonly by: number };

export interface PlayOptions extends Partial<Omit<ListenerOptions, 'sampleRate'>> {
  readonly block?: number;
  /** The audio clock jumps at these frames of the recording: so many frames are lost. */
  readonly jumps?: readonly { readonly at: number; readonly frames: number }[];
  /** Called before each block. */
  readonly before?: (frame: number, listener: Listener) => readonly ListenEvent[];
}

export function playTo(samples: Float32Array, sampleRate: number, options: PlayOptions = {}): Said[] {
  const {
    block = 1024,
    jumps = [],
    before,
    heard = [],
    asked = 'slow-fast',
    touch = 'finger',
    fastWanted = 12,
  } = options;
  const listener = new Listener({ sampleRate, heard, asked, touch, fastWanted });
  const detector = new StrokeDetector({ sampleRate, maxBlock: block });
  const contacts = new LiveContacts(sampleRate);
  const said: Said[] = [];
  const event = emptyStrokeEvent();
  const contact = emptyLiveContact();
  let seen = 0;
  const ahead = [...jumps].sort((a, b) => a.at - b.at);
  for (let at = 0; at < samples.length; at += block) {
    const piece = samples.slice(at, at + block);
    const say = (events: readonly ListenEvent[]) => said.push(...events.map((e) => ({ ...e, by: at + piece.length })));
    if (before) say(before(at, listener));
    if (ahead.length > 0 && ahead[0].at < at + block) {
      const lost = ahead.shift()!;
      say(listener.hear({ type: 'gap', frame: seen, missing: lost.frames }));
      at += lost.frames - block;
      continue;
    }
    say(listener.hear({ type: 'samples', frame: seen, samples: piece }));
    seen += piece.length;
    const strokes = detector.process(piece);
    for (let i = 0; i < strokes; i++) {
      detector.read(i, event);
      say(listener.hear({ type: 'stroke', frame: event.frame, level: event.level }));
      contacts.seek(event.frame, event.level);
    }
    const found = contacts.process(piece);
    for (let i = 0; i < found; i++) {
      contacts.read(i, contact);
      say(listener.hear({ type: 'contact', stroke: contact.stroke, contact: contact.contact }));
    }
  }
  return said;
}
