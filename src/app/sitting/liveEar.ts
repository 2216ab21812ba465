/**
 * The ear and the listening worker together: the sound goes from the audio thread to the worker by a port of their own, and
 * what it says comes here.
 */

import { Ear } from '../../capture/ear.ts';
import type { EarState } from '../../capture/earState.ts';
import { MicrophoneError, type Microphone } from '../../capture/microphone.ts';
import { maySleep, WakeLock } from '../../capture/wakeLock.ts';
import type { Hertz, MidiNote } from '../../units.ts';
import type { FromListener, ToListener } from '../../workers/listening.ts';

/** Stretches in which the audio thread hands the sound on, frames: a twentieth of a second. */
const PIECE = 2048;

export interface LiveEarEvents {
  /** State, microphone, error or wake lock changed. */
  changed(): void;
  said(event: FromListener): void;
  /** Notes that have a take in the round: a new beginning must know them. */
  heard(): readonly MidiNote[];
}

export class LiveEar {
  readonly #ear: Ear;
  readonly #worker: Worker;
  readonly #wake: WakeLock;
  #error: MicrophoneError | null = null;
  #sampleRate: Hertz = 48000;
  #resting = true;
  #listening = false;
  #asked: Extract<ToListener, { type: 'ask' }> = { type: 'ask', asked: 'slow-fast', touch: 'finger', fastWanted: 12 };

  constructor(private readonly events: LiveEarEvents) {
    this.#worker = new Worker(new URL('../../workers/listen.worker.ts', import.meta.url), { type: 'module' });
    this.#worker.addEventListener('message', ({ data }: MessageEvent<FromListener>) => events.said(data));
    this.#wake = new WakeLock(() => events.changed());
    this.#ear = new Ear({
      state: (state) => {
        // While the clock stands nothing is heard: what was running ends here, and is kept if it counts.
        if (state !== 'listening' && this.#listening) this.#worker.postMessage({ type: 'cut' } satisfies ToListener);
        this.#listening = state === 'listening';
        events.changed();
      },
      begun: (ear, sampleRate) => this.#begin(ear, sampleRate),
      message: () => undefined,
    });
  }

  get state(): EarState {
    return this.#ear.state;
  }

  get microphone(): Microphone | null {
    return this.#ear.microphone;
  }

  /** Why the microphone could not be opened last. */
  get error(): MicrophoneError | null {
    return this.#error;
  }

  get sampleRate(): Hertz {
    return this.#sampleRate;
  }

  get maySleep(): boolean {
    return maySleep(this.#wake.state);
  }

  /** Opens a microphone (null: the usual one); whether it could be opened is told by {@link error}. */
  async listen(deviceId: string | null): Promise<void> {
    await this.#opened(() => this.#ear.listen(deviceId));
  }

  /** Opens the same microphone again, or the usual one where it is gone; sets a standing clock going. */
  async again(): Promise<void> {
    if (this.#ear.state === 'suspended') await this.#ear.resume();
    if (this.#ear.state !== 'listening') await this.#opened(() => this.#ear.again());
  }

  /** To the listening worker; what is asked and whether it rests outlives a change of the microphone. */
  tell(message: ToListener): void {
    if (message.type === 'ask') this.#asked = message;
    if (message.type === 'rest') this.#resting = true;
    if (message.type === 'go-on') this.#resting = false;
    if (this.#ear.sampleRate !== null) this.#worker.postMessage(message);
  }

  /** Resolves once the listening worker has said all that came before. */
  async silent(): Promise<void> {
    if (this.#ear.sampleRate === null) return;
    await new Promise<void>((resolve) => {
      const said = ({ data }: MessageEvent<FromListener>) => {
        if (data.type !== 'recent') return;
        this.#worker.removeEventListener('message', said);
        resolve();
      };
      this.#worker.addEventListener('message', said);
      this.#worker.postMessage({ type: 'recent' } satisfies ToListener);
    });
  }

  async close(): Promise<void> {
    void this.#wake.release();
    await this.#ear.close();
    this.#worker.terminate();
  }

  async #opened(open: () => Promise<Microphone | null>): Promise<void> {
    this.#error = null;
    try {
      await open();
      await this.#wake.hold();
    } catch (cause) {
      if (!(cause instanceof MicrophoneError)) throw cause;
      this.#error = cause;
    }
    this.events.changed();
  }

  #begin(ear: Ear, sampleRate: Hertz): void {
    this.#sampleRate = sampleRate;
    const { port1, port2 } = new MessageChannel();
    ear.connect(port1, PIECE);
    const { asked, touch, fastWanted } = this.#asked;
    const heard = this.events.heard();
    const begin: ToListener = { type: 'begin', port: port2, sampleRate, heard, asked, touch, fastWanted };
    this.#worker.postMessage(begin, [port2]);
    if (this.#resting) this.#worker.postMessage({ type: 'rest' } satisfies ToListener);
  }
}
