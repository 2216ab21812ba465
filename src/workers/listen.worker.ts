/** The worker that listens: sound and strokes from the audio thread in, notes and takes to the page. See `listening.ts`. */

import { Listener, type Heard } from '../analysis/listening/listener.ts';
import type { FromListener, ToListener } from './listening.ts';

let listener: Listener | null = null;
let ear: MessagePort | null = null;

self.addEventListener('message', ({ data }: MessageEvent<ToListener>) => {
  try {
    take(data);
  } catch (error) {
    fail(error);
  }
});

function take(message: ToListener): void {
  if (message.type === 'begin') {
    const { port, ...options } = message;
    // Another microphone, or the same one again: what was running ends here.
    if (listener) tell(listener.cut());
    ear?.close();
    ear = port;
    const own = new Listener(options);
    listener = own;
    port.addEventListener('message', ({ data }: MessageEvent<Heard | { readonly type: 'flushed' }>) => {
      if (data.type === 'flushed') return;
      try {
        tell(own.hear(data));
      } catch (error) {
        fail(error);
      }
      // The audio thread fills the piece again.
      if (data.type === 'samples') port.postMessage({ type: 'emptied', samples: data.samples }, [data.samples.buffer]);
    });
    port.start();
    return;
  }
  if (!listener) throw new Error(`"${message.type}" before "begin"`);
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
      tell(listener.cut());
      break;
    case 'rest':
      tell(listener.rest());
      break;
    case 'go-on':
      listener.goOn();
      break;
    case 'so-far':
      tell([{ type: 'so-far', running: listener.running() }]);
      break;
    case 'recent':
      tell([{ type: 'recent', samples: listener.recent() }]);
  }
}

function tell(events: readonly FromListener[]): void {
  for (const event of events) self.postMessage(event, { transfer: soundOf(event) });
}

function soundOf(event: FromListener): Transferable[] {
  if (event.type === 'piece' || event.type === 'take-ended' || event.type === 'recent') return [event.samples.buffer];
  return event.type === 'so-far' && event.running ? [event.running.samples.buffer] : [];
}

function fail(error: unknown): void {
  tell([{ type: 'failed', message: error instanceof Error ? error.message : String(error) }]);
}
