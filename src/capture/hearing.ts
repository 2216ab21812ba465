/**
 * One audio context with the detector in it: built before the microphone is let in, taken down as a whole.
 *
 * The processor rehearses when it is built, up to 0.8 s on the audio thread; no sound may wait meanwhile. So it is asked to
 * answer first, and only then is the microphone connected: no block is missed.
 */

import type { Frames, Hertz } from '../units.ts';
import { STROKE_DETECTOR, type FromDetector, type ToDetector } from '../../worklets/messages.ts';
import detectorAddress from '../../worklets/strokeDetector.ts?worker&url';

/** What is told of a running context. */
export interface HearingEvents {
  message(message: FromDetector): void;
  /** The processor threw; it will not be called again. */
  failed(): void;
  /** The context's state changed. */
  changed(): void;
}

/** A context, its detector, and what goes in. */
export interface Hearing {
  readonly context: AudioContext;
  readonly sampleRate: Hertz;
  send(message: ToDetector, transfer?: Transferable[]): void;
  /** Lets a microphone in, by its first channel alone. */
  connect(stream: MediaStream): void;
  /** Reports what is held back; resolves with the frames seen. Never answered by a processor that threw. */
  flush(): Promise<Frames>;
  /** Ends everything and frees the audio thread. */
  close(): Promise<void>;
}

/** Rates that the detector works at; a device with another is resampled by the browser. */
const LOWEST: Hertz = 8000;
const HIGHEST: Hertz = 96_000;

/**
 * Loads the detector into a context and makes its node: one input, one output that stays silent. The output keeps the node
 * in the graph, and tells it the block's size while no microphone is connected.
 *
 * Of two channels the first is taken: a sum would mix two microphones that stand apart.
 */
export async function addDetector(context: BaseAudioContext): Promise<AudioWorkletNode> {
  await context.audioWorklet.addModule(detectorAddress);
  const node = new AudioWorkletNode(context, STROKE_DETECTOR, {
    numberOfInputs: 1,
    numberOfOutputs: 1,
    outputChannelCount: [1],
    channelCount: 1,
    channelCountMode: 'explicit',
    channelInterpretation: 'discrete',
  });
  node.connect(context.destination);
  return node;
}

/**
 * Builds a context at that rate (null: the browser's own) and waits until the detector is ready; frames then count from 0.
 * Where the browser wants a touch first, this waits for it: `opened` gets the context beforehand, so that it can be resumed.
 * @throws Error (as a rejection) if the module cannot be loaded or the processor throws when it is built.
 */
export async function prepareHearing(
  sampleRate: Hertz | null,
  events: HearingEvents,
  opened: (context: AudioContext) => void,
): Promise<Hearing> {
  const context = await newContext(sampleRate);
  opened(context);
  try {
    const node = await addDetector(context);
    if (context.state === 'closed') throw new Error('listening was closed');
    const hearing = new NodeHearing(context, node, events);
    await hearing.ready();
    return hearing;
  } catch (cause) {
    await closeContext(context);
    throw cause;
  }
}

async function newContext(sampleRate: Hertz | null): Promise<AudioContext> {
  const within = (rate: Hertz): Hertz => Math.min(HIGHEST, Math.max(LOWEST, rate));
  if (sampleRate !== null) return new AudioContext({ sampleRate: within(sampleRate) });
  const context = new AudioContext();
  if (within(context.sampleRate) === context.sampleRate) return context;
  await context.close();
  return new AudioContext({ sampleRate: within(context.sampleRate) });
}

const THREW = 'the stroke detector threw on the audio thread';

class NodeHearing implements Hearing {
  readonly sampleRate: Hertz;
  private source: MediaStreamAudioSourceNode | null = null;
  private readonly waiting: { resolve(frame: Frames): void; reject(cause: Error): void }[] = [];
  private failed = false;

  constructor(
    readonly context: AudioContext,
    private readonly node: AudioWorkletNode,
    events: HearingEvents,
  ) {
    this.sampleRate = context.sampleRate;
    context.onstatechange = () => {
      if (context.state === 'closed') this.abandon('listening was closed');
      events.changed();
    };
    node.onprocessorerror = () => {
      this.failed = true;
      this.abandon(THREW);
      events.failed();
    };
    node.port.onmessage = ({ data }: MessageEvent<FromDetector>) => {
      if (data.type === 'flushed') this.waiting.shift()?.resolve(data.frame);
      events.message(data);
    };
  }

  /** Resolves when the processor is built; its frames then begin anew. */
  async ready(): Promise<void> {
    await this.flush();
    this.send({ type: 'reset' });
  }

  send(message: ToDetector, transfer: Transferable[] = []): void {
    this.node.port.postMessage(message, transfer);
  }

  connect(stream: MediaStream): void {
    this.source?.disconnect();
    this.source = this.context.createMediaStreamSource(stream);
    this.source.connect(this.node);
  }

  flush(): Promise<Frames> {
    if (this.failed) return Promise.reject(new Error(THREW));
    return new Promise((resolve, reject) => {
      this.waiting.push({ resolve, reject });
      this.send({ type: 'flush' });
    });
  }

  async close(): Promise<void> {
    this.context.onstatechange = null;
    this.node.onprocessorerror = null;
    this.node.port.onmessage = null;
    this.node.port.close();
    this.source?.disconnect();
    this.node.disconnect();
    this.abandon('listening was closed');
    await closeContext(this.context);
  }

  private abandon(why: string): void {
    for (const { reject } of this.waiting.splice(0)) reject(new Error(why));
  }
}

async function closeContext(context: AudioContext): Promise<void> {
  if (context.state !== 'closed') await context.close();
}
