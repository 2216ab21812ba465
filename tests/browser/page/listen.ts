/** The smallest page that listens: the ear, with everything kept that comes out of it, for the tests to ask. */

import { Ear } from '../../../src/capture/ear.ts';
import type { EarState } from '../../../src/capture/earState.ts';
import { addDetector } from '../../../src/capture/hearing.ts';
import { listMicrophones, type Microphone } from '../../../src/capture/microphone.ts';
import { WakeLock, type WakeState } from '../../../src/capture/wakeLock.ts';
import type { Emptied, FromDetector, FromEar } from '../../../worklets/messages.ts';

const PIECE = 4410;

/** One count of frames: from `begun` to the next. */
interface Count {
  readonly sampleRate: number;
  readonly pieces: Float32Array[];
  /** As they came over the connected port; samples without their sound. */
  readonly order: FromEar[];
  /** As they came to the page. */
  readonly messages: FromDetector[];
}

class ListeningPage {
  readonly states: EarState[] = [];
  readonly counts: Count[] = [];
  readonly ear = new Ear({
    state: (state) => this.states.push(state),
    begun: (ear, sampleRate) => this.begin(ear, sampleRate),
    message: (message) => this.counts.at(-1)?.messages.push(message),
  });
  /** Every audio context that was made. */
  readonly contexts: AudioContext[] = [];
  readonly wakeStates: WakeState[] = [];
  readonly wakeLock = new WakeLock((state) => this.wakeStates.push(state));

  constructor() {
    const { contexts } = this;
    window.AudioContext = class extends AudioContext {
      constructor(options?: AudioContextOptions) {
        super(options);
        contexts.push(this);
      }
    };
  }

  /** Listens, by the usual microphone if none is named, and says what the browser granted. */
  async listen(deviceId: string | null = null) {
    return said(await this.ear.listen(deviceId));
  }

  async again() {
    return said(await this.ear.again());
  }

  /** Lets the audio clock stand, as a call does. */
  async standStill(): Promise<void> {
    await this.contexts.at(-1)!.suspend();
  }

  microphones() {
    return listMicrophones();
  }

  /** Ends the count: what was reported, and the sound in base 64. */
  async flush(): Promise<Omit<Count, 'pieces'> & { readonly frames: number; readonly sound: string }> {
    const frames = await this.ear.flush();
    // The answer comes over two ports: the sound's may be a moment later.
    const { order, messages, pieces, sampleRate } = this.counts.at(-1)!;
    while (order.at(-1)?.type !== 'flushed') await new Promise((resolve) => setTimeout(resolve, 5));
    return { frames, order, messages, sampleRate, sound: await base64(pieces) };
  }

  /** Renders a file of raw 32-bit samples through the detector in an offline context. */
  async offline(address: string, sampleRate: number): Promise<FromDetector[]> {
    const samples = new Float32Array(await (await fetch(address)).arrayBuffer());
    const context = new OfflineAudioContext(1, samples.length, sampleRate);
    const node = await addDetector(context);
    const buffer = context.createBuffer(1, samples.length, sampleRate);
    buffer.copyToChannel(samples, 0);
    const player = new AudioBufferSourceNode(context, { buffer });
    player.connect(node);
    player.start();
    const messages: FromDetector[] = [];
    const flushed = new Promise<void>((resolve, reject) => {
      node.onprocessorerror = () => reject(new Error('the processor threw'));
      node.port.onmessage = ({ data }: MessageEvent<FromDetector>) => {
        messages.push(data);
        if (data.type === 'flushed') resolve();
      };
    });
    await context.startRendering();
    node.port.postMessage({ type: 'flush' });
    await flushed;
    return messages;
  }

  private begin(ear: Ear, sampleRate: number): void {
    const count: Count = { sampleRate, pieces: [], order: [], messages: [] };
    this.counts.push(count);
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }: MessageEvent<FromEar>) => {
      if (data.type !== 'samples') {
        count.order.push(data);
        return;
      }
      count.pieces.push(data.samples.slice());
      count.order.push({ ...data, samples: new Float32Array(0) });
      const emptied: Emptied = { type: 'emptied', samples: data.samples };
      port1.postMessage(emptied, [data.samples.buffer]);
    };
    ear.connect(port2, PIECE);
  }
}

function said(microphone: Microphone | null) {
  if (!microphone) return null;
  const { deviceId, label, sampleRate, channels, treatments, avoidable, headset } = microphone;
  return { deviceId, label, sampleRate, channels, treatments, avoidable, headset };
}

async function base64(pieces: Float32Array[]): Promise<string> {
  const reader = new FileReader();
  reader.readAsDataURL(new Blob(pieces as BlobPart[]));
  await new Promise((resolve) => (reader.onload = resolve));
  return (reader.result as string).replace(/^.*,/, '');
}

declare global {
  interface Window {
    listening: ListeningPage;
  }
}
window.listening = new ListeningPage();
