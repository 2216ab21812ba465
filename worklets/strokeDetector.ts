/**
 * The audio thread's side of listening: an adapter around the detector, and nothing else.
 *
 * Every block goes to the detector, whatever its size; where no input is connected, silence of the same length, so that
 * frames stay in step with the clock. Messages are sent for strokes and gaps only, never for a block; whoever connects a
 * port gets the samples too, a message for every piece (`pieces.ts`).
 *
 * Order at that port. A block goes into its piece first, then to the detector: so when a stroke, a contact or `flushed`
 * arrives, all samples seen until then have arrived before it, but for those of the unfinished piece. A gap arrives before
 * the piece that holds its frame. `flush` and `reset` send the unfinished piece, shorter than the others, before anything
 * else. The page's own port gets the same messages in the same order, without samples.
 */

import { emptyStrokeEvent, StrokeDetector } from '../src/signal/detector.ts';
import { emptyLiveContact, LiveContacts } from '../src/signal/liveContacts.ts';
import { STROKE_DETECTOR, type FromDetector, type ToDetector } from './messages.ts';
import { Pieces } from './pieces.ts';

const MAX_BLOCK = 4096;

class StrokeDetectorProcessor extends AudioWorkletProcessor {
  private readonly detector = new StrokeDetector({ sampleRate, maxBlock: MAX_BLOCK });
  private readonly event = emptyStrokeEvent();
  private readonly contacts = new LiveContacts(sampleRate);
  private readonly contact = emptyLiveContact();
  private readonly silence = new Float32Array(MAX_BLOCK);
  private expected = -1;
  private pieces: Pieces | null = null;
  private fault: { readonly cause: unknown } | null = null;

  constructor() {
    super();
    this.port.onmessage = ({ data }: MessageEvent<ToDetector>) => {
      try {
        this.answer(data);
      } catch (cause) {
        this.fault = { cause };
      }
    };
  }

  private answer(message: ToDetector): void {
    if (message.type === 'flush') {
      this.pieces?.cut();
      this.report(this.detector.flush());
      for (let waiting = this.contacts.flush(); waiting > 0; waiting = this.contacts.flush()) this.tell(waiting);
      this.send({ type: 'flushed', frame: this.detector.framesSeen });
    } else if (message.type === 'connect') {
      this.pieces?.cut();
      this.pieces = new Pieces(message.port, message.piece, this.detector.framesSeen);
    } else {
      this.pieces?.restart(0);
      this.detector.reset();
      this.contacts.reset();
      this.expected = -1;
    }
  }

  process(inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    // Only what is thrown here reaches the page.
    if (this.fault) throw this.fault.cause;
    const input = inputs[0]?.[0];
    const length = input?.length ?? outputs[0]?.[0]?.length ?? 128;
    // Some implementations give the clock as a BigInt.
    const now = Number(currentFrame);
    if (this.expected >= 0 && now !== this.expected) {
      this.send({ type: 'gap', frame: this.detector.framesSeen, missing: now - this.expected });
    }
    this.expected = now + length;
    if (length <= MAX_BLOCK) {
      this.take(input ?? (length === MAX_BLOCK ? this.silence : this.silence.subarray(0, length)));
    } else {
      for (let at = 0; at < length; at += MAX_BLOCK) {
        const end = Math.min(length, at + MAX_BLOCK);
        this.take(input ? input.subarray(at, end) : this.silence.subarray(0, end - at));
      }
    }
    return true;
  }

  /** Samples first, then strokes: a contact is sought among samples that both have seen. */
  private take(block: Float32Array): void {
    this.pieces?.take(block);
    this.report(this.detector.process(block));
    this.tell(this.contacts.process(block));
  }

  private report(waiting: number): void {
    for (let i = 0; i < waiting; i++) {
      const { frame, strength, level, precursor } = this.detector.read(i, this.event);
      this.send({ type: 'stroke', frame, strength, level, precursor });
      this.contacts.seek(frame, level);
    }
  }

  private tell(waiting: number): void {
    for (let i = 0; i < waiting; i++) {
      const { stroke, contact, strength } = this.contacts.read(i, this.contact);
      this.send({ type: 'contact', stroke, contact, strength });
    }
  }

  private send(message: FromDetector): void {
    this.port.postMessage(message);
    this.pieces?.port.postMessage(message);
  }
}

registerProcessor(STROKE_DETECTOR, StrokeDetectorProcessor);
