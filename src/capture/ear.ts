/**
 * The ear: a microphone and the detector behind it, with all that may befall them told as one state.
 *
 * There is one way to begin, and every recovery takes it again: open the microphone, build context and detector, let
 * whoever keeps the sound connect, then let the microphone in. So frames count from 0 each time, and `begun` says that a
 * new count begins. What is heard is never played: the device makes no sound.
 */

import type { Frames, Hertz, Seconds } from '../units.ts';
import type { FromDetector } from '../../worklets/messages.ts';
import { earStateOf, type EarState } from './earState.ts';
import { prepareHearing, type Hearing } from './hearing.ts';
import {
  closeMicrophone,
  isPluggedIn,
  MicrophoneError,
  openMicrophone,
  watchMicrophones,
  type Microphone,
} from './microphone.ts';

export interface EarEvents {
  state(state: EarState): void;
  /**
   * A detector is ready and counts from 0; the microphone is let in when this returns. Whoever wants the samples connects
   * here: ports of an earlier count bring nothing more.
   */
  begun(ear: Ear, sampleRate: Hertz): void;
  message(message: FromDetector): void;
}

/** How often the facts are looked at that no event tells for sure. */
const LOOK_MILLISECONDS = 500;
/** Looks with the same time on the clock after which it is said to stand. */
const STANDING_LOOKS = 2;

/** One ear; at most one microphone is open in it. */
export class Ear {
  private said: EarState = 'closed';
  private open: Microphone | null = null;
  private hearing: Hearing | null = null;
  private context: AudioContext | null = null;
  private connected = false;
  private broken = false;
  private pulledOut = false;
  private rebuilt = false;
  /** Grows with every beginning and ending: what an earlier one still waits for is dropped. */
  private turn = 0;
  private lastTime: Seconds = -1;
  private sameTime = 0;
  private stopWatching: (() => void) | null = null;

  constructor(private readonly events: EarEvents) {}

  get state(): EarState {
    return this.said;
  }

  /** The microphone that is open, or was when it was pulled out. */
  get microphone(): Microphone | null {
    return this.open;
  }

  /** The rate of samples and frames; null while nothing is connected. */
  get sampleRate(): Hertz | null {
    return this.hearing?.sampleRate ?? null;
  }

  /**
   * Opens a microphone (null: the usual one) and listens; what was open is closed first. Resolves when sound comes in, or
   * with null if `close` or another `listen` came before.
   * @throws MicrophoneError (as a rejection) if it cannot be opened, Error if the detector cannot be built; closed then.
   */
  async listen(deviceId: string | null): Promise<Microphone | null> {
    const turn = await this.end();
    if (turn !== this.turn) return null;
    this.said = 'starting';
    this.events.state('starting');
    try {
      const microphone = await openMicrophone(deviceId);
      if (turn !== this.turn) {
        closeMicrophone(microphone);
        return null;
      }
      this.open = microphone;
      this.watch(microphone);
      return (await this.build(microphone, turn)) ? microphone : null;
    } catch (cause) {
      if (turn !== this.turn) return null;
      await this.close();
      throw cause;
    }
  }

  /**
   * Listens again, by the same microphone or, if that is gone, by the usual one.
   * @throws as {@link listen}.
   */
  async again(): Promise<Microphone | null> {
    const before = this.open?.deviceId ?? null;
    try {
      return await this.listen(before);
    } catch (cause) {
      if (before === null || !(cause instanceof MicrophoneError && cause.code === 'gone')) throw cause;
      return this.listen(null);
    }
  }

  /**
   * From now on every sample goes to `port` too, in pieces of `piece` frames, with every message: see the worklet's
   * messages. `port` is transferred. It serves until the next `begun`.
   * @throws RangeError if `piece` is no whole number from 1; Error while no detector is ready.
   */
  connect(port: MessagePort, piece: Frames): void {
    if (!(Number.isInteger(piece) && piece >= 1)) {
      throw new RangeError(`pieces of ${piece} frames; expected a whole number from 1`);
    }
    this.needed().send({ type: 'connect', port, piece }, [port]);
  }

  /**
   * Reports what is held back and sends the unfinished piece; resolves with the frames counted.
   * @throws Error (as a rejection) if no detector is ready, or it throws or is closed before it answers.
   */
  async flush(): Promise<Frames> {
    return this.needed().flush();
  }

  /** Sets a standing audio clock going; the browser may want it called from a touch or key. */
  async resume(): Promise<void> {
    // Refused without a touch: the state goes on saying so.
    await this.context?.resume().catch(() => undefined);
    this.look();
  }

  /** Ends listening: microphone, context and ports are let go. */
  async close(): Promise<void> {
    await this.end();
    this.look();
  }

  /** Builds context and detector, and lets the microphone in; false if something else came before. */
  private async build(microphone: Microphone, turn: number): Promise<boolean> {
    const current = () => turn === this.turn;
    let context: AudioContext | null = null;
    const hearing = await prepareHearing(
      microphone.sampleRate,
      {
        message: (message) => current() && this.events.message(message),
        failed: () => current() && this.connected && this.recover(microphone),
        changed: () => current() && this.context === context && this.look(),
      },
      (made) => {
        context = made;
        if (!current()) return;
        this.context = made;
        this.look();
      },
    );
    if (!current()) {
      await hearing.close();
      return false;
    }
    this.hearing = hearing;
    this.events.begun(this, hearing.sampleRate);
    if (!current()) return false;
    hearing.connect(microphone.stream);
    this.connected = true;
    this.look();
    return true;
  }

  /** The processor threw: once another is built in its place, by the same microphone; then the ear is broken. */
  private recover(microphone: Microphone): void {
    const turn = ++this.turn;
    const old = this.hearing;
    this.connected = false;
    this.hearing = this.context = null;
    if (this.rebuilt) {
      this.fail();
      void old?.close();
      return;
    }
    this.rebuilt = true;
    this.look();
    const rebuild = async () => {
      await old?.close();
      if (turn === this.turn) await this.build(microphone, turn);
    };
    rebuild().catch(() => turn === this.turn && this.fail());
  }

  private fail(): void {
    this.broken = true;
    this.context = null;
    this.letGo();
    this.look();
  }

  /** Closes what is open, silently; returns the turn that begins. */
  private async end(): Promise<number> {
    const turn = ++this.turn;
    const { hearing, context } = this;
    this.letGo();
    this.open = this.hearing = this.context = null;
    this.connected = this.broken = this.pulledOut = this.rebuilt = false;
    this.sameTime = 0;
    this.lastTime = -1;
    if (hearing) await hearing.close();
    // Still being prepared: whoever waits for it finds a later turn.
    else if (context && context.state !== 'closed') await context.close();
    return turn;
  }

  private letGo(): void {
    this.stopWatching?.();
    this.stopWatching = null;
    if (this.open) closeMicrophone(this.open);
  }

  /** Events of the track, the devices and the page; and a look now and then, for not every browser tells everything. */
  private watch(microphone: Microphone): void {
    const { track } = microphone;
    const look = () => this.look();
    const wake = () => {
      const stands = this.context !== null && this.context.state !== 'running';
      if (document.visibilityState === 'visible' && stands) void this.resume();
      this.look();
    };
    track.addEventListener('ended', look);
    track.addEventListener('mute', look);
    track.addEventListener('unmute', look);
    const stopDevices = watchMicrophones(() => {
      void isPluggedIn(microphone).then((there) => {
        if (this.open !== microphone) return;
        this.pulledOut = !there;
        this.look();
      });
    });
    document.addEventListener('visibilitychange', wake);
    document.addEventListener('pointerdown', wake);
    document.addEventListener('keydown', wake);
    const timer = setInterval(() => {
      const time = this.context?.currentTime ?? -1;
      this.sameTime = time === this.lastTime ? this.sameTime + 1 : 0;
      this.lastTime = time;
      this.look();
    }, LOOK_MILLISECONDS);
    this.stopWatching = () => {
      track.removeEventListener('ended', look);
      track.removeEventListener('mute', look);
      track.removeEventListener('unmute', look);
      stopDevices();
      document.removeEventListener('visibilitychange', wake);
      document.removeEventListener('pointerdown', wake);
      document.removeEventListener('keydown', wake);
      clearInterval(timer);
    };
  }

  /** Holds the facts against what was last said, and says what is new. */
  private look(): void {
    const { open, context, connected } = this;
    const stopped = context !== null && context.state !== 'running';
    const stands = context !== null && this.sameTime >= STANDING_LOOKS;
    const state = earStateOf({
      open: open !== null,
      broken: this.broken,
      connected,
      // Every context begins stopped, and its clock stands while the detector rehearses.
      clockStands: connected ? stopped || stands : stopped && stands,
      trackEnded: open !== null && (open.track.readyState === 'ended' || this.pulledOut),
      trackMuted: open?.track.muted ?? false,
    });
    if (state === this.said) return;
    this.said = state;
    this.events.state(state);
  }

  private needed(): Hearing {
    if (!this.hearing) throw new Error('no detector is ready; wait for "begun"');
    return this.hearing;
  }
}
